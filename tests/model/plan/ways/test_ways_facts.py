"""Facts that hold for the cables of any row of cabinets, whatever stands in it."""

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from cables import SLACK
from draws import examples
from hypothesis import assume, given
from hypothesis import strategies as st
from jobs import Fields, built, obstacle

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.survey.crossings import SUITED
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Place, Way
from pelmet.model.plan.ways.routes import Routes

GAPS = [0, 0, 0, 3, 40, 300, 900]
KINDS = ["wall cabinet", "wall cabinet", "shelf", "open unit"]
# What leaves a way: any crossing that suits, and for a hood one that is chosen.
CROSSINGS = {
    kind: [*suited, "not chosen"] if kind != "hood" else [*suited]
    for kind, suited in SUITED.items()
}


@st.composite
def rows(draw: st.DrawFn) -> Job:
    """Cabinets in a row, some apart with something between, one to three runs on one leg."""
    cabinets: list[Fields] = []
    things: list[Fields] = []
    left = 300
    for number in range(1, draw(st.integers(2, 5)) + 1):
        width = draw(st.sampled_from([300, 450, 600, 900]))
        kind = draw(st.sampled_from(KINDS))
        cabinets.append(
            {"id": f"A{number}", "wall": "A", "kind": kind, "at": left, "width": width,
             "depth": draw(st.sampled_from([250, 320])),
             "height": 25 if kind == "shelf" else 720,
             "bottom_height": draw(st.sampled_from([1400, 1400, 1520])),
             "back_set_in": draw(st.sampled_from([0, 0, 20])),
             "underside": draw(st.sampled_from(["flush", "framed"]))}
        )  # fmt: skip
        if draw(st.booleans()):
            at = left + draw(st.integers(100, width - 120))
            kind = draw(st.sampled_from(["stile", "partition"]))
            crossing = draw(st.sampled_from(CROSSINGS[kind]))
            things.append(obstacle(f"O{number}", at, 20, kind, crossing=crossing))
        left += width
        gap = draw(st.sampled_from(GAPS))
        if gap >= 300 and draw(st.booleans()):
            kind = draw(st.sampled_from(sorted(CROSSINGS)))
            crossing = draw(st.sampled_from(CROSSINGS[kind]))
            things.append(obstacle(f"P{number}", left, gap, kind, crossing=crossing))
        left += gap
    names = [cabinet["id"] for cabinet in cabinets]
    cuts = sorted(draw(st.sets(st.integers(1, len(names) - 1), max_size=2)))
    runs = [
        {"id": f"R{number}", "cabinets": names[start:stop], "leg": "L1",
         "feed_end": draw(st.sampled_from(["left", "right"]))}
        for number, (start, stop) in enumerate(pairwise([0, *cuts, len(names)]), 1)
    ]  # fmt: skip
    place = draw(st.sampled_from(["in cabinet", "in cabinet", "on top of cabinet", "in plinth"]))
    return built(
        {
            "rooms": [{"id": "K", "name": "Invented room"}],
            "walls": [{"id": "A", "room": "K", "length": 20_000}],
            "cabinets": cabinets,
            "obstacles": things,
            "runs": runs,
            "supplies": [{"id": "S1", "cabinet": draw(st.sampled_from(names)), "place": place}],
            "legs": [{"id": "L1", "supply": "S1"}],
        }
    )


def with_leg(job: Job, **changes: Any) -> Job:
    return job.model_copy(update={"legs": (job.legs[0].model_copy(update=changes),)})


def with_feed(job: Job, end: str) -> Job:
    runs = tuple(run.model_copy(update={"feed_end": end}) for run in job.runs)
    return job.model_copy(update={"runs": runs})


def routes(job: Job) -> Routes:
    return plan_job(job).routes


def minutes(job: Job) -> float:
    return sum(way.minutes for lead in routes(job).leads for way in lead.ways)


def fed(job: Job) -> set[str | None]:
    """Give the runs that a cable of known length comes to."""
    return {lead.run for lead in routes(job).leads if lead.length} - {None}


def tips(way: Way) -> set[int]:
    return {way.start, way.end}


def tree_of(ways: list[Way]) -> bool:
    """Tell whether ways hang together without a ring: each joins two parts that were apart."""
    part: dict[int, int] = {}

    def root(node: int) -> int:
        while part.setdefault(node, node) != node:
            node = part[node]
        return node

    for way in ways:
        one, other = root(way.start), root(way.end)
        if one == other:
            return False
        part[one] = other
    return len({root(node) for node in list(part)}) <= 1


@pytest.mark.property
@examples(50)
@given(rows())
def test_every_feed_end_is_come_to_when_nothing_bars_the_way(job):
    for wiring in ("branched", "chained", "home run"):
        assert fed(with_leg(job, wiring=wiring)) == {
            fit.run.id for fit in plan_job(job).fits if fit.bars
        }


@pytest.mark.property
@examples(50)
@given(rows())
def test_branched_never_takes_longer_than_chained_or_home_runs(job):
    branched = minutes(with_leg(job, wiring="branched"))
    assert routes(job).unproven == ()
    for wiring in ("chained", "home run"):
        assert branched <= minutes(with_leg(job, wiring=wiring)) + 1e-6


