"""Checks on the bench and on bars' ends: each fires in one job, and only just not in another."""

from decimal import Decimal
from typing import NamedTuple

import pytest
from hypothesis import given
from jobs import QUICK, Fields, any_job, obstacle, one_bar, part, row
from strategies import jobs, without_names

from pelmet.model.job.job import MODELS, Job
from pelmet.model.plan.checks import bench, ends
from pelmet.model.plan.finding import LEVELS, Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
CHECKS = (*bench.CHECKS, *ends.CHECKS)


class Case(NamedTuple):
    """A code, where it should point, what makes it fire, and what only just does not."""

    code: str
    level: str
    kind: str
    about: str
    field: str
    fires: Fields | Job
    near_miss: Fields | Job
    says: tuple[str, ...] = ()


def made(how: Fields | Job) -> Job:
    return how if isinstance(how, Job) else one_bar(**how)


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in CHECKS for finding in check(plan)]


def strip(**changes) -> Fields:
    return {"R1": {"strip": "mine"}, "parts": {"strips": [part("strips", "mine", **changes)]}}


def tailed(amps: float | D) -> Fields:
    """The bar with a strip of 100 W/m, and no tail wire that carries more than this."""
    wires = [
        part("sundries", f"tail-2x{mm2}", serves="tail wire", cores=2, amps=amps, by_the_metre=True)
        for mm2 in ("0.5", "0.75", "1.5")
    ]
    how = strip(watts_per_metre=100)
    return {**how, "parts": {**how["parts"], "sundries": wires}}


def taped(**changes) -> Fields:
    """The bar of 875 on a channel of one's own, by tape: 20 mm of face, so 105 cm2 go under it."""
    channels = [part("channels", "mine", **changes)]
    return {"R1": {"channel": "mine", "fixing": "tape"}, "parts": {"channels": channels}}


def framed(**allowances) -> Fields:
    return {"A1": {"underside": "framed"}, "allowances": allowances}


def run(item_id: str, cabinet: str, **more) -> Fields:
    return {"id": item_id, "cabinets": [cabinet], "leg": "L1", **more}


def cabinet(item_id: str, at: float, width: float, **more) -> Fields:
    return {"id": item_id, "wall": "A", "at": at, "width": width, "depth": 320,
            "bottom_height": 1400, **more}  # fmt: skip


TAPE = {"R1": {"fixing": "tape"}}
GROOVE = {"R1": {"fixing": "groove"}}
# The left end of the one bar is dark for 22 mm, 12 of them its rest; 22 is too much here.
STRICT = {"visible_dark": 21}

