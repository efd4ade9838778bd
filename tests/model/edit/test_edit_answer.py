"""What is typed into a form is read as people write it, said back, or refused with its place."""

from decimal import Decimal

import pytest
from draws import examples
from hypothesis import given
from jobs import any_job
from strategies import jobs

from pelmet.model.edit.answer import echo, field_text, set_answer
from pelmet.model.edit.change import Subject, set_value, subject
from pelmet.model.edit.question import question_for
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import read_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job
from pelmet.model.measure.decimals import Misread
from pelmet.model.refusal import refusal_text
from pelmet.tui.session.steps import STEPS

KITCHEN = read_example("kitchen")


def after(
    field: str, text: str, kind: Subject = "cabinet", item_id: str = "A1", job: Job = KITCHEN
):
    """Answer a field and give its value, and what is assumed."""
    thing = subject(set_answer(job, kind, item_id, field, text), kind, item_id)
    return getattr(thing, field), getattr(thing, "assumed", ())


def refusal(field: str, text: str, kind: Subject = "cabinet", item_id: str = "A1"):
    """Give what is said about a refused answer, and the part of the text it is said about."""
    with pytest.raises(Misread) as caught:
        set_answer(KITCHEN, kind, item_id, field, text)
    misread = caught.value
    return refusal_text(misread, ""), text[misread.start : misread.end]


# One inch is 25.4 mm exactly, by the international yard and pound agreement of 1959:
# 34 5/8 in = 277/8 in, times 25.4 mm = 879.475 mm; 3 ft 4 in = 40 in = 1016 mm.
@pytest.mark.published
@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("883", "883"),
        ("88,3 cm", "883"),
        ("1.2 m", "1200"),
        ("34 5/8 in", "879.475"),
        ('34-5/8"', "879.475"),
        ("3' 4\"", "1016"),
        (" 883 ", "883"),
    ],
)
def test_a_length_is_read_as_people_write_it(typed, mm):
    assert after("width", typed) == (Decimal(mm), ())


@pytest.mark.published
def test_a_bare_number_means_the_unit_of_the_job():
    job = set_answer(KITCHEN, "site", "", "length_unit", "in")
    assert after("width", "34 5/8", job=job)[0] == Decimal("879.475")
    assert field_text(job, "cabinet", "A1", "width") == "600 mm"
    job = set_answer(job, "cabinet", "A1", "width", "34 5/8")
    assert field_text(job, "cabinet", "A1", "width") == "34 5/8"


INCHES = set_answer(KITCHEN, "site", "", "length_unit", "in")


@pytest.mark.regression
@pytest.mark.parametrize(
    ("typed", "shown", "kept"),
    [
        ("22 1/4", "22 1/4", "22 1/4 in"),
        ("22.25", "22.25", "22.25 in"),
        ('22 1/4"', "22 1/4", "22 1/4 in"),
        ("1' 10 1/4\"", "1 ft 10 1/4 in", "1 ft 10 1/4 in"),
        ("22 3/64", "22 3/64", "22 3/64 in"),  # finer than the job shows inches
    ],
)
def test_inches_stay_as_they_were_typed_in_form_and_file(typed, shown, kept):
    job = set_answer(INCHES, "cabinet", "A1", "width", typed)
    assert field_text(job, "cabinet", "A1", "width") == shown
    assert echo(job, "cabinet", "A1", "width") == kept
    text = job_text(job)
    assert f'width = "{kept}"' in text
    again = read_job(text.encode(), "kitchen.toml")
    assert again == job
    assert job_text(again) == text
    assert field_text(again, "cabinet", "A1", "width") == shown


@pytest.mark.regression
def test_several_readings_in_inches_stay_as_they_were_typed():
    job = set_answer(INCHES, "cabinet", "A1", "opening", '23 1/2; 23.5; 23 7/16"')
    assert field_text(job, "cabinet", "A1", "opening") == "23 1/2; 23.5; 23 7/16"
    assert echo(job, "cabinet", "A1", "opening") == "least 23 7/16 in"
    assert 'opening = ["23 1/2 in", "23.5 in", "23 7/16 in"]' in job_text(job)


