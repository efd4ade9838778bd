"""Every screen at three sizes, resized, in every theme and without colour: its words and rows."""

import re

import pytest
from frames import dialog, held, press, resize, shown, stand, styles, wizard, wizard_of, write
from jobs import one_bar
from rich.cells import cell_len
from rich.color import ColorType
from screens import frame, settle

from pelmet.model.examples import read_example
from pelmet.model.file.job.recovery import write_recovery
from pelmet.model.file.job.saving import save_job
from pelmet.tui.app import Pelmet
from pelmet.tui.places import recovery_folder, remember_job
from pelmet.tui.session.steps import STEPS
from pelmet.tui.wizard.wizard import LEAST_HEIGHT, LEAST_WIDTH

SIZES = {"80x24": (80, 24), "100x30": (100, 30), "120x40": (120, 40)}
sizes = pytest.mark.parametrize("size", SIZES.values(), ids=SIZES.keys())
DIALOGS = {
    "help": ["f1"], "findings": ["ctrl+l"], "figures": ["f3", "ctrl+g"], "save as": ["f12"],
    "open": ["ctrl+o"], "leave": ["f2", "x", "f10"],
}  # fmt: skip


def fits(text: str, size: tuple[int, int]) -> bool:
    rows = text.split("\n")
    return len(rows) == size[1] and all(cell_len(row) <= size[0] for row in rows)


@sizes
async def test_every_screen_has_just_its_rows_and_none_is_too_wide(tmp_path, size):
    async with wizard("kitchen-with-pantry", tmp_path, size) as pilot:
        for step in STEPS:
            await press(pilot, step.key)
            assert fits(frame(pilot.app), size)
        for keys in DIALOGS.values():
            await press(pilot, *keys)
            assert dialog(pilot)
            assert fits(frame(pilot.app), size)
            await press(pilot, "escape")


async def test_the_least_window_serves_and_one_less_says_what_it_wants(tmp_path):
    least = (LEAST_WIDTH, LEAST_HEIGHT)
    async with wizard("kitchen", tmp_path, least) as pilot:
        await press(pilot, "f6")
        assert fits(frame(pilot.app), least)
        assert "Supply" in frame(pilot.app)
        for width, height in ((LEAST_WIDTH - 1, LEAST_HEIGHT), (LEAST_WIDTH, LEAST_HEIGHT - 1)):
            await resize(pilot, width, height)
            assert f"{width} x {height} is too small" in frame(pilot.app)
        await resize(pilot, *least)
        assert "Supply" in frame(pilot.app)