CASES = (
    # No piece of a bar 8 deep comes through less than 8.
    Case("cannot-go-in", "stop", "cabinet", "A1", "mouth", {"A1": {"mouth": D("7.9")}},
         {"A1": {"mouth": 8}}, ("879 mm", "7.9 mm", "room below is 389 mm short")),
    Case("made-in-pieces", "ask", "run", "R1", "over_length",
         {"allowances": {"longest_bar": D("874.9")}}, {"allowances": {"longest_bar": 875}},
         ("R1.1 R1.2", "longest handled")),
    Case("made-in-pieces", "ask", "run", "R1", "over_length",
         {"allowances": {"van_longest": 800}},
         {"allowances": {"van_longest": 800}, "R1": {"over_length": "splice"}},
         ("longest in the van is 800 mm",)),
    Case("made-in-pieces", "ask", "run", "R1", "over_length",
         {"allowances": {"lift_longest": 400}, "R1": {"pieces": 2}},
         {"allowances": {"lift_longest": 434}, "R1": {"pieces": 2}}, ("R1.4",)),
    # With its caps 879 long, 8 deep; 490 between underside and worktop: at the least tilt that
    # passes there, asin(490 / 879.04) - atan(8 / 879), it is 738.6 wide.
    Case("made-in-pieces", "ask", "run", "R1", "pieces", {"A1": {"mouth": 738}},
         {"A1": {"mouth": 739}}, ("way in of A1, 738 mm",)),
    Case("made-in-pieces", "ask", "run", "R1", "pieces", {"A1": {"mouth": 738}},
         {"A1": {"mouth": 738}, "R1": {"pieces": 2}}),
    # Two openings with a bar each are not one in pieces.
    Case("made-in-pieces", "ask", "run", "R1", "pieces", row(600, A1={"mouth": 200}),
         row(600, 600, A1={"mouth": 563}, A2={"mouth": 563})),
    # A bar of 883 - 2 x clearance, 8 deep, needs sqrt(883^2 + 8^2) - 883 = 0.0362 more to tilt.
    Case("push-up-level", "ask", "run", "R1", "channel", framed(end_clearance=D("0.018")),
         framed(end_clearance=D("0.0182")), ("R1.1", "0.036 mm more")),
    Case("push-up-level", "ask", "run", "R1", "channel", framed(end_clearance=0),
         {"allowances": {"end_clearance": 0}}),
    Case("push-up-level", "ask", "run", "R1", "channel", framed(end_clearance=0),
         {"A1": {"underside": "framed", "mouth": 5}, "allowances": {"end_clearance": 0}}),
    # 878.2 of aluminium grow 878.2 x 23e-6 x 40 = 0.808 from 20 to 60 C, 0.404 at each end.
    Case("expansion-tight", "warn", "run", "R1", "channel", framed(end_clearance=D("0.403")),
         framed(end_clearance=D("0.404")), ("0.808 mm", "0.404 mm", "0.403 mm")),
    Case("expansion-tight", "warn", "run", "R1", "channel",
         {"R1": {"pieces": 2}, "allowances": {"end_clearance": D("0.1")}},
         {"allowances": {"end_clearance": D("0.1")}}),  # free at both ends
    # 12 of the 13 mm of a screw go into the panel; 3 mm are to be left.
    Case("screw-through-panel", "warn", "run", "R1", "fixing", {"A1": {"bottom_panel": D("14.9")}},
         {"A1": {"bottom_panel": 15}}, ("13 mm leave 2.9 mm", "14.9 mm panel of A1")),
    Case("screw-through-panel", "stop", "run", "R1", "fixing",
         {"A1": {"bottom_panel": D("11.9")}, "R1": {"fixing": "screws"}},
         {"A1": {"bottom_panel": D("11.9")}} | TAPE, ("0.1 mm through",)),
    Case("screw-through-panel", "stop", "run", "R1", "fixing", {"A1": {"bottom_panel": 10}},
         {"A1": {"bottom_panel": 10}, "R1": {"line": "edge"}}),
    Case("groove-too-deep", "stop", "run", "R1", "fixing",
         {"A1": {"bottom_panel": D("10.9")}} | GROOVE, {"A1": {"bottom_panel": 11}} | GROOVE,
         ("groove of 8 mm leaves 2.9 mm", "A1")),
    Case("groove-too-deep", "stop", "run", "R1", "fixing", {"A1": {"bottom_panel": 7}} | GROOVE,
         {"A1": {"bottom_panel": 7}}, ("leaves 0 mm",)),
    # 105 cm2 carry 105 / 55 = 1.909 kg of 0.875 m: 2.1818 kg/m.
    Case("tape-too-small", "warn", "run", "R1", "fixing", taped(kilograms_per_metre=D("2.182")),
         taped(kilograms_per_metre=D("2.181")), ("R1.1", "1.9 kg", "105 cm2")),
    Case("tape-surface", "warn", "run", "R1", "fixing", {"A1": {"surface": "raw board"}} | TAPE,
         {"A1": {"surface": "raw board"}}, ("raw board: A1",)),
    Case("tape-surface", "ask", "run", "R1", "fixing", {"A1": {"surface": "veneer"}} | TAPE,
         {"A1": {"surface": "lacquer"}} | TAPE, ("veneer: A1",)),
    # Common practice: tape takes hold from about 15 C, and softens above about 35 C.
    Case("tape-too-cold", "warn", "run", "R1", "fixing",
         {"allowances": {"fitting_celsius": D("14.9")}} | TAPE,
         {"allowances": {"fitting_celsius": 15}} | TAPE, ("14.9 C",)),
    Case("tape-too-cold", "warn", "run", "R1", "fixing",
         {"allowances": {"fitting_celsius": 0}} | TAPE, {"allowances": {"fitting_celsius": 0}}),
    Case("tape-too-warm", "ask", "run", "R1", "fixing",
         {"allowances": {"hottest_celsius": D("35.1")}} | TAPE,
         {"allowances": {"hottest_celsius": 35}} | TAPE, ("35.1 C",)),
    # 850 of strip in units of 50. With joints every 100 one of its ends is always on one; every
    # 150, it can start 100 after one. Every 75, they are not on the marks.
    Case("factory-joint-at-end", "ask", "run", "R1", "strip", strip(factory_joint_every=100),
         strip(factory_joint_every=150), ("R1.1", "100 mm", "under 20 mm")),
    Case("factory-joint-at-end", "ask", "run", "R1", "strip", strip(factory_joint_every=75),
         strip(factory_joint_every=None), ("no mark of its 50 mm units",)),
    # 850 mm from 50 after a joint on, and 20 off the next, go between joints 950 apart.
    Case("lies-across-joint", "ask", "run", "R1", "strip", strip(factory_joint_every=900),
         strip(factory_joint_every=950), ("R1.1", "every 900 mm")),
    Case("lies-across-joint", "ask", "run", "R1", "strip", strip(factory_joint_every=500),
         strip(factory_joint_every=500, across_joints=True)),
    # 0.85 m of 100 W/m draw 3.54 A at 24 V, less what is lost on the way, and more when hot.
    Case("tail-over-amps", "stop", "run", "R1", "feed_end", tailed(3), tailed(D("3.65")),
         ("the left of R1.1", "may carry 3 A")),
    Case("strip-longer-than-reel", "stop", "run", "R1", "strip_joints", strip(reel=D("849.9")),
         strip(reel=850), ("R1.1 takes 850 mm", "849.9 mm")),
    Case("strip-longer-than-reel", "stop", "run", "R1", "strip_joints", strip(reel=500),
         strip(reel=500) | {"R1": {"strip": "mine", "strip_joints": "allowed"}}),
    Case("edge-too-thin", "stop", "run", "R1", "line",
         {"A1": {"height": D("7.9")}, "R1": {"line": "edge"}},
         {"A1": {"height": 8}, "R1": {"line": "edge"}}, ("7.9 mm", "8 mm deep")),
    Case("edge-too-thin", "stop", "run", "R1", "line",
         {"A1": {"height": 7}, "R1": {"line": "edge"}}, {"A1": {"height": 7}}),
    # The front bar is from 263 to 280 out; one of 17 that starts at 246 just clears it.
    Case("runs-share-a-place", "stop", "run", "R2", "cabinets",
         {"add": {"runs": [run("R2", "A1", line="back")]}, "allowances": {"back_set_back": 247}},
         {"add": {"runs": [run("R2", "A1", line="back")]}, "allowances": {"back_set_back": 246}},
         ("R2.1 would hang in the place of R1.1",)),
    # A cabinet 8 mm lower: the bars, 8 deep, are just above one another.
    Case("runs-share-a-place", "stop", "run", "R2", "cabinets",
         {"add": {"cabinets": [cabinet("A2", 900, 600, bottom_height=D("1392.1"))],
                  "runs": [run("R2", "A2")]}},
         {"add": {"cabinets": [cabinet("A2", 900, 600, bottom_height=1392)],
                  "runs": [run("R2", "A2")]}}),
    # R1 ends at 1379, its cap at 1381.
    Case("runs-share-a-place", "stop", "run", "R2", "cabinets",
         {"add": {"cabinets": [cabinet("A2", 1374, 600)], "runs": [run("R2", "A2")]}},
         {"add": {"cabinets": [cabinet("A2", 1375, 600)], "runs": [run("R2", "A2")]}}),
    # The same upright twice, and one beside it.
    Case("runs-share-a-place", "stop", "run", "R2", "cabinets",
         {"A1": {"kind": "upright", "width": 40},
          "add": {"runs": [run("R2", "A1")]}},
         {"A1": {"kind": "upright", "width": 40},
          "add": {"cabinets": [cabinet("A2", 517, 40, kind="upright")],
                  "runs": [run("R2", "A2")]}}),
    # Cabinets that overlap have another finding.
    Case("runs-share-a-place", "stop", "run", "R2", "cabinets",
         row(600, 600, add={"runs": [run("R2", "A2")]}), row(600, 600, A2={"at": 700})),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"allowances": {"visible_dark": D("21.9")}}, {"allowances": {"visible_dark": 22}},
         ("22 mm at its left end", "10 mm with the rest at the other end", "16 mm with it shared")),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"R1": {"feed_end": "right"}, "allowances": STRICT},
         {"R1": {"feed_end": "right", "dark_rest": "far end"}, "allowances": STRICT},
         ("right end",)),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"R1": {"dark_rest": "shared"}, "allowances": {"visible_dark": 15}},
         {"R1": {"dark_rest": "shared"}, "allowances": {"visible_dark": 16}},
         ("16 mm", "10 mm with the rest")),
    # Nothing of the rest is there: what is dark is the start zone.
    Case("visible-dark-end", "warn", "run", "R1", "feed_end",
         {"R1": {"dark_rest": "far end"}, "allowances": {"visible_dark": 9, "end_zone": 0},
          "add": {"obstacles": [obstacle("O1", 1383, 10, "fridge gap")]}},
         {"R1": {"dark_rest": "far end"}, "allowances": {"visible_dark": 10, "end_zone": 0},
          "add": {"obstacles": [obstacle("O1", 1383, 10, "fridge gap")]}}, ("10 mm",)),
    # What hides an end within 50 mm: the wall's end, another cabinet beside it, an obstacle.
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"A1": {"at": D("50.1")}, "allowances": STRICT},
         {"A1": {"at": 50}, "allowances": STRICT}),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"R1": {"feed_end": "right"}, "A": {"length": D("1433.1")}, "allowances": STRICT},
         {"R1": {"feed_end": "right"}, "A": {"length": 1433}, "allowances": STRICT}),
    # At an outside corner the wall's end hides nothing, unless there is no wall beyond it.
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"R1": {"feed_end": "right"}, "A": {"length": 1400, "corner_degrees": 181},
          "add": {"walls": [{"id": "B", "room": "K", "length": 900}]}, "allowances": STRICT},
         {"R1": {"feed_end": "right"}, "A": {"length": 1400, "corner_degrees": 180},
          "add": {"walls": [{"id": "B", "room": "K", "length": 900}]}, "allowances": STRICT}),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"add": {"cabinets": [cabinet("A0", 0, D("449.9"))]}, "allowances": STRICT},
         {"add": {"cabinets": [cabinet("A0", 0, 450)]}, "allowances": STRICT}),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"add": {"cabinets": [cabinet("A0", 0, 500, bottom_height=2120)]}, "allowances": STRICT},
         {"add": {"cabinets": [cabinet("A0", 0, 500, bottom_height=2119)]}, "allowances": STRICT}),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"add": {"cabinets": [cabinet("A0", 0, 500, bottom_height=680)]}, "allowances": STRICT},
         {"add": {"cabinets": [cabinet("A0", 0, 500, bottom_height=681)]}, "allowances": STRICT}),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest", {"allowances": STRICT},
         {"A1": {"kind": "upright"}, "allowances": STRICT}),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"add": {"obstacles": [obstacle("O1", 400, D("49.9"), "hood")]}, "allowances": STRICT},
         {"add": {"obstacles": [obstacle("O1", 400, 50, "hood")]}, "allowances": STRICT}),
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"add": {"obstacles": [obstacle("O1", 400, 100, "socket")]}, "allowances": STRICT},
         {"add": {"obstacles": [obstacle("O1", 400, 100, "pipe")]}, "allowances": STRICT}),
    # Beside the wall, its bar from 4 on; people look in within 200 mm.
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         {"A1": {"at": 0}, "allowances": STRICT,
          "add": {"obstacles": [obstacle("O1", 204, 0, "open side")]}},
         {"A1": {"at": 0}, "allowances": STRICT,
          "add": {"obstacles": [obstacle("O1", 205, 0, "open side")]}}),
    # Of two bars in one row only the outer end is seen.
    Case("visible-dark-end", "warn", "run", "R1", "dark_rest",
         row(600, 600, at=300, allowances={"visible_dark": 52}),
         row(600, 600, at=0, allowances={"visible_dark": 52}), ("R1.1",)),
    Case("movable-shelf", "warn", "run", "R1", "cabinets", {"A1": {"kind": "movable shelf"}},
         {"A1": {"kind": "shelf"}}, ("A1",)),
    Case("door-shades", "warn", "run", "R1", "facing",
         {"A1": {"door_overhang": D("16.1")},
          "R1": {"channel": "corner-16", "facing": "45 to room"}},
         {"A1": {"door_overhang": 16}, "R1": {"channel": "corner-16", "facing": "45 to room"}},
         ("16.1 mm", "45 to room")),
    Case("door-shades", "warn", "run", "R1", "facing",
         {"A1": {"door_overhang": 1}, "R1": {"fixing": "groove", "facing": "45 to room"}},
         {"A1": {"door_overhang": 1}, "R1": {"fixing": "groove", "facing": "45 to wall"}}),
    Case("door-shades", "warn", "run", "R1", "facing",
         {"A1": {"door_overhang": 20}, "R1": {"facing": "45 to room"}},
         {"A1": {"door_overhang": 20}, "R1": {"line": "edge", "facing": "45 to room"}}),
    Case("run-on-two-levels", "ask", "run", "R1", "cabinets",
         row(600, 600, A2={"bottom_height": D("1401.1")}),
         row(600, 600, A2={"bottom_height": 1401}), ("1400 mm to 1401.1 mm",)),
    Case("run-on-two-levels", "ask", "run", "R1", "cabinets",
         row(600, 600, 600, A2={"bottom_height": 1300}, A3={"bottom_height": 1300}),
         row(600, 600, A2={"bottom_height": 900, "kind": "upright"})),
)  # fmt: skip