def test_a_reading_in_inches_in_a_job_of_millimetres_is_shown_as_it_was_typed():
    job = set_answer(KITCHEN, "cabinet", "A1", "width", '34 5/8"?')
    assert field_text(job, "cabinet", "A1", "width") == "34 5/8 in?"
    assert echo(job, "cabinet", "A1", "width") == "879.475 mm, assumed"


def test_a_number_of_an_old_job_in_inches_is_said_back_to_the_nearest_fraction():
    assert field_text(INCHES, "cabinet", "A1", "width") == "600 mm"
    assert echo(INCHES, "cabinet", "A1", "width") == "~23 5/8 in"


def test_a_range_is_told_in_inches_of_what_was_typed_in_inches():
    with pytest.raises(Misread) as caught:
        set_answer(INCHES, "cabinet", "A1", "width", "900")
    assert "from 1/16 in to 787 3/8 in" in caught.value.reason


def test_a_question_mark_says_that_nobody_measured_it_yet():
    assert after("width", "883?") == (883, ("width",))
    assert after("width", "883 ?")[1] == ("width",)
    assert after("opening", "597?") == ((597,), ("opening",))
    assert after("length", "3600?", "wall", "A")[1] == ("length",)
    assert after("corner_degrees", "90?", "wall", "A")[1] == ("corner_degrees",)


def test_a_reading_typed_without_it_is_measured():
    assert after("width", "700", item_id="B3") == (700, ())


def test_only_a_reading_can_be_assumed():
    assert after("name", "Kitchen?", "room", "kitchen") == ("Kitchen?", ())
    assert "?" in refusal("length", "2.4 m?", "leg", "L1")[1]


def test_what_was_understood_is_said_back_with_its_unit():
    for typed, says in (("88,3 cm", "883 mm"), ("883?", "883 mm, assumed")):
        assert echo(
            set_answer(KITCHEN, "cabinet", "A1", "width", typed), "cabinet", "A1", "width"
        ) == (says)
    job = set_answer(KITCHEN, "cabinet", "A1", "opening", "564; 563.5; 564")
    assert echo(job, "cabinet", "A1", "opening") == "least 563.5 mm"
    assert echo(KITCHEN, "cabinet", "B3", "opening") == "not measured"
    assert echo(KITCHEN, "room", "kitchen", "name") == ""


def test_several_readings_are_parted_by_a_semicolon():
    assert after("opening", "564; 563.5; 564")[0] == (564, Decimal("563.5"), 564)
    assert after("opening", "56,4 cm;563.5")[0] == (564, Decimal("563.5"))
    assert after("opening", "")[0] == ()
    assert field_text(KITCHEN, "cabinet", "A1", "opening") == "598; 597.5; 598"


def test_a_fault_in_one_of_several_readings_is_shown_at_its_place():
    assert refusal("opening", "564; 5x3; 564")[1] == "x"
    assert "At most 3" in refusal("opening", "1;2;3;4")[0]


def test_ids_are_read_whatever_their_capitals():
    assert after("cabinets", "a1 a2", "run", "R2")[0] == ("A1", "A2")
    assert after("cabinets", "a1, b1,B2", "run", "R2")[0] == ("A1", "B1", "B2")


def test_an_id_that_is_not_there_is_named_with_the_nearest_that_is():
    reason, _ = refusal("cabinets", "A1 A9", "run", "R1")
    assert '"A9"' in reason
    assert "did you mean" in reason
    assert "at least one" in refusal("cabinets", " ", "run", "R1")[0]


@pytest.mark.parametrize("text", ["A1 ?", "1A", "A1;A2", "[b", "A" * 25])
def test_what_is_no_id_at_all_is_refused_in_words_a_fitter_knows(text):
    reason, _ = refusal("cabinets", text, "run", "R1")
    assert "pattern" not in reason
    assert "^[" not in reason


