"""Ids: given once, never again, and every name of one known; and marks that name a field."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import one_bar
from pydantic import ValidationError

from pelmet.model.job.items import KINDS
from pelmet.model.job.job import MODELS, Job
from pelmet.model.job.references import REFERENCES, nearest, reference_faults


def faults(retired: tuple[str, ...] = (), **tables: Any) -> list[tuple[Any, str, str]]:
    return [(one.path, one.found, one.says) for one in reference_faults(tables, retired)]


def refusal(**how: Any) -> str:
    with pytest.raises(ValidationError) as caught:
        one_bar(**how)
    return str(caught.value)


def test_sound_tables_have_no_faults():
    assert faults(room=[{"id": "K"}], wall=[{"id": "A", "room": "K"}]) == []


@pytest.mark.parametrize(("kind", "field", "target"), REFERENCES)
def test_every_name_of_another_thing_must_be_known(kind, field, target):
    assert field in MODELS[kind].model_fields
    several = field == "cabinets"
    item = {"id": "X9", field: ["A1", "A2", "Z9"] if several else "Z9"}
    tables = {target: [{"id": "A1"}, {"id": "A2"}]}
    tables[kind] = [*tables.get(kind, []), item]
    ((path, found, says),) = faults(**tables)
    row = len(tables[kind]) - 1
    assert path == ((kind, row, field, 2) if several else (kind, row, field))
    assert found == "Z9"
    assert f"no {target} with this id" in says


def test_every_field_that_names_a_thing_by_its_kind_is_in_the_table():
    named = {(kind, field) for kind, field, _ in REFERENCES}
    for kind in KINDS:
        for field, info in MODELS[kind].model_fields.items():
            singular = field.removesuffix("s")
            if singular in KINDS and info.annotation is not int:
                assert (kind, field) in named
    assert {("leg", "via"), ("leg", "avoid")} <= named  # cabinets by another name


def test_a_name_nearly_right_is_told_the_right_one():
    ((_, _, says),) = faults(wall=[{"id": "North"}], cabinet=[{"id": "A1", "wall": "Nort"}])
    assert says.endswith('(did you mean "North"?)')


@pytest.mark.parametrize(
    ("word", "known", "said"),
    [
        ("A11", {"A1", "B7"}, ' (did you mean "A1"?)'),
        ("surface-71", {"surface-17", "slim-12"}, ' (did you mean "surface-17"?)'),
        ("xyz", {"A1"}, ""),
        ("A1", set(), ""),
    ],
)
def test_the_nearest_word_is_offered_only_when_it_is_near(word, known, said):
    assert nearest(word, known) == said


def test_an_id_stands_once_in_the_whole_job():
    ((path, found, says),) = faults(room=[{"id": "A"}], wall=[{"id": "A", "room": "A"}])
    assert (path, found) == (("wall", 0, "id"), "A")
    assert "already a room" in says
    twice = [{"id": "A", "room": "K"}, {"id": "A", "room": "K"}, {"id": "A", "room": "K"}]
    assert [path for path, _, _ in faults(room=[{"id": "K"}], wall=twice)] == [
        ("wall", 1, "id"),
        ("wall", 2, "id"),
    ]


def test_ids_of_removed_things_are_never_used_again():
    ((path, found, says),) = faults(retired=("A", "B"), room=[{"id": "A"}])
    assert (path, found) == (("room", 0, "id"), "A")
    assert "never used again" in says


@pytest.mark.parametrize("own", [None, 5, True, {}], ids=repr)
def test_what_is_no_text_is_left_to_the_type_checks(own):
    assert faults(room=[{"id": own}], wall=[{"id": "A", "room": own}]) == []


def test_all_faults_are_told_at_once():
    found = faults(room=[{"id": "A"}, {"id": "A"}], wall=[{"id": "B", "room": "Z"}])
    assert [path for path, _, _ in found] == [("room", 1, "id"), ("wall", 0, "room")]


def test_a_job_with_a_dangling_name_is_refused_in_words():
    words = refusal(R1={"cabinets": ["A1", "A7"]})
    assert "A7" in words
    assert "no cabinet with this id" in words
    assert "no leg with this id" in refusal(R1={"leg": "L2"})
    assert "no supply with this id" in refusal(L1={"supply": "A1"})


def test_an_id_of_one_kind_is_no_name_of_another():
    assert "no wall with this id" in refusal(A1={"wall": "K"})


@pytest.mark.parametrize(
    "changes",
    [
        {"A1": {"colour": "white"}},
        {"R1": {"bars": []}},
        {"A1": {"kind": "drawer"}},
        {"A1": {"opening": [1, 2, 3, 4]}},
        {"R1": {"cabinets": []}},
        {"R1": {"pieces": 0}},
        {"R1": {"pieces": 7}},
        {"R1": {"pieces": 2.0}},
        {"R1": {"pieces": True}},
        {"R1": {"facing": "Down"}},
    ],
    ids=str,
)
def test_a_job_refuses_what_it_has_no_place_for(changes):
    assert refusal(**changes)


@pytest.mark.parametrize("version", [True, 1.0, "1", 0, 2, None])
def test_only_the_whole_number_one_is_a_schema(version):
    with pytest.raises(ValidationError):
        Job.model_validate({"schema": version})
    assert Job.model_validate({"schema": 1}) == Job()


@pytest.mark.parametrize("marks", [["widht"], ["\x1b[2J"], ["opening", "no"]], ids=ascii)
def test_a_mark_of_assumed_names_a_field_of_its_thing(marks):
    # Else a slip of the pen would turn a guess into a reading.
    assert refusal(A1={"assumed": marks})


def test_a_job_is_found_by_kind_and_id_only():
    job = one_bar()
    assert job.find("cabinet", "A1") is job.cabinets[0]
    for kind, own in (("wall", "A1"), ("cabinet", "A2")):
        with pytest.raises(KeyError):
            job.find(kind, own)


@pytest.mark.property
@given(st.lists(st.sampled_from(["A", "B", "C"]), max_size=6), st.sets(st.sampled_from("ABC")))
def test_each_id_too_many_is_one_fault(ids, retired):
    found = faults(retired=tuple(retired), room=[{"id": own} for own in ids])
    assert len(found) == sum(own in ids[:row] or own in retired for row, own in enumerate(ids))