@pytest.mark.property
@examples(50)
@given(rows(), st.data())
def test_what_a_leg_must_do_never_makes_it_quicker(job, data):
    names = [cabinet.id for cabinet in job.cabinets]
    some = st.lists(st.sampled_from(names), max_size=2, unique=True)
    free = minutes(job)
    assert free <= minutes(with_leg(job, via=tuple(data.draw(some)))) + 1e-6
    kept_out = with_leg(job, avoid=tuple(data.draw(some)))
    if fed(kept_out) == fed(job):
        assert free <= minutes(kept_out) + 1e-6


@pytest.mark.property
@examples(50)
@given(rows())
def test_a_branched_leg_is_a_tree_from_its_supply(job):
    leads = routes(job).leads
    assume(all(lead.length for lead in leads))
    assert tree_of([way for lead in leads for way in lead.ways])
    seen: dict[str, Cable] = {}
    for lead in leads:
        if lead.before is None:
            assert lead.places[0].level == "supply"
        else:
            assert lead.places[0] == seen[lead.before].places[-1]
            assert lead.origin == seen[lead.before].end
        seen[lead.id] = lead
        assert (lead.run is None) == (lead.places[-1].level != "bar")
    # Nothing is laid past the last feed end: what comes to no run goes on, in two or more cables.
    for lead in leads:
        on = sum(other.before == lead.id for other in leads)
        assert on >= 2 if lead.run is None else on in (0, 1)


def square(one: Place, other: Place) -> float:
    return abs(one.along - other.along) + abs(one.out - other.out) + abs(one.height - other.height)


@pytest.mark.property
@examples(50)
@given(rows(), st.sampled_from(["branched", "chained", "home run"]))
def test_a_cable_is_a_way_without_a_break_and_cut_long_enough(job, wiring):
    for cable in routes(with_leg(job, wiring=wiring)).cables:
        assert len(cable.places) == len(cable.ways) + 1
        for way, (one, other) in zip(cable.ways, pairwise(cable.places), strict=True):
            if way.kind not in ("in channel", "in wall"):  # those go round things
                assert way.length == pytest.approx(square(one, other))
            assert way.length >= square(one, other) - 1e-6 or way.kind == "in channel"
        needed = 1.1 * (sum(way.length for way in cable.ways) + 2 * SLACK)
        assert -1e-6 <= float(cable.length.value) - needed < 100
        assert float(cable.length.value) % 100 == 0


@pytest.mark.property
@examples(50)
@given(rows(), st.data())
def test_a_leg_touches_no_cabinet_that_it_keeps_out_of(job, data):
    names = [cabinet.id for cabinet in job.cabinets]
    avoid = data.draw(st.lists(st.sampled_from(names), min_size=1, max_size=2))
    for lead in routes(with_leg(job, avoid=tuple(avoid))).leads:
        assert not {place.owner for place in lead.places} & set(avoid)
        assert not {hole.owner for way in lead.ways for hole in way.drillings} & set(avoid)


@pytest.mark.property
@examples(50)
@given(rows())
def test_moving_the_feed_end_changes_no_bar(job):
    def bars(end: str) -> list[tuple[Any, ...]]:
        return [
            (bar.id, bar.left, bar.length, bar.units.value, bar.lit.value, bar.splices)
            for bar in plan_job(with_feed(job, end)).bars
        ]

    assert bars("left") == bars("right")


def light(job: Job) -> Decimal:
    bars: tuple[Bar, ...] = plan_job(job).bars
    return sum((Decimal(bar.lit.value) for bar in bars), Decimal(0))


@pytest.mark.property
@examples(50)
@given(rows(), st.integers(300, 5000), st.integers(1, 80))
def test_a_stile_more_never_lengthens_the_light(job, at, width):
    # A bar that is cut for its length may be cut better by a stile, so such rows are left out.
    assume(all(bar.opening.clear.formula_id != "split opening" for bar in plan_job(job).bars))
    things = [*job.model_dump()["obstacles"], obstacle("O9", at, width)]
    more = Job.model_validate(job.model_dump() | {"obstacles": things})
    assert light(more) <= light(job)


@pytest.mark.property
@examples(50)
@given(rows(), st.integers(300, 5000), st.sampled_from(["partition", "pipe", "stile"]))
def test_no_cable_passes_what_may_not_be_passed(job, at, kind):
    things = [*job.model_dump()["obstacles"], obstacle("O9", at, 40, kind, crossing="none")]
    barred = Job.model_validate(job.model_dump() | {"obstacles": things})
    assert fed(barred) <= {fit.run.id for fit in plan_job(barred).fits if fit.bars}
    # What stands in an underside alone is in nobody's way inside.
    free = {"partition": set(), "pipe": {"inside"}, "stile": {"inside"}}[kind]
    for cable in routes(barred).cables:
        assert {way.kind for way in cable.ways if "O9" in way.passes} <= free
