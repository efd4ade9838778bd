"""Checks on cable ways: each fires in one job, and only just not in another.

A1 and A2 are framed, 600 wide, A1 from 500 on; what stands between them fills the gap. Their
bars, 522 to 1078 and 22 on in A2, are as far from each other as the gap and 44.
"""

from decimal import Decimal
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, obstacle, one_bar, row

from pelmet.model.job.job import Job
from pelmet.model.plan.checks import ways
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
PANTRY = {
    "rooms": [{"id": "P", "name": "Invented pantry"}],
    "walls": [{"id": "B", "room": "P", "length": 2000}],
    "cabinets": [
        {"id": "B1", "wall": "B", "at": 0, "width": 600, "depth": 320, "bottom_height": 1400}
    ],
}
SECOND = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
# Between two shelves 18 apart; the hole for the leg's cable is 40 from the wall, 7 wide for 5.
UPRIGHT = {"id": "U1", "wall": "A", "kind": "upright", "at": 1100, "width": 18, "depth": 320,
           "bottom_height": 80, "height": 2200}  # fmt: skip
SHELF = {"kind": "shelf", "height": 25, "underside": "flush"}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in ways.CHECKS for finding in check(plan)]


def codes(job: Job) -> list[tuple[str, str, str]]:
    return [(one.level, one.code, one.about) for one in found(job)]


def thing(kind: str, crossing: str = "not chosen", **more: Any) -> Fields:
    """Something 600 wide between A1 and A2."""
    return obstacle("O1", 1100, 600, kind, crossing=crossing, **more)


def linked(*things: Fields, gap: float = 600, **how: Any) -> Job:
    """One run under both cabinets: a cable goes from bar to bar past what is between."""
    return row(600, 600, gap=gap, add={"obstacles": list(things)}, **how)


def led(*things: Fields, gap: float = 600, **how: Any) -> Job:
    """A run under each cabinet on one leg: its cable goes from A1, where the supply sits, to A2."""
    add = {"obstacles": list(things), "runs": [SECOND], **how.pop("add", {})}
    return row(600, 600, gap=gap, R1={"cabinets": ["A1"]}, add=add, **how)


def apart(*things: Fields) -> Job:
    """As `led`, with a supply and a leg on each side: no cable has to get past."""
    own = {"supplies": [{"id": "S2", "cabinet": "A2"}], "legs": [{"id": "L2", "supply": "S2"}],
           "runs": [SECOND | {"leg": "L2"}]}  # fmt: skip
    return led(*things, add=own)


def on_top(**how: Any) -> Job:
    """A supply on the top of A1, its cable through a hole in the top, 7 mm for 5 of cable."""
    allowances = {"hinge_zone": 0} | how.pop("allowances", {})
    return one_bar(S1={"place": "on top of cabinet"}, allowances=allowances, **how)


def beside_upright(**how: Any) -> Job:
    """Shelves with a run each on both sides of an upright, which the leg's cable goes through."""
    upright = UPRIGHT | how.pop("U1", {})
    return led(gap=18, A1=SHELF, A2=SHELF, add={"cabinets": [upright]}, **how)


