"""What cables, fuses, joints and strip may carry, and where runs are fed: fires and near misses.

The one bar has 850 mm of strip at 9.6 W/m, 17 units of 50, on one lead of 0.75 mm2 that may carry
6 A; its supply sits in its own cabinet.
"""

from decimal import Decimal
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, obstacle, one_bar, part, row

from pelmet.model.job.job import Job, Site
from pelmet.model.plan.checks import feeding, protection
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
FINEST = D("0.000001")
FUSE_SHARE = D("0.75")
CHECKS = (*protection.CHECKS, *feeding.CHECKS)


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in CHECKS for finding in check(plan)]


def up(value: float) -> Decimal:
    """Round up to what a field holds."""
    return D(str(value)).quantize(FINEST, "ROUND_UP")


AMPS = up(plan_job(one_bar()).circuits.legs[0].amps.value)
FUSE = up(float(AMPS / FUSE_SHARE))


def source(how: Fields | None = None, **changes: Any) -> Job:
    """One bar on a supply of one's own; ``how`` changes its leg."""
    return one_bar(
        S1={"part": "mine"}, L1=how or {}, parts={"supplies": [part("supplies", "mine", **changes)]}
    )


def unlimited(fuse: float | Decimal | None) -> Job:
    """One bar on a supply whose label says that nothing limits it, with a fuse."""
    return source({"fuse": fuse}, limited="no")


def lever(ways: int, job: Any = one_bar, **changes: Any) -> Job:
    """A job whose lever connectors of so many ways are one's own."""
    own = part("connectors", f"lever-{ways}", ways=ways, **changes)
    return job(parts={"connectors": [own]})


# A connector of one's own has no ohms, so a little more flows.
BARE = up(plan_job(lever(2)).circuits.legs[0].amps.value)


def two_runs(**how: Any) -> Job:
    """Two runs chained on one leg: the cable of the first goes on to the second, from a tee."""
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    return row(600, 600, R1={"cabinets": ["A1"]}, L1={"wiring": "chained"},
               add={"runs": [second]}, **how)  # fmt: skip


def cable(region: str = "eu", **changes: Any) -> Job:
    """One bar whose lead is of one's own, in a region."""
    job = one_bar(L1={"cable": "mine"}, parts={"cables": [part("cables", "mine", **changes)]})
    return job.model_copy(update={"site": Site(region=region)})


def strong(region: str, **changes: Any) -> Job:
    """Strip that draws 3.2 A at a fixed power, through a lead of one's own."""
    hungry = part("strips", "hungry", watts_per_metre=D("90.4"), ohms_per_metre=0)
    job = one_bar(
        R1={"strip": "hungry"}, L1={"cable": "mine", "length": 10},
        parts={"cables": [part("cables", "mine", **changes)], "strips": [hungry]},
    )  # fmt: skip
    return job.model_copy(update={"site": Site(region=region)})


def strip(feed_end: str = "left", **changes: Any) -> Job:
    return one_bar(
        R1={"strip": "mine", "feed_end": feed_end}, parts={"strips": [part("strips", "mine",
        **changes)]})  # fmt: skip


def three(feed_end: str, home: str, run: tuple[str, ...] = ("A2",), **how: Any) -> Job:
    """Three cabinets of 600 from 500 on; a run under some of them, its supply in another."""
    return row(
        600, 600, 600, R1={"cabinets": list(run), "feed_end": feed_end}, S1={"cabinet": home}, **how
    )


def elsewhere(job: Job) -> Job:
    """The same with a supply that sits where no cabinet says."""
    (supply,) = job.supplies
    return job.model_copy(update={"supplies": (supply.model_copy(update={"place": "elsewhere"}),)})


def ring(far: str, second: str, feed_end: str = "both") -> Job:
    """A run fed by a leg at each end, the second of them from this supply."""
    return one_bar(
        R1={"feed_end": feed_end, "far_leg": far},
        add={
            "supplies": [{"id": "S2", "cabinet": "A1"}],
            "legs": [{"id": "L2", "supply": second}],
        },
    )


RUN_3 = {"runs": [{"id": "R3", "cabinets": ["A3"], "leg": "L1"}]}

