"""Ways to feed against every way done by hand, and what holds for each of them in any job."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, NamedTuple

import pytest
from draws import quick
from feeds import OWN, works
from hypothesis import assume, given
from hypothesis import strategies as st
from jobs import any_job, part, row

from pelmet.model.edit.change import rebuilt
from pelmet.model.edit.options.feeding import feeding_options
from pelmet.model.edit.options.feeding.ranking import ranked_ways
from pelmet.model.edit.options.feeding.trial import Before
from pelmet.model.edit.options.option import whole
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.prices import bundled_prices
from pelmet.model.order.folder import make_folder
from pelmet.model.order.status import STATUSES
from pelmet.model.plan.stages import plan_job

PARTS, BOOK = bundled_catalogue(), bundled_prices()
DONE = ("wired", "proved")
BOUGHT = STATUSES[STATUSES.index("ordered") :]
RATES = {"fitter": 50, "bench": 50, "electrician": 65}  # of the bundled book


class ByHand(NamedTuple):
    """How good a way is: 0 works, 1 works and disturbs, 2 does not; what it costs."""

    kind: int
    cost: Decimal


def spent(job: Job) -> Decimal:
    folder = make_folder(plan_job(job))
    hours = sum((work.minutes * RATES[work.task.trade] / 60 for work in folder.work), Decimal(0))
    return folder.quote.bought + hours


def lost(old: Job, new: Job) -> tuple[Decimal, bool]:
    """Give what is lost by supplies that go although they are bought, and whether any does."""
    total, any_gone = Decimal(0), False
    for supply in old.supplies:
        legs = [leg.id for leg in old.legs if leg.supply == supply.id]
        status = [run.status for run in old.runs if run.leg in legs]
        if new.find("supply", supply.id) == supply or not set(status) & set(BOUGHT):
            continue
        any_gone = True
        total += next(each.price for each in PARTS.supplies if each.id == supply.part) or 0
        if set(status) & set(DONE):
            total += Decimal(20 * RATES["fitter"] + 60 * RATES["electrician"]) / 60
    return total, any_gone


def judged(old: Job, new: Job, leg: str) -> ByHand:
    """Judge a job in which R9 hangs on a leg."""
    plan = plan_job(new)
    supply = new.find("leg", leg).supply
    words = {
        (each.level, each.code, each.about): each.says
        for each in plan_job(old).findings
        if each.level != "ask"
    }
    bad = False
    for each in plan.findings:
        if each.level == "ask":
            continue
        was = words.get((each.level, each.code, each.about))
        changed = was is None or (each.kind in ("supply", "leg") and was != each.says)
        bad = bad or changed or (each.level == "stop" and each.about in (leg, supply))
    circuit = next(each for each in plan.circuits.legs if each.leg.id == leg)
    laid = [lead.length for lead in plan.routes.leads if lead.leg == leg]
    bad = bad or circuit.worst is None or None in laid
    more, gone = lost(old, new)
    cut = any(run.leg == leg and run.status in DONE for run in old.runs)
    return ByHand(2 if bad else int(gone or cut), spent(new) - spent(old) + more)


def put(job: Job, leg: str) -> Job:
    runs = (run.model_copy(update={"leg": leg} if run.id == "R9" else {}) for run in job.runs)
    return rebuilt(job, runs=tuple(runs))


def alone(old: Job, job: Job, supply: str) -> ByHand:
    """Judge a leg of its own: with the cable of the last leg, or the cheapest that does."""
    own = [leg for leg in job.legs if leg.supply == supply] or job.legs
    first = own[-1].cable

    def with_cable(cable: str) -> ByHand:
        leg = own[-1].model_copy(update={"id": "L9", "supply": supply, "cable": cable,
                                         "length": None})  # fmt: skip
        return judged(old, put(rebuilt(job, legs=(*job.legs, leg)), "L9"), "L9")

    found = with_cable(first)
    if found.kind < 2:
        return found
    metric = (each.id for each in PARTS.cables if each.cores == 2 and each.mm2)
    return min([found, *map(with_cable, metric)])


def by_hand(job: Job) -> Iterator[ByHand]:
    """Feed R9 in every way: all legs, all supplies, all parts, all closed cabinets."""
    parts = [each for each in PARTS.supplies if each.volts == 24]
    sizes = {each.id: each for each in parts}
    for supply in job.supplies:
        yield alone(job, job, supply.id)
        old = sizes[supply.part]
        for each in parts:
            if each.watts > old.watts or each.terminals > old.terminals:
                new = supply.model_copy(update={"part": each.id})
                others = (new if one.id == supply.id else one for one in job.supplies)
                swapped = rebuilt(job, supplies=tuple(others))
                yield alone(job, swapped, supply.id)
                for leg in job.legs:
                    if leg.supply == supply.id:
                        yield judged(job, put(swapped, leg.id), leg.id)
    for leg in job.legs:
        yield judged(job, put(job, leg.id), leg.id)
    for cabinet in job.cabinets:
        for each in parts:
            new = job.supplies[-1].model_copy(
                update={"id": "S9", "part": each.id, "cabinet": cabinet.id}
            )
            yield alone(job, rebuilt(job, supplies=(*job.supplies, new)), "S9")


@st.composite
def small(draw: st.DrawFn) -> Job:
    """A few cabinets, a run each, one or two supplies, a leg or two; R9 is fed by nothing."""
    widths = draw(st.lists(st.sampled_from([400, 900, 1800, 2600]), min_size=2, max_size=4))
    two = draw(st.booleans())
    legs = draw(st.integers(2, 3))
    runs: list[dict[str, Any]] = [
        {"id": f"R{n}", "cabinets": [f"A{n}"], "leg": f"L{draw(st.integers(1, legs))}",
         "status": draw(st.sampled_from(["surveyed", "ordered", "wired", "proved"]))}
        for n in range(2, len(widths))
    ]  # fmt: skip
    strip = draw(st.sampled_from(["white-24-10", "white-24-14", "line-24-10"]))
    runs.append({"id": "R9", "cabinets": [f"A{len(widths)}"], "strip": strip,
                 "feed_end": draw(st.sampled_from(["left", "right", "both"]))})  # fmt: skip
    part_of = st.sampled_from(["supply-24-30", "supply-24-60", "supply-24-96"])
    cable = st.sampled_from(["flat-2x0.75", "round-2x1.0", "round-2x1.5"])
    supply = ["S1", "S2"][: 1 + two]
    add_legs = [
        {"id": f"L{n}", "supply": draw(st.sampled_from(supply)), "cable": draw(cable)}
        for n in range(2, legs + 1)
    ]
    return row(
        *widths,
        gap=draw(st.sampled_from([0, 400, 4000])),
        A={"length": 40_000},
        R1={"cabinets": ["A1"], "status": draw(st.sampled_from(["surveyed", "wired", "proved"]))},
        S1={"part": draw(part_of)},
        L1={"cable": draw(cable)},
        add={
            "runs": runs,
            "legs": add_legs,
            "supplies": [{"id": "S2", "part": draw(part_of), "cabinet": "A2"}] if two else [],
        },
    )


@pytest.mark.cross_check
@pytest.mark.property
@quick(8)
@given(small())
def test_the_first_way_is_as_good_as_the_best_of_all_done_by_hand(job):
    *_, found = ranked_ways(Before.of(job, OWN, "R9", None))
    first = found[0]
    best = min(by_hand(job))
    kind = int(bool(first.disturbed)) if first.works else 2
    assert kind == best.kind
    if kind < 2:  # of those that do not work, the fewest faults come before the cost
        assert first.cost == pytest.approx(best.cost)


@pytest.mark.property
@quick(15)
@given(any_job(), st.data())
def test_a_way_that_is_said_to_work_feeds_the_run_and_changes_nothing_bought_that_it_does_not_name(
    job, data
):
    assume(job.runs)
    run = data.draw(st.sampled_from(job.runs)).id
    runs = tuple(
        each.model_copy(
            update={"leg": None, "far_leg": None}
            if each.id == run
            else {"status": data.draw(st.sampled_from(STATUSES))}
        )
        for each in job.runs
    )
    job = rebuilt(job, runs=runs)
    stops = {(each.code, each.about) for each in plan_job(job).findings if each.level == "stop"}
    for option in whole(feeding_options(job, OWN, run)):
        new = option.job
        if new is None:
            continue
        assert new.find("run", run).leg is not None
        assert Job.model_validate(new.model_dump(by_alias=True)) == new
        assert [each for each in new.runs if each.id != run] == [
            each for each in job.runs if each.id != run
        ]
        assert new.legs[: len(job.legs)] == job.legs
        named = " ".join(each for each in option.reasons if each.startswith("disturbs "))
        for old in job.supplies:
            hangs = {leg.id for leg in job.legs if leg.supply == old.id}
            own = [each for each in job.runs if {each.leg, each.far_leg} & hangs]
            if any(each.status in BOUGHT for each in own):
                assert new.find("supply", old.id) == old or f"{old.id}, " in named
        teed = new.find("run", run).leg
        for each in job.runs:
            if teed in (each.leg, each.far_leg) and each.status in DONE:
                assert f"{each.id}, {each.status}" in named
        if works(option):
            after = plan_job(new).findings
            now = {(each.code, each.about) for each in after if each.level == "stop"}
            assert not now - stops
            assert option.gives.startswith("disturbs") == bool(named)


def test_the_parts_of_a_made_up_catalogue_are_tried_by_price():
    cheap = part("supplies", "cheap", watts=300, terminals=9, price=3)
    job = row(600, 600, R1={"cabinets": ["A1"]}, parts={"supplies": [cheap]},
              add={"runs": [{"id": "R9", "cabinets": ["A2"]}]})  # fmt: skip
    found = {each.choice: each.job for each in whole(feeding_options(job, OWN, "R9"))}
    assert found["new supply in A2"].supplies[1].part == "cheap"
