"""Names, notes and file names from strangers: they show as text, whatever stands in them."""

import os
from unicodedata import category

import pytest
from frames import (
    NARROW,
    WIDE,
    dialog,
    entered,
    held,
    press,
    shown,
    stand,
    told,
    wizard,
    wizard_of,
)
from jobs import one_bar
from rich.cells import cell_len
from screens import frame, settle
from textual.events import Paste

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job, read_job
from pelmet.model.file.job.recovery import write_recovery
from pelmet.model.file.job.saving import save_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job
from pelmet.tui.app import Pelmet
from pelmet.tui.panes.drawings import DRAWINGS
from pelmet.tui.places import recovery_folder, remember_job
from pelmet.tui.session.steps import STEPS

pytestmark = pytest.mark.journey

NAMES = {
    "closing tag": "[/]",
    "open bracket": "[b",
    "link": "[@click=app.quit]x[/]",
    "formula": "=1+1",
    "emoji": "\N{HOUSE BUILDING} 5 \N{WOMAN}\N{ZERO WIDTH JOINER}\N{PERSONAL COMPUTER}",
    "wide": "\N{CJK UNIFIED IDEOGRAPH-53A8}" * 60,
    "long": "x" * 120,
    "accents above": "e\N{COMBINING ACUTE ACCENT}" * 40,
}
some = pytest.mark.parametrize("first", range(0, len(NAMES), 4), ids=list(NAMES)[::4])
SIZE = (100, 30)
OBEYED = {"Cc", "Cs", "Zl", "Zp"}


NAMED = (
    ("site", "", "name"), ("room", "kitchen", "name"), ("cabinet", "A1", "note"),
    ("run", "R1", "note"), ("leg", "L1", "note"), ("wall", "A", "note"),
    ("obstacle", "O1", "note"), ("supply", "S1", "note"), ("site", "", "note"),
)  # fmt: skip


def given(first: int) -> dict[tuple[str, str, str], str]:
    """Give each place that takes a name another, from one of them on."""
    return dict(zip(NAMED, [*NAMES.values(), *NAMES.values()][first:], strict=False))


def named(first: int) -> Job:
    """Put the names wherever a person may write one."""
    job = read_example("kitchen")
    for place, name in given(first).items():
        job = set_value(job, *place, name)
    return job


def is_sound(text: str, size: tuple[int, int]) -> bool:
    """Tell whether a screen has its rows and no more, and nothing a terminal obeys."""
    rows = text.removesuffix("\n").split("\n")
    return (
        len(rows) == size[1]
        and all(cell_len(row) <= size[0] for row in rows)
        and not any(category(letter) in OBEYED for letter in "".join(rows))
    )


@some
async def test_a_name_shows_as_typed_in_every_step_and_dialog(tmp_path, first):
    job = named(first)
    async with wizard(job, tmp_path, SIZE) as pilot:
        for key in ("f1", "ctrl+g", "ctrl+l", "f12", "ctrl+p"):
            await press(pilot, key)
            assert is_sound(frame(pilot.app), SIZE)
            if dialog(pilot):
                await press(pilot, "escape")
        for step in STEPS:
            await press(pilot, step.key)
            assert is_sound(frame(pilot.app), SIZE)
        for place, name in given(first).items():
            await stand(pilot, *place)
            assert entered(pilot) == name
            assert name[:8] in frame(pilot.app)
            await press(pilot, "enter")
        assert held(pilot).job == job


@pytest.mark.parametrize(("first", "size"), [(1, NARROW), (5, WIDE)], ids=["80x24", "120x40"])
async def test_every_drawing_of_a_job_with_such_names_can_be_walked(tmp_path, first, size):
    job = named(first)
    async with wizard(job, tmp_path, size) as pilot:
        await stand(pilot, "room", "kitchen", "name")
        for _ in DRAWINGS:
            await press(pilot, "ctrl+d")
            for arrow in ("down", "right", "up", "left", "space"):
                await press(pilot, arrow)
                assert is_sound(frame(pilot.app), size)
            await press(pilot, "escape")
        assert held(pilot).job == job


async def test_ids_as_long_and_odd_as_they_may_be_are_walked_to_and_opened(tmp_path):
    ids = {"A1": "Z._-" + "z" * 20, "O1": "o" * 24, "R1": "R.-_.", "S1": "s" * 24, "L1": "L" * 24}
    text = job_text(read_example("kitchen"))
    for old, new in ids.items():
        text = text.replace(f'"{old}"', f'"{new}"')
    job = read_job(text.encode(), "job.toml")
    async with wizard(job, tmp_path, (60, 18), "odd.toml") as pilot:
        for kind, item_id in (("cabinet", ids["A1"]), ("obstacle", ids["O1"]), ("run", ids["R1"])):
            for turns in range(len(DRAWINGS)):
                await stand(pilot, kind, item_id, "note")
                await press(pilot, "ctrl+d", *["space"] * turns)
                assert is_sound(frame(pilot.app), (60, 18))
                assert told(pilot).startswith(item_id)
                await press(pilot, "right", "down", "left")
                assert is_sound(frame(pilot.app), (60, 18))
                await press(pilot, *["space"] * (len(DRAWINGS) - turns), "enter")
        assert held(pilot).job == job


async def test_the_file_name_and_what_is_unsaved_stay_in_sight_whatever_the_name(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "f4", "right")
        for name in NAMES.values():
            held(pilot).change(set_value(held(pilot).job, "site", "", "name", name))
            wizard_of(pilot).load()
            await settle(pilot)
            assert name[:8] in frame(pilot.app)
            first = frame(pilot.app).splitlines()[0]
            assert first.endswith("job.toml  * not saved")


