"""Tail wire: one at every soldered place, alike in the cut list, the order and the label."""

from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given
from jobs import QUICK, Fields, any_job, one_bar, row
from papers import folder, paper, said

from pelmet.model.edit.building import note_built
from pelmet.model.job.job import Job
from pelmet.model.order.folder import Folder
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.circuit.protection import Takes, joints
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Grid


def places(found: Folder) -> Counter[tuple[str, str]]:
    """Give by hand the places that wires are soldered to: feed points, and both ends of a link."""
    plan, soldered = found.plan, []
    known = {each.id for each in plan.parts.strips}
    for fit in plan.fits:
        if fit.run.strip in known:
            soldered += [(point.bar, point.at) for point in feed_points_of(fit)]
            for link in feed_reach(fit, plan.routes).links:
                soldered += [(link.from_bar, "right"), (link.to_bar, "left")]
    return Counter(dict.fromkeys(soldered, 1))


def listed(job: Job) -> tuple[tuple[str, ...], ...]:
    """Give the tails of the cut list."""
    blocks = paper(job, "cut-list").blocks
    rows = (each.rows for each in blocks if isinstance(each, Grid))
    names = (each.name for each in blocks if isinstance(each, Grid))
    return next(
        (own for own, name in zip(rows, names, strict=True) if name == "cut-list-tails"), ()
    )


def ordered(found: Folder) -> Decimal:
    lines = (line for line in found.lines if line.part.startswith(("tail-", "any tail")))
    return sum((line.needed for line in lines), Decimal(0))


@pytest.mark.property
@QUICK
@given(any_job())
def test_every_soldered_place_has_its_tail_on_every_paper(job):
    found = folder(job)
    tails = found.plan.tails
    assert Counter((tail.bar, tail.at) for tail in tails) == places(found)
    assert ordered(found) == sum((tail.length for tail in tails), Decimal(0)) / 1000
    words = said(paper(job, "labels"))
    long = length_text(job.allowances.tail_length, job.site)
    assert words.count(f", tail {long}") == len(tails)
    if tails:
        assert [row[0] for row in listed(job)] == [tail.bar for tail in tails]
    # What a connector is bared for goes into it.
    plan = found.plan
    made = {each.cable: each for each in joints(plan.parts, plan.routes, plan.circuits.legs)}
    for tail in tails:
        joint = made.get(tail.cable)
        if joint and joint.connector and joint.connector.id == "lever-3" and tail.part:
            assert Takes.of(joint.connector).takes(float(tail.part.mm2))


@pytest.mark.regression
def test_a_tail_is_a_part_with_a_length():
    found = folder(one_bar())
    (tail,) = found.plan.tails
    assert (tail.bar, tail.at, tail.cable, tail.cores) == ("R1.1", "left", "L1.1", 2)
    assert (tail.length, tail.part.id) == (150, "tail-2x0.5")
    assert ordered(found) == Decimal("0.15")
    # Common practice: a small lever connector wants 6 mm of bare wire.
    assert listed(one_bar()) == (
        ("R1.1", "left end", "L1.1", "150", "2", "6", "tail-2x0.5 by the metre"),
    )
    assert "left end: feed L1.1, + -, tail 150 mm" in said(paper(one_bar(), "labels"))
    longer = folder(one_bar(allowances={"tail_length": 250}))
    assert ordered(longer) == Decimal("0.25")


def test_tunable_white_has_a_wire_more_and_a_strong_bar_a_thicker_one():
    def part(**run: str) -> str:
        (tail,) = folder(row(2500, R1=run, L1={"cable": "round-2x1.5"})).plan.tails
        return tail.part.id

    assert part(strip="two-white-24") == "tail-3x0.5"
    # 2.45 m of 9.6 W/m are 1 A at 24 V; of 14.4 W/m at 12 V they would be over 2.
    assert part(strip="white-24-10") == "tail-2x0.5"
    strong: Fields = {"R1": {"strip": "even-24-10"}, "S1": {"part": "supply-24-96"}}
    many = folder(row(*[2000] * 5, underside="framed", L1={"cable": "round-2x2.5"}, **strong))
    assert {tail.part.id for tail in many.plan.tails} == {"tail-2x0.5", "tail-2x0.75"}


def test_a_tail_carries_its_own_run_and_not_what_goes_on_to_others():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    alone = folder(row(600, 600, R1={"cabinets": ["A1"]}, L1={"wiring": "chained"}))
    both = folder(row(600, 600, R1={"cabinets": ["A1"]}, add={"runs": [second]},
                      L1={"wiring": "chained"}))  # fmt: skip
    (one,) = alone.plan.tails
    first, other = both.plan.tails
    assert first.amps == pytest.approx(one.amps, rel=0.02)
    assert other.amps == pytest.approx(one.amps, rel=0.02)


def test_bars_that_are_made_have_their_tails():
    job: Job = one_bar()
    built = note_built(folder(job), ["R1"], "cut", rests="kept")
    assert ordered(folder(built)) == 0
    assert listed(built) == ()