def names(case: Case) -> str:
    return f"{case.code}-{case.kind}-{case.field}"


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    told = [one for one in found(made(case.fires)) if one.code == case.code]
    assert [(one.level, one.kind, one.about, one.field) for one in told] == [
        (case.level, case.kind, case.about, case.field)
    ]
    for words in case.says:
        assert words in told[0].says


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert [one.says for one in found(made(case.near_miss)) if one.code == case.code] == []


def test_every_check_fires_in_some_case():
    plans = [plan_job(made(case.fires)) for case in CASES]
    silent = [check for check in CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_a_sound_bar_has_nothing_said_about_it():
    assert found(one_bar()) == []
    assert found(Job()) == []


def test_a_dark_end_where_bars_meet_is_not_one_that_is_seen():
    two = row(600, 600, at=0, underside="flush", R1={"pieces": 2}, allowances={"visible_dark": 0})
    seen = [one.says for one in found(two) if one.code == "visible-dark-end"]
    assert [says.partition(" is")[0] for says in seen] == ["bar R1.2"]
    assert "right end" in seen[0]


def test_a_dark_end_where_bars_meet_round_a_corner_is_not_one_that_is_seen():
    # In a corner of 60 degrees the passing bar stops well short of the wall's end.
    job = one_bar(
        A={"length": 1383, "corner_degrees": 60},
        R1={"cabinets": ["A1", "B1"], "feed_end": "right"},
        add={
            "walls": [{"id": "B", "room": "K", "length": 3000}],
            "cabinets": [cabinet("B1", 0, 900) | {"wall": "B"}],
        },
        allowances={"visible_dark": 0},
    )
    first, _second = plan_job(job).bars
    assert first.opening.ends[1].crossing is not None
    assert first.right < 1383 - 50
    seen = [one.says for one in found(job) if one.code == "visible-dark-end"]
    assert len(seen) == 2
    assert "R1.1" in seen[0]
    assert "left end" in seen[0]
    assert "R1.2" in seen[1]
    assert "right end" in seen[1]


def test_three_runs_in_one_place_are_each_told_once():
    job = one_bar(add={"runs": [run("R2", "A1"), run("R3", "A1")]})
    assert [(one.code, one.about) for one in found(job)] == [
        ("runs-share-a-place", "R2"),
        ("runs-share-a-place", "R3"),
    ]


def faults_of(finding: Finding, job: Job) -> list[str]:
    faults = []
    if finding.field not in MODELS[finding.kind].model_fields:
        faults.append(f"{finding.kind} has no field {finding.field}")
    if finding.about not in {item.id for item in job.table(finding.kind)}:
        faults.append(f"{finding.about} is no {finding.kind} of this job")
    texts = (finding.code, finding.says, finding.remedy, finding.source.title)
    plain = [without_names(text, job) for text in texts]
    faults += [text for text in plain if not (text.isascii() and text.isprintable() and text)]
    if finding.level not in LEVELS:
        faults.append(f"no level {finding.level}")
    return faults


@pytest.mark.property
@QUICK
@given(any_job() | jobs())
def test_any_job_can_be_checked_and_every_finding_points_at_a_real_field(job):
    told = found(job)
    assert [fault for one in told for fault in faults_of(one, job)] == []
    assert len(set(told)) == len(told), "the same thing is said twice"
