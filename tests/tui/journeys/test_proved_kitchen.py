"""A kitchen that is proved, its pantry just begun: fed and handed out, and shared by two people."""

from pathlib import Path

import pytest
from frames import dialog, held, press, shown, stand, told, write
from screens import frame, until

from pelmet.model.examples import example_bytes
from pelmet.model.file.job.reading import load_job
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.tui.app import Pelmet
from pelmet.tui.dialogs.standing import StandingPicker

pytestmark = pytest.mark.journey

NAME = "kitchen-proved-pantry-begun"
BUILT = ("cuts", "hung", "drilled", "laid", "fitted", "diary")


def file_in(folder: Path) -> Path:
    path = folder / "job.toml"
    path.write_bytes(example_bytes(NAME))
    return path


def built(job: Job) -> dict[str, object]:
    return {table: getattr(job, table) for table in BUILT}


async def test_the_pantry_is_fed_and_nothing_that_is_fitted_is_touched(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path = file_in(tmp_path)
    before = load_job(path)
    async with shown(Pelmet(path)) as pilot:
        assert isinstance(pilot.app.screen, StandingPicker)
        assert "How far each run is" in frame(pilot.app)
        await press(pilot, "escape", "f6", "ctrl+t")
        await until(pilot, lambda: all(run.leg for run in held(pilot).job.runs))
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: told(pilot).startswith("Saved"))
        await press(pilot, "f7", "ctrl+a", "ctrl+k")
        await write(pilot, "papers/")
        await press(pilot, "enter")
        assert "> What is to do, then what is built" in frame(pilot.app)
        await press(pilot, "enter")
        await until(pilot, lambda: (tmp_path / "papers" / "drill-list.txt").exists())
        await until(pilot, lambda: dialog(pilot))
        await press(pilot, "escape")
    after = load_job(path)
    assert built(after) == built(before)
    for table in ("rooms", "walls", "cabinets", "obstacles", "ordered"):
        assert getattr(after, table) == getattr(before, table)
    for table in ("supplies", "legs"):
        old = getattr(before, table)
        assert getattr(after, table)[: len(old)] == old
    assert [run.leg is not None for run in after.runs] == [True] * 6
    old, new = plan_job(before), plan_job(after)
    assert not {each.code for each in new.findings} & {"no-supply", "built-otherwise"}
    there = {hole.id for hole in old.holes if hole.there}
    assert {hole.id for hole in new.holes if hole.there} == there == {
        each.hole for each in after.drilled}  # fmt: skip
    to_do = [hole for hole in new.holes if not hole.there]
    assert to_do
    assert {hole.owner for hole in to_do} <= {"P1", "P2"}


SHELF = """
[[cabinet]]
id = "P3"
wall = "P"
kind = "shelf"
at = 25
width = 1200
depth = 300
bottom_height = 1100
height = 30
"""


async def test_a_colleagues_shelf_and_a_reading_taken_here_are_one_job_after_both_saved(tmp_path):
    path = file_in(tmp_path)
    base = load_job(path)
    text = path.read_text("utf-8")
    async with shown(Pelmet(path)) as pilot:
        await press(pilot, "escape")
        await stand(pilot, "cabinet", "P1", "depth")
        await write(pilot, "310")
        at = text.index("[[obstacle]]")
        path.write_text(text[:at] + SHELF.lstrip() + "\n" + text[at:], "utf-8")
        await press(pilot, "ctrl+s")
        assert "> Save mine under another name" in frame(pilot.app)
        await press(pilot, "down", "down", "enter")
        assert held(pilot).job.find("cabinet", "P3").bottom_height == 1100
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: not held(pilot).dirty)
    after = load_job(path)
    assert after.find("cabinet", "P1").depth == 310
    assert after.find("cabinet", "P3").width == 1200
    assert built(after) == built(base)
