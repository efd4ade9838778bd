"""The forms: every field has one place in them, and what is typed there is what the file holds."""

from decimal import Decimal

import pytest
from frames import entered, held, place, press, stand, told, wizard, wizard_of, write
from rich.cells import cell_len
from screens import frame

from pelmet.model.edit.question import question_for
from pelmet.model.file.job.reading import load_job
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.job import MODELS, Site
from pelmet.model.told.words import wrapped
from pelmet.tui.panes.entry import LABEL
from pelmet.tui.session.steps import ALLOWANCES, MOUNTING, STEPS, form_of

# Where a thing stands is said by adding it there, and what is assumed by a mark after a reading.
# What was drawn, ordered and given out is noted by the program; who did it, and when, can be put
# right.
NOT_ASKED = {
    "wall": {"id", "room"},
    "cabinet": {"id", "wall"},
    "offcut": {"id", "piece", "part", "length"},
    "ordered": {"id", "part", "length", "amount"},
    "given": {"id", "paper", "revision", "digest"},
    "revision": {"id", "void"},
}
ASKED = [
    (kind, field) for step in STEPS for kind, fields in step.forms.items() for field in fields
    if kind != "paper"
]  # fmt: skip


@pytest.mark.parametrize("kind", MODELS)
def test_each_field_of_a_thing_is_asked_for_in_one_place(kind):
    asked = [field for each, field in ASKED if each == kind]
    wanted = MODELS[kind].model_fields.keys() - NOT_ASKED.get(kind, {"id"}) - {"assumed"}
    assert sorted(asked) == sorted(wanted)


def test_each_allowance_stands_in_one_group():
    grouped = [field for group in ALLOWANCES.values() for field in group]
    assert sorted(grouped) == sorted(Allowances.model_fields)
    for group, fields in ALLOWANCES.items():
        assert form_of(MOUNTING, "allowances", group) == fields


def test_titles_fit_their_columns_and_the_words_of_help_their_two_rows_at_80_columns():
    asked = [question_for(kind, field) for kind, field in ASKED]
    assert [one.title for one in asked if cell_len(one.title_in(Site())) > LABEL - 2] == []
    assert [one.help for one in asked if len(wrapped(one.help_in(Site()), width=78)) > 2] == []


@pytest.mark.journey
async def test_the_allowances_are_listed_in_groups_each_with_its_own_form(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "f5", *["pagedown"] * len(held(pilot).job.runs))
        for group, fields in ALLOWANCES.items():
            assert place(pilot) == ("allowances", group, fields[0])
            assert f"> Allowances: {group}" in frame(pilot.app)
            for field in fields:
                assert place(pilot)[2] == field
                title = question_for("allowances", field).title_in(Site())
                assert any(
                    row.startswith(f">{title:>16}")
                    for row in wizard_of(pilot).query_one("#form").text.splitlines()
                )
                await press(pilot, "down")
        assert place(pilot) == ("allowances", "light", ALLOWANCES["light"][-1])
        await press(pilot, *["up"] * (len(ALLOWANCES["light"]) - 1))
        assert place(pilot) == ("allowances", "light", "worktop_lux")
        await write(pilot, "450")
        await press(pilot, "enter", "ctrl+s")
        assert held(pilot).job.allowances.worktop_lux == 450
    assert load_job(tmp_path / "job.toml").allowances.worktop_lux == 450


# What is typed or picked in each new field, and what the file then holds.
TYPED = {
    ("cabinet", "A1"): {
        "filler_left": ("12", Decimal(12)),
        "filler_right": ("1,5 cm", Decimal(15)),
        "back_set_in": ("25", Decimal(25)),
        "bottom_panel": ("18", Decimal(18)),
        "surface": ("v", "veneer"),
        "door_overhang": ("5", Decimal(5)),
        "mouth": ("560", Decimal(560)),
        "pin_rows": ("37; 260", (Decimal(37), Decimal(260))),
        "measured_by": ("fitter, Tuesday", "fitter, Tuesday"),
    },
    ("obstacle", "O1"): {
        "cover": ("c", "covered"),
        "bottom_height": ("1500", Decimal(1500)),
        "height": ("620", Decimal(620)),
        "measured_by": ("site team", "site team"),
    },
    ("run", "R1"): {
        "over_length": ("splice", "splice"),
        "corner": ("mitre", "mitre"),
        "strip_joints": ("a", "allowed"),
    },
    ("leg", "L3"): {
        "wiring": ("h", "home run"),
        "via": ("A2 A3", ("A2", "A3")),
        "avoid": ("B2", ("B2",)),
    },
    ("room", "kitchen"): {"measured_by": ("fitter", "fitter")},
    ("wall", "B"): {"measured_by": ("fitter", "fitter")},
}


@pytest.mark.journey
@pytest.mark.parametrize("thing", TYPED, ids=[" ".join(each) for each in TYPED])
async def test_what_is_typed_in_a_field_is_what_the_file_holds(tmp_path, thing):
    kind, item_id = thing
    async with wizard("kitchen", tmp_path) as pilot:
        for field, (text, wanted) in TYPED[thing].items():
            await stand(pilot, kind, item_id, field)
            assert getattr(held(pilot).job.find(kind, item_id), field) != wanted
            await write(pilot, text)
            await press(pilot, "enter")
            assert held(pilot).misread is None, told(pilot)
            assert getattr(held(pilot).job.find(kind, item_id), field) == wanted
        for field in TYPED[thing]:
            await stand(pilot, kind, item_id, field)
            assert entered(pilot) in frame(pilot.app)
        await press(pilot, "ctrl+s")
        assert not held(pilot).dirty
        changed = held(pilot).job
        for _ in TYPED[thing]:
            await press(pilot, "ctrl+z")
        assert not held(pilot).can_undo
    assert load_job(tmp_path / "job.toml") == changed
