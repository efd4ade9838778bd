"""Whole jobs by keyboard alone, through the real program."""

import shutil

import pytest
from screens import frame, on_example, settle

from pelmet.model import load_job, plan_job
from pelmet.tui.app import Pelmet

pytestmark = pytest.mark.journey


class Hands:
    """Presses keys, and counts those that are not part of a reading or a name."""

    def __init__(self, pilot):
        self.pilot, self.keys, self.typed, self.things = pilot, 0, 0, 0

    async def press(self, *keys):
        self.keys += len(keys)
        await self.pilot.press(*keys)

    async def type(self, text):
        self.typed += len(text)
        await self.pilot.press(
            *({" ": "space", "-": "minus", ".": "full_stop"}.get(c, c) for c in text)
        )

    async def thing(self, text, *keys):
        """One cabinet, obstacle or choice: what is typed, then the keys that go with it."""
        self.things += 1
        before = self.keys
        await self.type(text)
        await self.press(*keys)
        assert self.keys - before <= 5


async def survey(hands):
    await hands.press("enter")  # New job
    await settle(hands.pilot)
    await hands.thing("Galley 3 Heron Row", "ctrl+n")
    await hands.thing("Kitchen", "ctrl+n")
    await hands.thing("4200", "ctrl+n")
    await hands.thing("600", "ctrl+n")
    await hands.thing("800", "f4", "ctrl+n")
    await hands.thing("", "h", "enter", "enter")
    await hands.thing("600", "enter")
    await hands.thing("", "o", "enter")
    await hands.thing("", "f2", "ctrl+n")
    await hands.thing("883", "enter")
    await hands.thing("845", "down", "down", "down", "down")
    await hands.thing("", "f", "r", "enter")  # framed
    await hands.thing("", "f9")  # the next wall
    await hands.thing("2600", "ctrl+n")
    await hands.thing("600", "ctrl+n")
    await hands.thing("34 5/8 in", "enter")
    await hands.thing("", "f3", "ctrl+t")
    await hands.thing("", "f6", "ctrl+t")
    await hands.press("ctrl+s")
    await settle(hands.pilot)
    await hands.press("enter")
    await settle(hands.pilot)


async def test_a_kitchen_from_nothing_to_a_saved_file(tmp_path, monkeypatch, record_property):
    monkeypatch.chdir(tmp_path)
    app = Pelmet()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        hands = Hands(pilot)
        await survey(hands)
        assert not app.screen.session.dirty, frame(app)
    job = load_job(tmp_path / "galley-3-heron-row.toml")
    assert [(each.id, float(each.at), float(each.width)) for each in job.cabinets] == [
        ("A1", 0, 600), ("A2", 600, 800), ("A3", 2000, 883), ("B1", 0, 600),
        ("B2", 600, 879.475),
    ]  # fmt: skip
    assert [float(each) for each in job.cabinets[2].opening] == [845]
    assert job.cabinets[2].underside == "framed"
    assert [(each.kind, each.crossing) for each in job.obstacles] == [("hood", "over")]
    assert [run.cabinets for run in job.runs] == [("A1", "A2"), ("A3",), ("B1",), ("B2",)]
    assert [run.leg for run in job.runs] == ["L1", "L2", "L3", "L4"]
    plan = plan_job(job)
    assert plan.count("stop") == 0
    record_property(
        "a kitchen by keyboard",
        f"{hands.things} things took {hands.keys} keys beside {hands.typed} typed characters, "
        f"{hands.keys / hands.things:.1f} a thing",
    )
    assert hands.keys <= 5 * hands.things