CASES = (
    Case("cable-over-amps", "stop", "leg", "L1", "cable", cable(amps=AMPS - 2 * FINEST),
         cable(amps=AMPS)),
    # BS 7671 Table 4F3A: 3 A at 0.5 mm2, 6 A at 0.75 mm2; the cable's own figure says 20 A.
    Case("cable-over-amps", "stop", "leg", "L1", "cable",
         strong("uk", mm2=D("0.5"), amps=20), strong("uk", amps=20), ("may carry 3 A",)),
    # 96 W at 24 V are 4 A, and 6 A of overload: just what the cable may carry.
    Case("unprotected-cable", "stop", "leg", "L1", "fuse",
         source(watts=D("96.1"), limited="class 2"), source(watts=96, limited="class 2"),
         ("S1 drives up to 6.01 A", "flat-2x0.75 of L1", "6 A")),
    Case("unprotected-cable", "ask", "leg", "L1", "fuse", source(limited="SELV"),
         source(limited="SELV", most_amps=6), ("SELV limits no amps",)),
    Case("unprotected-cable", "stop", "leg", "L1", "fuse", source(limited="no"),
         source(limited="class 2"), ("no label limits what S1 drives",)),
    Case("unprotected-cable", "stop", "leg", "L1", "fuse", unlimited(None), unlimited(6)),
    Case("fuse-too-big", "stop", "leg", "L1", "fuse", unlimited(D("6.1")), unlimited(6),
         ("6.1 A does not protect flat-2x0.75", "6 A is the most")),
    # A source that cannot overload the cable makes any fuse harmless.
    Case("fuse-too-big", "stop", "leg", "L1", "fuse", source({"fuse": 8}, limited="no"),
         source({"fuse": 8}, limited="class 2")),
    # A fuse guide: at most 75 % of the rating all the time.
    Case("fuse-too-small", "warn", "leg", "L1", "fuse", unlimited(FUSE - 2 * FINEST),
         unlimited(FUSE), ("A all the time",)),
    Case("fuse-too-small", "stop", "leg", "L1", "fuse", unlimited(AMPS - 2 * FINEST),
         unlimited(AMPS), ("it opens",)),
    Case("fuse-too-small", "warn", "leg", "L1", "fuse", one_bar(L1={"fuse": FUSE - 2 * FINEST}),
         one_bar(L1={"fuse": FUSE})),
    Case("connector-over-amps", "stop", "leg", "L1", "cable", lever(2, amps=BARE - 2 * FINEST),
         lever(2, amps=BARE), ("the end of L1.1", "lever-2")),
    # Two runs of 500 mm at 9.6 W/m, less a little: 0.43 A hot come to the tee, half of them go on.
    Case("connector-over-amps", "stop", "leg", "L1", "cable",
         lever(3, two_runs, amps=D("0.40")), lever(3, two_runs, amps=D("0.44")),
         ("the end of L1.1", "lever-3")),
    Case("connector-over-amps", "stop", "leg", "L1", "cable",
         lever(2, two_runs, amps=D("0.20")), lever(2, two_runs, amps=D("0.23")),
         ("the end of L1.2", "lever-2")),
    Case("terminal-range", "warn", "leg", "L1", "cable", source(least_mm2=D("0.76")),
         source(least_mm2=D("0.75")), ("the terminals of mine take from 0.76 mm2", "0.75 mm2")),
    Case("terminal-range", "warn", "leg", "L1", "cable", source(most_mm2=D("0.74")),
         source(most_mm2=D("0.75"))),
    Case("terminal-range", "warn", "leg", "L1", "cable", lever(2, most_mm2=D("0.74")),
         lever(2, most_mm2=D("0.75")), ("lever-2 take up to 0.74 mm2",)),
    Case("terminal-range", "warn", "leg", "L1", "cable", lever(3, two_runs, least_mm2=1),
         lever(3, one_bar, least_mm2=1), ("lever-3",)),
    # ASTM B258: 18 AWG has 0.823 mm2 of copper.
    Case("terminal-range", "warn", "leg", "L1", "cable",
         source({"cable": "pair-18"}, most_mm2=D("0.82")),
         source({"cable": "pair-18"}, most_mm2=D("0.83")), ("0.823 mm2 (18 AWG)",)),
    Case("strip-no-ohms", "ask", "run", "R1", "strip", strip(ohms_per_metre=0),
         strip(ohms_per_metre=FINEST), ("mine has rails of 0 ohm",)),
    Case("beyond-single-feed", "warn", "run", "R1", "feed_end", strip(longest_feed=D("849.9")),
         strip(longest_feed=850), ("850 mm of mine", "849.9 mm")),
    Case("beyond-single-feed", "warn", "run", "R1", "feed_end",
         strip("both", longest_feed=D("424.9")), strip("both", longest_feed=425)),
    # 17 units: 8 of them left of the middle, 9 right of it, 450 mm.
    Case("beyond-single-feed", "warn", "run", "R1", "feed_end",
         strip("middle", longest_feed=D("449.9")), strip("middle", longest_feed=450)),
    # A1 is 500 to 1100, A2 to 1700: the supply at 800 is left of a run under A2, at 2000 right.
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("right", "A1"), three("left", "A1"),
         ("S1 sits beyond its left end",)),
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("left", "A3"), three("right", "A3"),
         ("S1 sits beyond its right end",)),
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("right", "A1"),
         three("right", "A2")),
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("right", "A1"), three("both", "A1")),
    # The cable goes on to another run, so it passes this one in any case.
    Case("feed-far-end", "ask", "run", "R1", "feed_end",
         three("right", "A1", L1={"wiring": "home run"}, add=RUN_3),
         three("right", "A1", add=RUN_3)),
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("right", "A1"),
         three("right", "A1", L1={"length": 2000})),
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("right", "A1"),
         three("right", "A1", L1={"via": ["A3"]})),
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("right", "A1"),
         three("right", "A1", L1={"avoid": ["A3"]})),
    Case("feed-far-end", "ask", "run", "R1", "feed_end", three("right", "A1"),
         elsewhere(three("right", "A1"))),
    Case("loop-of-cable", "ask", "run", "R1", "far_leg", ring("L2", "S1"), ring("L2", "S2"),
         ("L1 and L2 of S1 meet in R1",)),
    Case("loop-of-cable", "ask", "run", "R1", "far_leg", ring("L2", "S1"), ring("L1", "S1")),
    Case("loop-of-cable", "ask", "run", "R1", "far_leg", ring("L2", "S1"),
         ring("L2", "S1", "right")),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_a_sound_job_has_nothing_to_say():
    assert found(one_bar()) == []
    assert found(Job()) == []


