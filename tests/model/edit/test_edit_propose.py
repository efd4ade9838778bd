"""Proposals: a run under each stretch of flush cabinets, a leg and enough supply for each run."""

from itertools import pairwise
from typing import Any

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, built, obstacle, one_bar, part, row

from pelmet.model.edit.change import set_value
from pelmet.model.edit.propose import propose_power, propose_runs
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import bundled_catalogue, find_part, overlay
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal

PARTS = bundled_catalogue()
CABINET = {"depth": 320, "bottom_height": 1400}


def wall(*cabinets: dict, walls: tuple[str, ...] = ("A",)) -> Job:
    """Cabinets on long walls of one room, no run yet."""
    return built(
        {
            "rooms": [{"id": "K", "name": "K"}],
            "walls": [{"id": name, "room": "K", "length": 50_000} for name in walls],
            "cabinets": [CABINET | cabinet for cabinet in cabinets],
        }
    )


def at(name: str, place: float, width: float = 600, **how: object) -> dict:
    return {"id": name, "wall": name[0], "at": place, "width": width, **how}


def runs(job: Job) -> list[tuple[str, ...]]:
    return [run.cabinets for run in propose_runs(job).runs]


def bare_example() -> Job:
    """The example's survey with nothing planned yet."""
    return read_example("kitchen").model_copy(update={"runs": (), "legs": (), "supplies": ()})


def test_the_example_gets_the_runs_its_owner_chose():
    chosen = [run.cabinets for run in read_example("kitchen").runs]
    assert runs(bare_example()) == chosen


def test_a_gap_a_step_and_a_frame_each_end_a_run():
    assert runs(wall(at("A1", 0), at("A2", 600), at("A3", 1210))) == [("A1", "A2"), ("A3",)]
    assert runs(wall(at("A1", 0), at("A2", 600, bottom_height=1450))) == [("A1",), ("A2",)]
    assert runs(wall(at("A1", 0), at("A2", 600, underside="framed"), at("A3", 1200))) == [
        ("A1",), ("A2",), ("A3",),
    ]  # fmt: skip


def test_the_allowances_say_which_gap_and_step_a_bar_may_bridge():
    job = wall(at("A1", 0), at("A2", 605, bottom_height=1402))
    assert runs(job) == [("A1",), ("A2",)]
    for field, value in (("flush_gap", 5), ("flush_step", 2)):
        job = set_value(job, "allowances", "", field, value)
    assert runs(job) == [("A1", "A2")]


def test_shelves_above_do_not_break_the_line_below_them():
    low = [at(f"A{n}", 600 * n) for n in range(3)]
    high = [at(f"A{n + 5}", 600 * n + 100, bottom_height=2150) for n in range(3)]
    assert sorted(runs(wall(*low, *high))) == [("A0", "A1", "A2"), ("A5", "A6", "A7")]


def test_runs_follow_the_wall_and_not_the_order_of_typing():
    assert runs(wall(at("A3", 1200), at("A1", 0), at("A2", 600))) == [("A1", "A2", "A3")]


def test_walls_are_never_joined():
    job = wall(at("A1", 0), at("B1", 600), walls=("A", "B"))
    assert runs(job) == [("A1",), ("B1",)]


def test_what_is_lit_already_is_left_alone_and_its_choices_are_taken_over():
    job = row(600, 600, underside="flush", R1={"cabinets": ["A1"], "channel": "slim-12",
                                               "pieces": 2, "note": "mine"})  # fmt: skip
    after = propose_runs(job)
    assert after.runs[0] == job.runs[0]
    new = after.runs[1]
    assert (new.cabinets, new.channel) == (("A2",), "slim-12")
    assert (new.leg, new.note, new.pieces) == (None, "", 1)


def test_nothing_to_hang_light_under_is_refused_in_words():
    with pytest.raises(Refusal, match="cabinets first"):
        propose_runs(Job())
    with pytest.raises(Refusal, match="Every cabinet has a run"):
        propose_runs(one_bar())


def test_a_stretch_longer_than_one_run_takes_is_shared_out():
    job = wall(*(at(f"A{n}", 300 * n, 300) for n in range(70)))
    assert [len(names) for names in runs(job)] == [60, 10]


def joined(job: Job) -> set[frozenset[str]]:
    """Group free cabinets by neighbourhood: every two on one plane with nothing between."""
    lit = {name for run in job.runs for name in run.cabinets}
    groups = {each.id: {each.id} for each in job.cabinets if each.id not in lit}
    by_level = sorted(
        (each for each in job.cabinets if each.id in groups and each.underside == "flush"),
        key=lambda each: (each.wall, each.bottom_height, each.at),
    )
    for left, right in pairwise(by_level):
        same = (left.wall, left.bottom_height) == (right.wall, right.bottom_height)
        gap = abs(right.at - left.at - left.width)
        if same and gap <= job.allowances.flush_gap:
            whole = groups[left.id] | groups[right.id]
            groups.update(dict.fromkeys(whole, whole))
    return {frozenset(group) for group in groups.values()}


@st.composite
def two_levels(draw: st.DrawFn) -> Job:
    """Two interleaved rows of cabinets at levels far apart, with gaps and frames."""
    cabinets = []
    for name, height in (("A1", 1400), ("A2", 2100)):
        place = draw(st.sampled_from([0, 100]))
        for number in range(draw(st.integers(0, 4))):
            width = draw(st.sampled_from([300, 600]))
            place += draw(st.sampled_from([0, 0, 3, 4]))
            under = draw(st.sampled_from(["flush", "flush", "framed"]))
            own = at(f"{name}{number}", place, width, bottom_height=height, underside=under)
            cabinets.append(own)
            place += width
    return wall(*draw(st.permutations(cabinets)))