CASES = (
    Case("crossing-not-chosen", "ask", "obstacle", "O1", "crossing",
         linked(thing("hood", cover="covered")), linked(thing("hood", "behind", cover="covered")),
         ("R1.1-2 passes O1", "behind it")),
    Case("crossing-not-chosen", "ask", "obstacle", "O1", "crossing",
         led(thing("window")), led(thing("window", "over")), ("passes O1", "up and over")),
    # A supply on each side: nothing has to get past.
    Case("crossing-not-chosen", "ask", "obstacle", "O1", "crossing",
         led(thing("window")), apart(thing("window"))),
    # Beyond it there is room for a bar of one unit, 71 mm, or for none.
    Case("crossing-not-chosen", "ask", "obstacle", "O1", "crossing",
         one_bar(add={"obstacles": [obstacle("O1", 1292, 20)]}),
         one_bar(add={"obstacles": [obstacle("O1", D("1292.1"), 20)]})),
    # Common practice: what runs behind a hood with no cover shows, so nobody can expect it.
    Case("crossing-not-chosen", "stop", "obstacle", "O1", "crossing",
         linked(thing("hood")), linked(thing("hood", cover="covered")), ("R1", "without a cover")),
    Case("crossing-not-chosen", "stop", "obstacle", "O1", "crossing",
         linked(thing("hood")), linked(thing("hood", "over"))),
    # Common practice: what each of these is not passed by.
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("stile", "in wall")), led(thing("stile", "behind")), ("in the wall",)),
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("partition", "behind")), led(thing("partition", "hole"))),
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("window", "behind")), led(thing("window", "in wall")), ("window behind it",)),
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("pipe", "hole")), led(thing("pipe", "under"))),
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("hood", "hole")), led(thing("hood", "in wall"))),
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("fridge gap", "under")), led(thing("fridge gap", "over"))),
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("corner", "behind")), led(thing("corner", "none"))),
    Case("crossing-unsuited", "warn", "obstacle", "O1", "crossing",
         led(thing("window", "hole")), led(thing("socket", "hole"))),  # a socket blocks nothing
    Case("cable-seen-behind-hood", "warn", "obstacle", "O1", "cover",
         led(thing("hood", "behind")), led(thing("hood", "behind", cover="covered")), ("O1",)),
    Case("cable-seen-behind-hood", "warn", "obstacle", "O1", "cover",
         led(thing("hood", "behind")), led(thing("hood", "over"))),
    Case("no-way-past", "stop", "run", "R1", "cabinets",
         linked(thing("stile", "none")), linked(thing("stile", "hole")), ("R1.1 to R1.2",)),
    # One that waits for a choice is asked about, not shut.
    Case("no-way-past", "stop", "run", "R1", "cabinets",
         linked(thing("hood", "none")), linked(thing("hood"))),
    Case("no-way-past", "stop", "run", "R1", "cabinets",
         one_bar(add=PANTRY, R1={"cabinets": ["A1", "B1"]}), one_bar(add=PANTRY)),
    # Nothing gets past a hood for which nothing is chosen, so that it is in the lead's way too.
    Case("crossing-not-chosen", "stop", "obstacle", "O1", "crossing",
         led(thing("hood")), led(thing("hood", "over")), ("L1.2",)),
    Case("no-feed-way", "stop", "leg", "L1", "length",
         led(thing("window", "none")), led(thing("window", "over")), ("S1 to R2 left past O1",)),
    Case("no-feed-way", "stop", "leg", "L1", "length", led(thing("hood")), apart(thing("hood")),
         ("S1 to R2 left past O1",)),
    Case("no-feed-way", "stop", "leg", "L1", "avoid", one_bar(L1={"avoid": ["A1"]}),
         one_bar(L1={"avoid": ["A1"], "length": 1}), ("S1 to R1 left",)),
    # From the first run, to which a way was measured, to the other there is none.
    Case("no-feed-way", "stop", "leg", "L1", "length",
         led(thing("window", "none"), L1={"length": 900}),
         led(thing("window", "over"), L1={"length": 900}), ("R1 left to R2 left past O1",)),
    Case("lead-unknown", "ask", "leg", "L1", "length", one_bar(S1={"place": "elsewhere"}),
         one_bar(S1={"place": "elsewhere"}, L1={"length": 1}), ("S1 to R1 left",)),
    Case("lead-unknown", "ask", "leg", "L1", "length", one_bar(S1={"cabinet": None}), one_bar()),
    Case("lead-unknown", "ask", "leg", "L1", "length", one_bar(add=PANTRY, S1={"cabinet": "B1"}),
         one_bar(add=PANTRY, S1={"cabinet": "B1"}, L1={"length": 1})),
    # From the end of one bar to the next, 1078 to 1722.
    Case("cable-in-wall", "ask", "leg", "L1", "avoid",
         led(thing("fridge gap", "in wall")), led(thing("fridge gap", "over")), ("644 mm", "O1")),
    # Up from 1400 over the head of a window at 1500, and down again.
    Case("cable-in-wall", "ask", "leg", "L1", "avoid",
         led(thing("window", "in wall", bottom_height=1000, height=500)),
         led(thing("window", "over", bottom_height=1000, height=500)), ("844 mm", "O1")),
    # Cabinets 50 apart hide a cable between them.
    Case("cable-in-wall", "ask", "leg", "L1", "avoid",
         led(gap=51), led(gap=50), ("95 mm", "bare wall")),
    Case("cable-in-wall", "ask", "leg", "L1", "avoid",
         one_bar(S1={"place": "in plinth"}), one_bar()),
    Case("through-and-kept-out", "ask", "leg", "L1", "via",
         led(L1={"via": ["A2"], "avoid": ["A2"]}), led(L1={"via": ["A1"], "avoid": ["A2"]}),
         ("by way of A2",)),
    # Through the top 70 from the wall, but half of what is shallower; a rail of 60, 3.5 of hole.
    Case("hole-too-near", "ask", "cabinet", "A1", "depth", on_top(A1={"depth": D("126.9")}),
         on_top(A1={"depth": 127}), ("top of A1", "hanging rail")),
    # With the back panel set in cable goes behind it, and nothing is drilled in the top.
    Case("hole-too-near", "ask", "cabinet", "A1", "depth", on_top(A1={"depth": 126}),
         on_top(A1={"depth": 126, "back_set_in": 12})),
    # Common practice: 25 mm from a hole's rim to an edge.
    Case("hole-too-near", "ask", "cabinet", "A1", "depth",
         one_bar(allowances={"hole_from_back": 28}),
         one_bar(allowances={"hole_from_back": D("28.5")}), ("floor of A1", "from an edge")),
    Case("hole-too-near", "ask", "cabinet", "A1", "depth",
         one_bar(allowances={"hole_from_side": 28}),
         one_bar(allowances={"hole_from_side": D("28.5")}), ("from an edge",)),
    # Hinge plates and runners sit in the front 100 mm.
    Case("hole-too-near", "ask", "cabinet", "A1", "depth", one_bar(A1={"depth": D("139.9")}),
         one_bar(A1={"depth": 140}), ("floor of A1", "hinge plates")),
    Case("hole-too-near", "ask", "cabinet", "U1", "depth",
         beside_upright(allowances={"side_hole": D("6.9")}),
         beside_upright(allowances={"side_hole": 7}), ("upright of U1", "drill two")),
    # Pins 266.6 from a front of 320 are 53.4 from the wall, 13.4 from the hole's middle: 10 and
    # 3.5 are needed. It can move forward, but only by 5 in front of so deep a hinge zone.
    Case("hole-too-near", "ask", "cabinet", "U1", "depth",
         beside_upright(U1={"pin_rows": [D("266.6")]}, allowances={"hinge_zone": 275}),
         beside_upright(U1={"pin_rows": [D("266.5")]}, allowances={"hinge_zone": 275}),
         ("shelf pins",)),
    Case("hole-too-near", "ask", "cabinet", "U1", "depth",
         beside_upright(U1={"pin_rows": [280]}, allowances={"hinge_zone": 275}),
         beside_upright(U1={"pin_rows": [280]}), ("shelf pins",)),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in ways.CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_sound_ways_have_nothing_said_about_them():
    assert found(one_bar()) == []
    assert found(linked(gap=0)) == []
    assert found(led(gap=0)) == []
    assert found(apart(thing("window", "none"))) == []
    assert found(Job()) == []


