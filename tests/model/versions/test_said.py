"""What two versions of a job say differently is all of it, and nothing when they say the same."""

from decimal import Decimal
from random import Random

import pytest
from draws import quick
from edits import any_edit
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, one_bar

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.versions.said import FieldChange, differences


def hows(old: Job, new: Job) -> list[tuple[str, str, str]]:
    return [(each.how, each.kind, each.id) for each in differences(old, new)]


def test_a_changed_field_is_told_by_its_forms_title_in_the_jobs_unit():
    old = read_example("kitchen")
    new = set_value(old, "cabinet", "A2", "width", Decimal("812.8"))
    (one,) = differences(old, new)
    assert (one.how, one.kind, one.id) == ("changed", "cabinet", "A2")
    assert one.fields == (FieldChange("width", "Width", "800", "812.8"),)
    site, cabinet = differences(old, set_value(new, "site", "", "length_unit", "in"))
    assert site.fields == (FieldChange("length_unit", "Length unit", "mm", "in"),)
    assert cabinet.fields[0].after == "32"


def test_what_only_its_place_changed_of_was_moved():
    old = read_example("kitchen")
    new = set_value(old, "obstacle", old.obstacles[0].id, "at", old.obstacles[0].at + 5)
    assert hows(old, new) == [("moved", "obstacle", old.obstacles[0].id)]


def test_a_reading_that_nobody_took_any_more_is_told_by_its_mark():
    old = read_example("kitchen")
    new = set_value(old, "cabinet", "A1", "depth", old.find("cabinet", "A1").depth, assumed=True)
    (one,) = differences(old, new)
    depth = f"{old.find('cabinet', 'A1').depth}"
    assert one.fields == (FieldChange("depth", "Depth", depth, f"{depth}?"),)


def test_what_went_and_what_came_is_told_with_all_that_it_says():
    old = one_bar()
    new, item_id = add_item(old, "room")
    assert hows(old, new) == [("added", "room", item_id)]
    assert hows(new, old) == [("removed", "room", item_id)]
    (came,), (went,) = differences(old, new), differences(new, old)
    assert [each.after for each in came.fields] == [each.before for each in went.fields]
    assert ("Room", "Room 2") in [(each.title, each.after) for each in came.fields]


def test_only_what_stands_elsewhere_in_its_list_is_told_to_be_reordered():
    old = read_example("kitchen")
    first, second, *rest = old.walls
    new = rebuilt(old, walls=(second, first, *rest))
    (one,) = differences(old, new)
    assert (one.how, one.kind) == ("reordered", "wall")
    assert one.id in (first.id, second.id)


def test_parts_of_the_jobs_own_are_told_too():
    old = read_example("kitchen")
    part = bundled_catalogue().strips[0].model_copy(update={"id": "mine", "reel": Decimal(5000)})
    new, newer = (
        rebuilt(old, catalogue=Catalogue(strips=(part.model_copy(update={"reel": reel}),)))
        for reel in (Decimal(5000), Decimal(10000))
    )
    assert hows(old, new) == [("added", "strip part", "mine")]
    ((change,),) = (each.fields for each in differences(new, newer))
    assert (change.field, change.before, change.after) == ("reel", "5000", "10000")


def test_parts_are_told_as_the_file_calls_them_whichever_table_they_are_of():
    old = read_example("kitchen")
    bundled = bundled_catalogue()
    for table, info in Catalogue.model_fields.items():
        part = getattr(bundled, table)[0]
        (one,) = differences(old, rebuilt(old, catalogue=Catalogue(**{table: (part,)})))
        assert (one.kind, one.id) == (f"{info.alias} part", part.id)


@pytest.mark.property
@quick(60)
@given(any_job(), any_job())
def test_nothing_is_told_exactly_when_the_files_say_the_same(one, other):
    assert not differences(one, one)
    assert bool(differences(one, other)) == (job_text(one) != job_text(other))


@pytest.mark.property
@pytest.mark.parametrize("example", EXAMPLES)
@quick(40)
@given(seed=st.integers(0, 10**6))
def test_every_edit_is_told_and_the_way_back_tells_the_opposite(example, seed):
    random = Random(seed)
    old = new = read_example(example)
    for _ in range(random.randint(1, 4)):
        new = any_edit(new, random)
    there, back = differences(old, new), differences(new, old)
    assert bool(there) == (job_text(old) != job_text(new))
    opposite = {"added": "removed", "removed": "added"}
    assert {(opposite.get(each.how, each.how), each.kind, each.id) for each in there} == {
        (each.how, each.kind, each.id) for each in back
    }
    changed = {(each.kind, each.id, field.field): (field.before, field.after)
               for each in there for field in each.fields}  # fmt: skip
    for each in back:
        for field in each.fields:
            assert changed[each.kind, each.id, field.field] == (field.after, field.before)
