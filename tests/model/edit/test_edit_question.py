"""Every field of every form is asked for in words, read off the model that declares it."""

from decimal import Decimal
from types import NoneType
from typing import get_args

import pytest

from pelmet.model.edit.add import add_item
from pelmet.model.edit.answer import field_text, set_answer
from pelmet.model.edit.building import note_built
from pelmet.model.edit.change import rebuilt, subject
from pelmet.model.edit.question import model_of, options, part_name, question_for
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.items import KINDS
from pelmet.model.job.job import Site
from pelmet.model.job.paperwork import Given, OffCut, Ordered
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.tui.session.steps import STEPS

PARTS = bundled_catalogue()
# With one of each kind of thing that the example has none of.
KITCHEN = read_example("kitchen")
for _kind in ("zone", "override", "offer", "revision"):
    KITCHEN, _ = add_item(KITCHEN, _kind)
KITCHEN = rebuilt(
    KITCHEN,
    offcuts=(OffCut(id="piece1", piece="c1", part="surface-17", length=Decimal(800)),),
    ordered=(Ordered(id="order1", part="surface-17", length=Decimal(2000), amount=Decimal(3)),),
    given=(Given(id="given1", paper="order", revision=0, digest="0123456789abcdef"),),
)
KITCHEN = note_built(make_folder(plan_job(KITCHEN)), [run.id for run in KITCHEN.runs], "proved")
FORMS = sorted(
    {
        (kind, field)
        for step in STEPS
        for kind, fields in step.forms.items()
        for field in fields
        if kind not in ("paper", "bar")
    }
)
FIELDS = {kind: [field for each, field in FORMS if each == kind] for kind, _ in FORMS}
kinds = pytest.mark.parametrize("kind", FIELDS)
FIRST = {"site": "", "allowances": "", "room": "kitchen", "wall": "A", "cabinet": "A1",
         "obstacle": "O1", "run": "R1", "supply": "S1", "leg": "L1",
         "zone": "zone1", "override": "rule1",
         "offer": "option1", "revision": "rev1", "offcut": "piece1", "ordered": "order1",
         "given": "given1", "cut": "cut1", "hung": "hung1", "drilled": "drilled1",
         "laid": "laid1", "fitted": "fitted1", "diary": "diary1"}  # fmt: skip


@kinds
def test_every_field_has_a_title_that_fits_its_column_and_words_of_help(kind):
    for asked in (question_for(kind, field) for field in FIELDS[kind]):
        assert asked.title
        assert asked.title_in(Site())[0].isupper()
        assert len(asked.title_in(Site())) <= 16
        assert len(asked.help) >= 8
        assert asked.help_in(Site(length_unit="in")).isascii()


@pytest.mark.regression
def test_an_example_of_a_length_is_in_the_unit_of_the_job():
    openings = question_for("cabinet", "opening")
    assert openings.help_in(Site()).endswith("for example 564; 563.5; 564")
    assert openings.help_in(Site(length_unit="cm")).endswith("for example 56.4; 56.35; 56.4")
    assert openings.help_in(Site(length_unit="in")).endswith("22 3/16; 22 3/16; 22 3/16")
    length = question_for("leg", "length")
    assert length.help_in(Site()).endswith("for example 2.4 m")
    assert question_for("room", "name").help_in(Site(length_unit="in")).endswith("example Kitchen")


@kinds
def test_every_field_is_read_in_the_way_its_value_is_written(kind):
    for field in FIELDS[kind]:
        asked = question_for(kind, field)
        value = getattr(subject(KITCHEN, kind, FIRST[kind]), field)
        if asked.shape == "choice":
            assert field_text(KITCHEN, kind, FIRST[kind], field) in options(asked, KITCHEN, PARTS)
        elif asked.shape in ("lengths", "names"):
            assert isinstance(value, tuple), field
        annotation = model_of(kind).model_fields[field].annotation
        assert asked.optional == (NoneType in get_args(annotation)), field


@kinds
def test_every_example_of_a_field_can_be_typed(kind):
    for field in FIELDS[kind]:
        for example in model_of(kind).model_fields[field].examples or []:
            set_answer(KITCHEN, kind, FIRST[kind], field, str(example))


@kinds
def test_every_choice_can_be_taken(kind):
    for field in FIELDS[kind]:
        asked = question_for(kind, field)
        for option in options(asked, KITCHEN, PARTS) if asked.shape == "choice" else ():
            job = set_answer(KITCHEN, kind, FIRST[kind], field, option)
            assert field_text(job, kind, FIRST[kind], field) == option


def test_every_field_a_person_may_say_is_asked_for_somewhere():
    never = {"id", "assumed"}
    asked = {kind: {field for each, field in FORMS if each == kind} for kind in KINDS}
    missing = {
        (kind, field)
        for kind in KINDS
        for field in set(model_of(kind).model_fields) - never - asked[kind]
    }
    # A wall's room and a cabinet's wall are where it was added; what was drawn, ordered, given out
    # and made void is noted by the program.
    assert missing == {
        ("wall", "room"),
        ("cabinet", "wall"),
        *(("offcut", field) for field in ("piece", "part", "length")),
        *(("ordered", field) for field in ("part", "length", "amount")),
        *(("given", field) for field in ("paper", "revision", "digest")),
        ("revision", "void"),
    }


def test_every_allowance_can_be_changed():
    asked = {field for kind, field in FORMS if kind == "allowances"}
    assert asked == set(model_of("allowances").model_fields)


def test_choices_are_things_of_the_job_or_parts_of_the_catalogue():
    assert options(question_for("run", "leg"), KITCHEN, PARTS) == ("", "L1", "L2", "L3")
    assert options(question_for("supply", "cabinet"), KITCHEN, PARTS)[:3] == ("", "A1", "A2")
    assert options(question_for("obstacle", "wall"), KITCHEN, PARTS) == ("A", "B")
    assert options(question_for("leg", "dimmer"), KITCHEN, PARTS)[:3] == (
        "",
        "dimmer-5",
        "dimmer-8",
    )
    assert options(question_for("site", "inch_parts"), KITCHEN, PARTS) == ("16", "32")
    assert options(question_for("cabinet", "width"), KITCHEN, PARTS) == ()


def test_an_override_is_offered_the_rules_and_questions_of_the_region():
    asked = question_for("override", "rule")
    assert (asked.shape, asked.optional) == ("choice", False)
    offered = options(asked, KITCHEN, PARTS)
    assert {"insulation-test", "cable-in-wall-zones"} <= set(offered)
    assert "class-2-watts" not in offered
    in_us = set_answer(KITCHEN, "site", "", "region", "us")
    assert "class-2-watts" in options(asked, in_us, PARTS)
    assert "insulation-test" not in options(asked, in_us, PARTS)


def test_a_part_is_told_by_its_catalogue_name():
    assert (
        part_name(question_for("run", "strip"), PARTS, "white-24-10") == "White strip 24 V 10 W/m"
    )
    assert part_name(question_for("run", "strip"), PARTS, "nobody-makes-it") == ""
    assert part_name(question_for("run", "line"), PARTS, "front") == ""
