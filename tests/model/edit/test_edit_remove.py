"""Removing a thing takes what cannot be without it, clears the rest, and retires the ids."""

import pytest
from hypothesis import given
from jobs import any_job, built, one_bar, row
from strategies import jobs

from pelmet.model.edit.change import remove, remove_all
from pelmet.model.examples import read_example
from pelmet.model.job.items import KINDS, Kind
from pelmet.model.job.job import Job
from pelmet.model.job.references import REFERENCES

OPTIONAL = {
    ("run", "leg"),
    ("run", "far_leg"),
    ("supply", "cabinet"),
    ("leg", "zone"),
    ("leg", "via"),
    ("leg", "avoid"),
    ("cut", "offcut"),
    ("cut", "rest_of"),
    ("drilled", "cabinet"),
    ("drilled", "obstacle"),
    ("laid", "run"),
    ("laid", "wall"),
    ("fitted", "cabinet"),
}


def names(job: Job) -> dict[str, Kind]:
    return {item.id: kind for kind in KINDS for item in job.table(kind)}


def named_by(job: Job, kind: Kind, item_id: str) -> dict[tuple[str, str], tuple[str, ...]]:
    """Give what a thing names, by field, as a second reading of the job's own tables."""
    item = job.find(kind, item_id)
    found = {}
    for each, field, _ in REFERENCES:
        if each == kind:
            value = getattr(item, field)
            named = value if isinstance(value, tuple) else (value,)
            found[kind, field] = tuple(one for one in named if one is not None)
    return found


def cannot_stand(job: Job, kind: Kind, item_id: str, gone: set[str]) -> bool:
    return any(
        each not in OPTIONAL and named and gone.issuperset(named)
        for each, named in named_by(job, kind, item_id).items()
    )


def closure(job: Job, item_id: str) -> set[str]:
    """Work out what goes with a thing by asking again until nothing more goes."""
    gone = {item_id}
    while True:
        more = {name for name, kind in names(job).items() if cannot_stand(job, kind, name, gone)}
        left = [each for each in job.laid if each.id not in gone]
        more |= {
            each.id
            for each in left
            if each.run in gone and not each.wall and not any(o.before == each.cable for o in left)
        }
        if more <= gone:
            return gone
        gone |= more


def test_a_wall_takes_all_that_stands_at_it_and_the_runs_left_with_nothing():
    job = remove(read_example("kitchen"), "wall", "A")
    assert [cabinet.id for cabinet in job.cabinets] == ["B1", "B2", "B3"]
    assert [obstacle.id for obstacle in job.obstacles] == ["O4"]
    assert [run.id for run in job.runs] == ["R3", "R4"]


def test_a_supply_whose_cabinet_goes_stays_and_sits_nowhere():
    job = remove(read_example("kitchen"), "wall", "A")
    assert [(supply.id, supply.cabinet) for supply in job.supplies] == [("S1", None)]


def test_a_run_that_loses_one_cabinet_keeps_the_others():
    job = remove(row(600, 600, 600), "cabinet", "A2")
    assert job.find("run", "R1").cabinets == ("A1", "A3")


def test_a_leg_stays_when_the_cabinets_it_goes_by_or_keeps_out_of_go():
    job = row(600, 600, 600, L1={"via": ["A2", "A3"], "avoid": ["A2"]})
    leg = remove(job, "cabinet", "A2").find("leg", "L1")
    assert (leg.via, leg.avoid) == (("A3",), ())


def test_a_supply_takes_its_legs_and_leaves_their_runs_unfed():
    job = remove(read_example("kitchen"), "supply", "S1")
    assert (job.supplies, job.legs) == ((), ())
    assert [run.leg for run in job.runs] == [None] * 4


def test_a_leg_leaves_its_run_unfed():
    job = remove(one_bar(), "leg", "L1")
    assert [(run.id, run.leg) for run in job.runs] == [("R1", None)]


def test_a_room_takes_its_walls_and_all_at_them():
    job = remove(read_example("kitchen-with-pantry"), "room", "pantry")
    before = read_example("kitchen")
    assert [run.id for run in job.runs] == [run.id for run in before.runs]
    assert job.cabinets == before.cabinets
    assert job.site.retired == ("pantry", "P", "P1", "R5")


def test_the_same_name_in_another_table_does_not_go_too():
    job = built(
        {
            "rooms": [{"id": "K", "name": "K"}],
            "walls": [{"id": "A", "room": "K", "length": 3000}],
            "supplies": [{"id": "S1"}],
        }
    )
    job = remove(job, "supply", "S1")
    assert [wall.id for wall in job.walls] == ["A"]


def test_what_is_not_there_cannot_be_retired_twice():
    job = remove(one_bar(), "leg", "L1")
    assert job.site.retired == ("L1",)
    assert remove(job, "run", "R1").site.retired == ("L1", "R1")


@pytest.mark.cross_check
@pytest.mark.property
@given(any_job() | jobs())
def test_what_goes_is_just_what_cannot_be_without_it(job):
    for name, kind in names(job).items():
        after = remove(job, kind, name)
        gone = closure(job, name)
        assert names(job).keys() - names(after).keys() == gone
        assert set(after.site.retired) == {*job.site.retired, *gone}
        for left, left_kind in names(after).items():
            item = after.find(left_kind, left)
            if not any(gone & set(n) for n in named_by(job, left_kind, left).values()):
                assert item == job.find(left_kind, left)


def test_a_run_that_is_built_takes_its_cable_along_unless_another_goes_on_from_it():
    job = read_example("kitchen-proved-pantry-begun")
    assert [each.cable for each in remove(job, "run", "R1").laid] == [
        each.cable for each in job.laid if each.run != "R1"
    ]
    led_on = next(each for each in job.laid if each.run == "R4")
    rows = (
        each.model_copy(update={"before": led_on.cable}) if each.run == "R3" else each
        for each in job.laid
    )
    chained = job.model_copy(update={"laid": tuple(rows)})
    kept = remove(chained, "run", "R4").find("laid", led_on.id)
    assert (kept.run, kept.cable) == (None, led_on.cable)
    both = remove_all(chained, {"R3": "run", "R4": "run"})
    assert {each.cable for each in both.laid} == {
        each.cable for each in job.laid if each.run not in ("R3", "R4")
    }