def one(job: Job, code: str) -> Finding:
    (finding,) = (each for each in found(job) if each.code == code)
    return finding


@pytest.mark.parametrize("job", [unlimited(None), unlimited(D("6.1"))])
def test_the_fuse_to_fit_is_named(job):
    # A third of an ampere at 75 %: 1 A is the smallest standard one.
    code = "fuse-too-big" if job.legs[0].fuse else "unprotected-cable"
    assert one(job, code).remedy == "fit a 1 A fuse in the + conductor at S1"


def test_when_no_standard_fuse_fits_the_cable_must_change():
    # The cable carries just what the leg draws: a fuse that carries the leg would be bigger.
    job = one_bar(
        S1={"part": "mine"}, L1={"cable": "thin"},
        parts={"supplies": [part("supplies", "mine", limited="no")],
               "cables": [part("cables", "thin", amps=AMPS)]},
    )  # fmt: skip
    remedy = one(job, "unprotected-cable").remedy
    assert "thicker cable" in remedy
    assert "no standard fuse" in remedy


def test_while_nobody_knows_what_a_leg_draws_its_cable_gives_the_fuse():
    job = one_bar(
        S1={"part": "mine", "place": "elsewhere", "cabinet": None},
        parts={"supplies": [part("supplies", "mine", limited="no")]},
    )
    assert "no more than the cable may carry" in one(job, "unprotected-cable").remedy


def test_a_fuse_that_is_not_needed_may_go():
    assert "or none" in one(one_bar(L1={"fuse": AMPS}), "fuse-too-small").remedy
    assert "fit a 1 A fuse" in one(unlimited(AMPS), "fuse-too-small").remedy


@pytest.mark.published
def test_the_cord_table_that_limits_a_cable_is_named_with_its_edition():
    told = one(strong("uk", mm2=D("0.5"), amps=20), "cable-over-amps").source
    assert "BS 7671 Table 4F3A" in told.title
    assert told.standing == "published"
    assert one(cable(amps=AMPS - 2 * FINEST), "cable-over-amps").source.standing == "said"