async def test_a_saved_job_gains_a_pantry_and_nothing_there_moves(tmp_path):
    path = tmp_path / "job.toml"
    shutil.copy(_example_file(), path)
    before = load_job(path)
    app = Pelmet(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        hands = Hands(pilot)
        await hands.press("ctrl+n")
        await hands.thing("Pantry", "ctrl+n")
        await hands.thing("1250", "ctrl+n")
        await hands.thing("1200", "f3", "ctrl+t")
        await hands.thing("", "f6", "ctrl+t")
        await hands.press("ctrl+s")
        await settle(pilot)
    after = load_job(path)
    for table in ("rooms", "walls", "cabinets", "obstacles", "runs", "supplies", "legs"):
        old, new = getattr(before, table), getattr(after, table)
        assert new[: len(old)] == old
    assert [room.name for room in after.rooms] == ["Kitchen", "Pantry"]
    assert (after.runs[-1].cabinets, after.runs[-1].leg) == (("C1",), after.legs[-1].id)
    assert after.supplies == before.supplies


def _example_file():
    from importlib.resources import files

    return files("pelmet.model.examples") / "kitchen.toml"


@pytest.fixture
def saved(tmp_path):
    path = tmp_path / "job.toml"
    shutil.copy(_example_file(), path)
    return path


async def _changed_elsewhere(pilot, path):
    await pilot.press(*"Other name", "enter")
    path.write_text(path.read_text() + "\n# somebody else was here\n")
    await pilot.press("ctrl+s")
    await settle(pilot)


async def test_a_file_that_changed_meanwhile_is_never_written_over_unasked(saved):
    app = Pelmet(saved)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await _changed_elsewhere(pilot, saved)
        assert "changed the file" in frame(app)
        assert "somebody else" in saved.read_text()
        await pilot.press("escape")
        await settle(pilot)
        assert app.screen.session.dirty
        await pilot.press("ctrl+s")
        await settle(pilot)
        await pilot.press("down", "enter")  # write mine over it
        await settle(pilot)
    assert load_job(saved).site.name == "Other name"
    assert "somebody else" in saved.with_name("job.toml.previous").read_text()


async def test_the_changed_file_can_be_read_again(saved):
    app = Pelmet(saved)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await _changed_elsewhere(pilot, saved)
        await pilot.press("down", "down", "down", "enter")
        await settle(pilot)
        assert app.screen.session.job == load_job(saved)
        assert not app.screen.session.dirty


async def test_a_file_that_vanished_can_be_written_again(saved):
    app = Pelmet(saved)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press(*"Other", "enter")
        saved.unlink()
        await pilot.press("ctrl+s")
        await settle(pilot)
        assert "gone" in frame(app)
        await pilot.press("down", "enter")
        await settle(pilot)
    assert load_job(saved).site.name == "Other"


async def test_a_full_disk_is_said_and_the_job_stays(saved, monkeypatch):
    from pelmet.model.file.job import saving

    def full(*_, **__):
        raise OSError(28, "No space left on device")

    app = Pelmet(saved)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press(*"Other", "enter")
        monkeypatch.setattr(saving, "replace_file", full)
        monkeypatch.setattr(saving, "written_beside", full)
        await pilot.press("ctrl+s")
        await settle(pilot)
        assert "Not saved" in frame(app)
        assert app.screen.session.dirty
        assert app.screen.session.job.site.name == "Other"


async def test_leaving_asks_only_when_something_would_be_lost(saved):
    app = Pelmet(saved)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press(*"Other", "enter", "ctrl+q")
        await settle(pilot)
        assert "not saved" in frame(app)
        await pilot.press("escape")
        await settle(pilot)
        assert app.is_running
        await pilot.press("ctrl+z", "f10")
        await settle(pilot)
    assert app.return_code == 0
    assert load_job(saved).site.name != "Other"


async def test_a_reading_that_cannot_be_read_stays_and_says_why():
    app = on_example()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("pagedown", "pagedown", "pagedown", *"2,400", "enter", "down", "f3")
        await settle(pilot)
        session = app.screen.session
        assert (session.place.step.name, session.place.field) == ("Rooms", "width")
        shown = frame(app)
        assert "2,400" in shown
        assert "^" * 5 in shown
        assert "2400 mm" in shown
        assert "2.4 mm" in shown
        await pilot.press("escape")
        await settle(pilot)
        assert session.form.shown("width") == "600"


async def test_a_control_character_is_refused():
    app = on_example()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.screen.query_one("#entry-text").value = "a\x1b[2Jb"
        await pilot.press("enter")
        await settle(pilot)
        assert app.screen.session.misread
        assert "U+001B" in frame(app)


async def test_undo_takes_everything_back_and_redo_brings_it_again():
    app = on_example()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        session = app.screen.session
        first = session.job
        await pilot.press(
            "pagedown", "pagedown", "pagedown", *"650", "enter", "ctrl+n", "f3", "ctrl+r"
        )
        last = session.job
        assert session.dirty
        await pilot.press("ctrl+z", "ctrl+z", "ctrl+z")
        assert session.job == first
        assert not session.dirty
        await pilot.press("ctrl+y", "ctrl+y", "ctrl+y")
        assert session.job == last


async def test_a_finding_leads_to_the_field_where_the_remedy_starts():
    app = on_example()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        finding = app.screen.session.plan.findings[0]
        await pilot.press("ctrl+l", "enter")
        await settle(pilot)
        place = app.screen.session.place
        assert (place.kind, place.id, place.field) == (finding.kind, finding.about, finding.field)


async def test_a_command_that_cannot_act_says_why():
    app = on_example()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+t")
        await settle(pilot)
        assert "Proposals are for the Runs step" in frame(app)
