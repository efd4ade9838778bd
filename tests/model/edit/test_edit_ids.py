"""Ids for new things: short, unique, and never used again however much is removed."""

import re
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, built
from strategies import jobs

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import remove
from pelmet.model.edit.ids import WALL_LETTERS, fresh_id
from pelmet.model.file.job.reading import read_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.items import KINDS, Item, Kind
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal

WRITTEN = re.compile(r"[A-Za-z][A-Za-z0-9_.-]{0,23}")


def ids(job: Job) -> Iterator[str]:
    return (item.id for kind in KINDS for item in job.table(kind))


def things(job: Job) -> list[tuple[Kind, Item]]:
    return [(kind, item) for kind in KINDS for item in job.table(kind)]


def test_a_first_thing_of_each_kind_gets_a_short_plain_id():
    assert [fresh_id(Job(), kind) for kind in ("room", "wall", "obstacle", "run")] == [
        "room1", "A", "O1", "R1",
    ]  # fmt: skip
    assert [fresh_id(Job(), kind) for kind in ("supply", "leg")] == ["S1", "L1"]


def test_a_cabinet_is_called_after_its_wall():
    job, _ = add_item(Job(), "wall")
    job, first = add_item(job, "cabinet")
    job, second = add_item(job, "cabinet")
    job, wall = add_item(job, "wall")
    job, third = add_item(job, "cabinet", job.find("wall", wall))
    assert (first, second, third) == ("A1", "A2", "B1")


def test_walls_leave_out_the_letters_that_read_as_digits_or_begin_other_ids():
    assert not set(WALL_LETTERS) & set("IOLRS")


def test_after_the_last_wall_letter_come_two_letters():
    job = Job()
    names = []
    for _ in range(len(WALL_LETTERS) + 2):
        job, item_id = add_item(job, "wall")
        names.append(item_id)
    assert "".join(names[:-2]) == WALL_LETTERS
    assert names[-2:] == ["AA", "AB"]


_NOTED = ("offcut", "ordered", "given", "cut", "hung", "drilled", "laid", "fitted", "diary")
BY_HAND = [kind for kind in KINDS if kind not in _NOTED]


@pytest.mark.parametrize("kind", BY_HAND)
def test_an_id_is_not_given_again_after_its_thing_is_gone(kind):
    job = Job()
    for needed in ("room", "wall", "cabinet", "supply", kind):
        job, item_id = add_item(job, needed)
    job = remove(job, kind, item_id)
    for needed in ("room", "wall", "cabinet", "supply"):
        job, _ = add_item(job, needed)
    job, again = add_item(job, kind)
    assert again != item_id
    assert item_id in job.site.retired


@pytest.mark.property
@given(any_job() | jobs(), st.data())
def test_no_id_is_ever_used_twice_through_any_adding_and_removing(job, data):
    seen = {*ids(job), *job.site.retired}
    for _ in range(6):
        here = things(job)
        if here and data.draw(st.booleans(), "remove"):
            kind, item = data.draw(st.sampled_from(here), "what")
            job = remove(job, kind, item.id)
            assert set(ids(job)) <= seen
        else:
            kind = data.draw(st.sampled_from(KINDS), "kind")
            near = data.draw(st.sampled_from([None, *(item for _, item in here)]), "near")
            try:
                job, item_id = add_item(job, kind, near)
            except Refusal:
                continue
            new = set(ids(job)) - seen
            assert item_id in new
            assert all(WRITTEN.fullmatch(name) for name in new)
            seen |= new
    assert read_job(job_text(job).encode(), "job.toml") == job


@pytest.mark.parametrize("number", ["0", "007", "999999999999999999999"])
def test_any_number_in_an_old_id_leaves_room_for_the_next(number):
    odd = f"R{number}"
    job = built({"rooms": [{"id": odd, "name": "Odd"}]})
    item_id = fresh_id(job, "run")
    assert item_id != odd
    assert WRITTEN.fullmatch(item_id)


def test_a_wall_with_the_longest_id_can_have_cabinets():
    wall = "W" * 24
    job = built(
        {"rooms": [{"id": "K", "name": "K"}], "walls": [{"id": wall, "room": "K", "length": 3000}]}
    )
    job, first = add_item(job, "cabinet")
    job, second = add_item(job, "cabinet")
    assert first != second
    assert WRITTEN.fullmatch(first)
    assert [cabinet.wall for cabinet in job.cabinets] == [wall, wall]