def test_home_runs_share_the_amps_of_a_leg_among_cables():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    how = {"R1": {"cabinets": ["A1"]}, "add": {"runs": [second]}}
    own = {"cables": [part("cables", "mine", amps=D("0.25"))]}
    # 0.4 A in all: too much for one cable that goes on, not for two from the supply.
    for wiring, codes in (("chained", ["cable-over-amps"]), ("home run", [])):
        job = row(600, 600, **how, L1={"wiring": wiring, "cable": "mine"}, parts=own)
        assert [each.code for each in found(job) if each.code == "cable-over-amps"] == codes


def test_one_strip_without_ohms_is_asked_about_once():
    ideal = {"strips": [part("strips", "ideal", ohms_per_metre=0)]}
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1", "strip": "ideal"}
    job = row(600, 600, R1={"cabinets": ["A1"], "strip": "ideal"}, add={"runs": [second]},
              parts=ideal)  # fmt: skip
    assert [each.about for each in found(job) if each.code == "strip-no-ohms"] == ["R1"]


@pytest.mark.cross_check
def test_the_ohms_to_measure_are_those_of_a_uniformly_loaded_rail():
    # The remedy undone: regulated strip draws the same amps all along, so half its ohms count.
    how = {"kind": "current-regulated", "led_volts": None, "dropout_volts": 12}
    job = strip(ohms_per_metre=D("0.25"), **how)
    (leg,) = plan_job(job).circuits.legs
    (bar,) = leg.bars
    left, right = (float(end.inputs[0].value) for end in (bar.left, bar.right))  # as planned
    lost = abs(left - right)
    assert 2 * lost / (float(leg.amps.value) * 0.85) == pytest.approx(0.25)


def test_a_run_of_bars_is_fed_through_all_of_them():
    # Three bars of 550 mm on one feed.
    job = three("left", "A2", ("A1", "A2", "A3"), parts={"strips": [part(
        "strips", "mine", longest_feed=1499)]})  # fmt: skip
    job = job.model_copy(update={"runs": (job.runs[0].model_copy(update={"strip": "mine"}),)})
    lit = sum(bar.lit.value for bar in plan_job(job).bars)
    assert lit > 1499
    assert f"{lit:g} mm of mine" in one(job, "beyond-single-feed").says


def test_bars_that_are_not_linked_do_not_hang_on_one_feed():
    short = {"strips": [part("strips", "mine", longest_feed=500)]}
    stile = obstacle("O1", 900, 20, crossing="none")
    job = one_bar(R1={"strip": "mine"}, add={"obstacles": [stile]}, parts=short)
    codes = [each.code for each in plan_job(job).findings]
    assert "no-way-past" in codes
    assert "beyond-single-feed" not in codes


def test_a_run_that_stands_upright_has_no_far_end():
    up_right = {"kind": "upright", "width": 25, "opening": (), "bottom_height": 80}
    job = three("left", "A3", A2=up_right)
    assert plan_job(job).bars[0].upright
    assert "feed-far-end" not in [each.code for each in found(job)]


@pytest.mark.parametrize(("feed_end", "remedy"), [("left", "in its middle"), ("both", "in two")])
def test_what_can_still_be_done_is_told(feed_end, remedy):
    told = one(strip(feed_end, longest_feed=100), "beyond-single-feed").remedy
    assert remedy in told
    assert ("both ends" in told) == (feed_end == "left")


def test_a_far_end_in_another_room_or_round_a_closed_one_is_not_judged():
    walls = [{"id": "B", "room": "K", "length": 10_000}]
    side = {"id": "B1", "wall": "B", "at": 4000, "width": 600, "depth": 320, "bottom_height": 1400}
    open_room = three("left", "B1", add={"walls": walls, "cabinets": [side]})
    assert one(open_room, "feed-far-end").about == "R1"
    back = [{"id": name, "room": "K", "length": 10_000} for name in "CD"]
    closed = three("left", "B1", add={"walls": walls + back, "cabinets": [side]})
    assert plan_job(closed).rooms[0].is_closed
    elsewhere = three("left", "B1", add={
        "rooms": [{"id": "P", "name": "Pantry"}], "walls": [{**walls[0], "room": "P"}],
        "cabinets": [side]})  # fmt: skip
    for job in (closed, elsewhere):
        assert "feed-far-end" not in [each.code for each in found(job)]