def test_what_is_offered_past_an_open_hood_does_not_show():
    (one,) = found(linked(thing("hood")))
    assert one.remedy == "choose how the cable passes it: over, in wall, or none"
    (one,) = found(linked(thing("hood", cover="covered")))
    assert "behind" in one.remedy


def test_each_unsettled_obstacle_is_asked_about_once():
    three = [obstacle(f"O{n}", at, 100, "pipe") for n, at in enumerate((1100, 1300, 1500), 1)]
    three[1] |= {"crossing": "under"}
    asked = [one.about for one in found(linked(*three)) if one.code == "crossing-not-chosen"]
    assert asked == ["O1", "O3"]


@pytest.mark.parametrize("how", [{}, {"L1": {"length": 2400}}], ids=["reckoned", "measured"])
def test_a_second_run_in_another_room_wants_a_leg_of_its_own(how):
    # The one length of a leg is that to its first run: no crossing and no length helps the other.
    away = PANTRY | {"runs": [SECOND | {"cabinets": ["B1"]}]}
    (one,) = found(one_bar(add=away, **how))
    assert (one.level, one.code, one.about) == ("ask", "lead-unknown", "L1")
    assert "R2 left" in one.says
    assert "R2 a leg of its own" in one.remedy


def test_a_leg_shut_out_of_where_its_supply_sits_is_told_what_shuts_it_out():
    (one,) = found(one_bar(L1={"avoid": ["A1"]}))
    assert (one.level, one.code) == ("stop", "no-feed-way")
    assert "A1" in f"{one.says}; {one.remedy}"


def test_what_shuts_off_one_run_is_not_sought_in_another_room():
    far = obstacle("O9", 0, 100, "window", crossing="none") | {"wall": "B"}
    rooms = {"rooms": PANTRY["rooms"], "walls": PANTRY["walls"]}
    job = led(thing("window", "none"), far, add=rooms)
    (one,) = [one for one in found(job) if one.code == "no-feed-way"]
    assert "O1" in one.says
    assert "O9" not in one.says


def test_a_supply_has_no_way_through_a_partition_that_may_not_be_drilled():
    # The supply is in the middle of A1, 941.5; the partition is before it, the feed end beyond.
    shut = one_bar(add={"obstacles": [obstacle("O1", 900, 20, "partition", crossing="none")]})
    assert ("stop", "no-feed-way", "L1") in codes(shut)
    drilled = one_bar(add={"obstacles": [obstacle("O1", 900, 20, "partition", crossing="hole")]})
    holes = plan_job(drilled).holes
    assert any(hole.owner == "O1" and "L1.1" in hole.cables for hole in holes)


def test_a_partition_that_is_passed_over_is_not_drilled():
    job = one_bar(add={"obstacles": [obstacle("O1", 900, 20, "partition", crossing="over")]})
    assert [hole.owner for hole in plan_job(job).holes if hole.owner == "O1"] == []


def test_no_cable_passes_an_upright_without_a_hole():
    one_run = row(600, 600, gap=18, A1=SHELF, A2=SHELF, add={"cabinets": [UPRIGHT]})
    drilled = [hole for hole in plan_job(one_run).holes if hole.owner == "U1"]
    assert [hole.cables for hole in drilled] == [("R1.1-2",)]