async def test_a_name_in_the_recent_and_unsaved_list_is_harmless(tmp_path):
    for number, name in enumerate(NAMES.values(), 1):
        job = set_value(read_example("kitchen"), "site", "", "name", name)
        write_recovery(recovery_folder(), job, None, None, 2**22 + number)
    size = (100, 40)
    async with shown(Pelmet(), size) as pilot:
        assert is_sound(frame(pilot.app), size)
        for name in NAMES.values():
            assert f"Unsaved work: {name[:8]}" in frame(pilot.app)
        await press(pilot, "enter")
        assert held(pilot).job.site.name in NAMES.values()


async def test_a_name_can_be_typed_where_a_file_is_asked_for(tmp_path):
    async with wizard("kitchen", tmp_path, SIZE) as pilot:
        for key in ("f12", "ctrl+o"):
            for name in NAMES.values():
                await press(pilot, key)
                pilot.app.screen.query_one("#dialog-text").value = f"{tmp_path}/no/{name}"
                await press(pilot, "enter")
                assert is_sound(frame(pilot.app), SIZE)
                assert pilot.app.screen.query_one("#dialog-message").text
                await press(pilot, "escape")


@pytest.mark.parametrize("field", ["name", "note"])
async def test_what_a_terminal_would_obey_is_left_out_of_a_paste(tmp_path, field):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "site", "", field)
        pilot.app.post_message(Paste("a\x1b[2Jb\x07c\r\nd"))
        await settle(pilot)
        assert is_sound(frame(pilot.app), (80, 24))
        await press(pilot, "enter")
        assert getattr(held(pilot).job.site, field) == "a[2Jbc"


async def test_a_mark_that_turns_text_around_is_refused_by_name(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        wizard_of(pilot).query_one("#entry-text").value = "a\u202eb"
        await press(pilot, "enter")
        assert "U+202E" in told(pilot)
        assert held(pilot).job == read_example("kitchen")


async def test_a_note_of_several_lines_stays_on_its_row_and_keeps_its_lines(tmp_path):
    note = "call before ten\nkey under the pot\n\nmind the dog"
    job = set_value(read_example("kitchen"), "site", "", "note", note)
    async with wizard(job, tmp_path) as pilot:
        await stand(pilot, "site", "", "note")
        assert is_sound(frame(pilot.app), (80, 24))
        await press(pilot, "end", "exclamation_mark", "enter")
        assert held(pilot).job.site.note == note + "!"
        await press(pilot, "f7")
        assert is_sound(frame(pilot.app), (80, 24))


ODD_FILES = {
    "escape": "a\x1b[31mb\x1b]0;x\x07.toml",
    "new line": "a\nb.toml",
    "not text": os.fsdecode(b"\xff\xfe.toml"),
    "markup": "[b]b[.toml",
    "long": "f" * 200 + ".toml",
    "wide": "\N{CJK UNIFIED IDEOGRAPH-53A8}" * 60 + ".toml",
}


@pytest.mark.parametrize("name", ODD_FILES.values(), ids=ODD_FILES.keys())
async def test_an_odd_file_name_is_shown_harmlessly_and_saved_to(tmp_path, name):
    path = tmp_path / name
    async with wizard("kitchen", tmp_path, name=name) as pilot:
        await press(pilot, "x", "enter")
        assert is_sound(frame(pilot.app), (80, 24))
        assert frame(pilot.app).splitlines()[0].endswith("* not saved")
        path.write_text(path.read_text() + "# changed\n")
        await press(pilot, "ctrl+s")
        assert is_sound(frame(pilot.app), (80, 24))
        await press(pilot, "down", "enter")
        assert is_sound(frame(pilot.app), (80, 24))
    assert load_job(path).site.name == "x"
    async with shown(Pelmet()) as pilot:
        assert is_sound(frame(pilot.app), (80, 24))


async def test_a_job_with_ids_as_long_as_they_may_be_is_shown(tmp_path):
    long = "K" + "x" * 23
    job = Job.model_validate(
        {
            "rooms": [{"id": long, "name": "Room"}],
            "walls": [{"id": f"A{long[2:]}", "room": long, "length": 3000}],
            "cabinets": [
                {"id": f"C{n}{long[3:]}", "wall": f"A{long[2:]}", "at": 600 * n, "width": 600,
                 "depth": 320, "bottom_height": 1400}
                for n in range(3)
            ],
            "runs": [{"id": f"R{long[2:]}", "cabinets": [f"C{n}{long[3:]}" for n in range(3)]}],
        }
    )  # fmt: skip
    async with wizard(job, tmp_path) as pilot:
        for step in STEPS:
            await press(pilot, step.key)
            assert is_sound(frame(pilot.app), (80, 24))
        await press(pilot, "f2", "pagedown", "pagedown", "pagedown", "ctrl+n", "f6", "ctrl+t")
        assert len(held(pilot).job.cabinets) == 4
        assert held(pilot).job.legs


async def test_the_recent_list_may_be_spoilt(own_folders, tmp_path):
    save_job(one_bar(), tmp_path / "job.toml", None)
    remember_job(tmp_path / "job.toml")
    recent = own_folders / "state" / "pelmet" / "recent.toml"
    for text in ("recent = 3", "][", 'recent = ["\\u001b[2J", 3, "/no/such"]', "\xff"):
        recent.write_text(text, "latin-1")
        async with shown(Pelmet()) as pilot:
            await settle(pilot)
            assert is_sound(frame(pilot.app), (80, 24))