@pytest.mark.parametrize(
    ("kind", "item_id", "field", "text", "says"),
    [
        ("cabinet", "A1", "width", "0", "from 1 mm to 20000 mm"),
        ("cabinet", "A1", "width", "20001", "from 1 mm to 20000 mm"),
        ("wall", "A", "corner_degrees", "10", "from 20 degrees to 340 degrees"),
        ("allowances", "", "supply_load", "101", "from 1 % to 100 %"),
        ("run", "R1", "pieces", "0", "At least 1"),
        ("run", "R1", "pieces", "7", "At most 6"),
        ("run", "R1", "pieces", "1.5", "whole number"),
        ("site", "", "name", "", "cannot be empty"),
        ("site", "", "name", "x" * 121, "120 characters"),
        ("site", "", "region", "moon", "'eu', 'uk' or 'us'"),
    ],
)
def test_what_is_out_of_range_is_refused_with_the_range(kind, item_id, field, text, says):
    reason, marked = refusal(field, text, kind, item_id)
    assert says in reason
    assert marked == text


@pytest.mark.parametrize(
    ("text", "marked"),
    [("883x", "x"), ("8 83", "8 83"), ("-5", "-"), ("1,200", "1,200"), ("883 x 4", "x")],
)
def test_what_cannot_be_read_is_marked_at_its_place(text, marked):
    assert refusal("width", text)[1].strip() == marked


@pytest.mark.parametrize("text", ["a\x1b[31mb", "a\nb", "a\u202eb", "a\x00b"])
def test_control_and_direction_marks_are_refused_in_a_name(text):
    assert "control or direction mark" in refusal("name", text, "room", "kitchen")[0]


def test_nothing_typed_leaves_an_optional_field_unsaid():
    assert after("length", "", "leg", "L1")[0] is None
    assert after("cap_thickness", " ", "allowances", "")[0] is None
    assert "Type a length" in refusal("width", "")[0]


def test_copper_may_be_colder_than_freezing():
    assert after("conductor_temperature", "-5", "allowances", "")[0] == -5


def test_a_new_width_takes_its_neighbours_along():
    job = set_answer(KITCHEN, "cabinet", "A1", "width", "650")
    assert [cabinet.at for cabinet in job.cabinets[:3]] == [0, 650, 2050]


def fields_of(job: Job) -> list[tuple[Subject, str, str]]:
    found: list[tuple[Subject, str, str]] = []
    for step in STEPS:
        for kind, fields in step.forms.items():
            if kind not in ("paper", "bar"):
                whole = kind in ("site", "allowances")
                ids = [""] if whole else [item.id for item in job.table(kind)]
                found += [(kind, item_id, field) for item_id in ids for field in fields]
    return found


def as_a_form_leaves_it(job: Job) -> Job:
    """Take off what no form can say: outer blanks of a text, marks on what is no reading.

    Nor the sign that stands for a line break in a note.
    """
    for kind, item_id, field in fields_of(job):
        thing = subject(job, kind, item_id)
        value = getattr(thing, field)
        if question_for(kind, field).shape == "text":
            plain = value.replace("¶", "") if field == "note" else value
            if plain.strip() != value:
                job = set_value(job, kind, item_id, field, plain.strip() or "x")
        assumed = getattr(thing, "assumed", ())
        readings = question_for(kind, field).shape in ("length", "lengths", "number")
        if field in assumed and (not readings or value == ()):
            job = set_value(job, kind, item_id, field, getattr(subject(job, kind, item_id), field))
    return job


@pytest.mark.property
@examples(60)
@given(any_job() | jobs())
def test_every_value_that_is_shown_can_be_typed_and_changes_nothing(job):
    job = as_a_form_leaves_it(job)
    for kind, item_id, field in fields_of(job):
        text = field_text(job, kind, item_id, field)
        assert set_answer(job, kind, item_id, field, text) == job, (kind, item_id, field, text)