@pytest.mark.cross_check
@pytest.mark.property
@given(two_levels())
def test_the_stretches_are_those_a_second_way_of_grouping_gives(job):
    if job.cabinets:
        assert {frozenset(names) for names in runs(job)} == joined(job)


@pytest.mark.property
@examples(50)
@given(any_job())
def test_every_cabinet_is_lit_once_more_at_most_and_none_is_left(job):
    try:
        after = propose_runs(job)
    except Refusal:
        return
    assert after.runs[: len(job.runs)] == job.runs
    new = [name for run in after.runs[len(job.runs) :] for name in run.cabinets]
    lit = {name for run in job.runs for name in run.cabinets}
    assert sorted(new) == sorted(each.id for each in job.cabinets if each.id not in lit)


def test_each_unfed_run_gets_a_leg_of_its_own_from_one_supply():
    job = propose_power(propose_runs(bare_example()), PARTS)
    assert len({run.leg for run in job.runs}) == len(job.legs) == 4
    assert {leg.supply for leg in job.legs} == {"S1"}
    assert len(job.supplies) == 1
    assert job.supplies[0].cabinet == "B1"  # in the middle of A1 A2 A3 B1 B2 B3


def test_the_proposed_supply_is_the_smallest_that_carries_its_load_and_has_the_terminals():
    job = propose_power(propose_runs(bare_example()), PARTS)
    budget = plan_job(job).supplies[0]
    supply = find_part(PARTS.supplies, job.supplies[0].part)
    assert float(budget.load.value) <= 0.8 * float(supply.watts)
    smaller = [each for each in PARTS.supplies if each.volts == 24 and each.watts < supply.watts]
    assert smaller
    for each in smaller:
        carried = float(budget.load.value) <= 0.8 * float(each.watts)
        assert not carried or each.terminals < len(budget.legs)


def test_a_load_no_supply_carries_gets_the_biggest_one():
    job = row(*[1000] * 8, at=0, R1={"strip": "white-24-14", "leg": None})
    after = propose_power(job, PARTS)
    assert find_part(PARTS.supplies, after.supplies[0].part).watts == 96


def test_a_supply_that_is_big_enough_is_kept_and_so_are_the_legs():
    job = one_bar(S1={"part": "supply-24-96"}, add={
        "cabinets": [at("A2", 1383, bottom_height=1400, depth=320)],
        "runs": [{"id": "R2", "cabinets": ["A2"]}],
    })  # fmt: skip
    after = propose_power(job, PARTS)
    assert after.supplies == job.supplies
    assert after.legs[:1] == job.legs
    assert after.runs[0] == job.runs[0]


def test_a_run_of_other_volts_gets_a_supply_of_its_own_volts():
    job = one_bar(add={
        "cabinets": [at("A2", 1383)  | CABINET],
        "runs": [{"id": "R2", "cabinets": ["A2"], "strip": "white-12-10"}],
    })  # fmt: skip
    after = propose_power(job, PARTS)
    volts = {
        run.id: find_part(
            PARTS.supplies,
            after.find("supply", after.find("leg", run.leg).supply).part,
        ).volts
        for run in after.runs
    }
    assert volts == {"R1": 24, "R2": 12}
    assert "mixed-volts" not in {finding.code for finding in plan_job(after).findings}


def test_a_new_leg_takes_the_last_cable():
    job = one_bar(L1={"cable": "round-2x1.5"}, add={
        "cabinets": [at("A2", 1383) | CABINET],
        "runs": [{"id": "R2", "cabinets": ["A2"]}],
    })  # fmt: skip
    assert propose_power(job, PARTS).legs[1].cable == "round-2x1.5"


def test_power_for_nothing_is_refused_in_words():
    with pytest.raises(Refusal, match="There is no run yet; add runs first"):
        propose_power(Job(), PARTS)
    with pytest.raises(Refusal, match="Every run has a leg"):
        propose_power(one_bar(), PARTS)


def test_a_supply_of_the_jobs_own_parts_can_be_the_one_that_fits():
    own = part("supplies", "big", volts=24, watts=200)
    job = row(*[1000] * 8, at=0, R1={"strip": "white-24-14", "leg": None},
              parts={"supplies": [own]})  # fmt: skip
    after = propose_power(job, overlay(PARTS, job.catalogue))
    assert after.supplies[0].part == "big"


@pytest.mark.property
@examples(50)
@given(any_job())
def test_any_job_with_runs_ends_with_every_run_fed(job):
    parts = overlay(PARTS, job.catalogue)
    try:
        after = propose_power(job, parts)
    except Refusal:
        return
    assert all(run.leg for run in after.runs)
    assert "no-supply" not in {finding.code for finding in plan_job(after, PARTS).findings}
    assert after.legs[: len(job.legs)] == job.legs


# Common practice: a supply sits inside a cabinet with doors, never in the heat of a hob.
def test_a_supply_is_proposed_inside_a_closed_cabinet_that_hangs_over_no_hob():
    def home(**how: Any) -> str | None:
        bare = row(600, 600, 600, R1={"leg": None}, drop=["L1", "S1"], **how)
        return propose_power(bare, PARTS).supplies[0].cabinet

    hob = obstacle("O1", 1150, 500, "hob zone")
    assert home() == "A2"
    assert home(add={"obstacles": [hob]}) == "A1"
    assert home(A1={"kind": "shelf"}, A2={"kind": "open unit"}) == "A3"