async def test_a_window_of_any_size_breaks_nothing_and_keeps_what_is_typed(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await write(pilot, "61")
        for size in ((20, 5), (1, 1), (200, 60), (59, 17), (80, 24)):
            await resize(pilot, *size)
        await write(pilot, "0")
        assert "610" in frame(pilot.app)
        assert held(pilot).job.find("cabinet", "A1").width == 610


async def test_a_resized_window_shows_what_one_of_that_size_does(tmp_path):
    (tmp_path / "a").mkdir()
    frames = {}
    for size in ((80, 24), (120, 40)):
        async with wizard("kitchen", tmp_path, size, f"{size[0]}.toml") as pilot:
            for step in STEPS:
                await press(pilot, step.key)
                now = frame(pilot.app).replace(f">{size[0]}-papers/", ">80-papers/")
                frames[step.key, size] = now
    async with wizard("kitchen", tmp_path / "a", (80, 24), "80.toml") as pilot:
        for step in STEPS:
            await press(pilot, step.key)
            for size in ((120, 40), (80, 24)):
                await resize(pilot, *size)
                seen = [row.rstrip() for row in frame(pilot.app).splitlines()[1:]]
                # The title names the file.
                assert seen == [row.rstrip() for row in frames[step.key, size].splitlines()[1:]]


@sizes
async def test_a_step_looks_the_same_whichever_one_came_from(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        seen = {}
        for key in ("f2", "f3", "f4", "f5", "f6", "f7", "f6", "f3", "f7", "f2", "f4", "f7", "f5"):
            await press(pilot, key)
            await settle(pilot)
            now = frame(pilot.app)
            if key not in ("f3", "f5", "f6"):  # these share the thing one stands on
                assert seen.setdefault(key, now) == now
            width = wizard_of(pilot).query_one("#plan").size.width
            plan = wizard_of(pilot).query_one("#plan").text
            if key != "f7" and width:
                assert max(map(len, plan.splitlines())) <= width


@pytest.mark.parametrize("theme", ["textual-light", "ansi-dark", "ansi-light"])
async def test_every_step_says_the_same_in_every_theme(tmp_path, theme):
    async with wizard("kitchen", tmp_path) as pilot:
        for step in STEPS:
            said = []
            await press(pilot, step.key)
            for chosen in ("textual-dark", theme):
                pilot.app.theme = chosen
                await settle(pilot)
                said.append(frame(pilot.app))
            assert said[0] == said[1]


async def test_without_colour_no_screen_sends_any_and_focus_is_still_told(tmp_path, monkeypatch):
    (tmp_path / "a").mkdir()
    async with wizard("kitchen", tmp_path) as pilot:
        coloured = {}
        for step in STEPS:
            await press(pilot, step.key)
            coloured[step.name] = frame(pilot.app)
        assert any(each.color for each in styles(pilot))
    monkeypatch.setenv("NO_COLOR", "1")
    async with wizard("kitchen", tmp_path / "a") as pilot:
        for step in STEPS:
            await press(pilot, step.key)
            assert frame(pilot.app) == coloured[step.name]
            for style in styles(pilot):
                for colour in (style.color, style.bgcolor):
                    assert colour is None or colour.type == ColorType.DEFAULT, style
            assert any(each.reverse for each in styles(pilot))
        for keys in (["f1"], ["ctrl+l"], ["f12"]):
            await press(pilot, *keys)
            assert all(
                colour is None or colour.type == ColorType.DEFAULT
                for style in styles(pilot)
                for colour in (style.color, style.bgcolor)
            )
            await press(pilot, "escape")


@pytest.mark.parametrize("theme", ["ansi-dark", "ansi-light"])
async def test_a_theme_of_the_terminals_own_colours_sends_no_others(tmp_path, theme):
    async with wizard("kitchen", tmp_path) as pilot:
        pilot.app.theme = theme
        await settle(pilot)
        for step in STEPS:
            await press(pilot, step.key)
            for style in styles(pilot):
                for colour in (style.color, style.bgcolor):
                    assert colour is None or colour.type != ColorType.TRUECOLOR, style


# Stored pictures, beside those of test_screens: what only comes up when something went wrong.


@pytest.mark.snapshot
@pytest.mark.parametrize("vanished", [False, True], ids=["changed", "vanished"])
async def test_the_conflict_dialog(tmp_path, vanished, snapshot):
    path = tmp_path / "job.toml"
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "x", "enter")
        if vanished:
            path.unlink()
        else:
            path.write_text(path.read_text() + "# changed\n")
        await press(pilot, "ctrl+s")
        assert frame(pilot.app) == snapshot


@pytest.mark.snapshot
async def test_the_start_screen_with_unsaved_work_and_recent_jobs(tmp_path, snapshot):
    for name in ("Mill Cottage", "[/] odd"):
        job = read_example("kitchen")
        job = job.model_copy(update={"site": job.site.model_copy(update={"name": name})})
        write_recovery(recovery_folder(), job, tmp_path / f"{len(name)}.toml", None, 2**22 + 1)
    save_job(one_bar(), tmp_path / "recent.toml", None)
    remember_job(tmp_path / "recent.toml")
    async with shown(Pelmet()) as pilot:
        rows = re.sub(" in /.*", " in FOLDER", frame(pilot.app)).splitlines()
        # What was edited last stands first, and both were edited just now.
        rows[5:7] = sorted(row.replace(">", " ") for row in rows[5:7])
        assert "\n".join(rows) == snapshot


@pytest.mark.snapshot
@pytest.mark.parametrize("paper", ["sheet", "findings", "figures", "file", "changes"])
async def test_each_paper(tmp_path, paper, snapshot):
    async with wizard("kitchen", tmp_path, (100, 30)) as pilot:
        await press(pilot, "f7")
        held(pilot).go_to("paper", paper, "write")
        wizard_of(pilot).load()
        await settle(pilot)
        assert frame(pilot.app) == snapshot
