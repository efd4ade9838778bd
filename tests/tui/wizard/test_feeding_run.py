"""A run is added to a kitchen that hangs and is proved: F8 and Ctrl+T feed it, by keyboard."""

import pytest
from feeds import kitchen, pantry, unfed, ways
from frames import NARROW, dialog, held, place, press, told, wizard
from gates import gate_before, until_came
from jobs import row
from screens import frame, settle, until

from pelmet.model.edit.options.feeding import trial
from pelmet.model.plan.stages import plan_job

pytestmark = pytest.mark.journey


async def list_all(pilot):
    """List the options, and wait until all are tried."""
    await press(pilot, "f8")
    await until(pilot, lambda: "trying more" not in frame(pilot.app))


def listed(pilot) -> list[str]:
    return pilot.app.screen.query_one("#dialog-options").text.splitlines()


def detail(pilot) -> str:
    return " ".join(pilot.app.screen.query_one("#dialog-detail").text.split())


async def test_f8_on_what_is_not_fed_lists_whole_ways_and_the_first_feeds_it(tmp_path):
    job = kitchen()
    async with wizard(job, tmp_path, NARROW) as pilot:
        await press(pilot, "f6")
        assert place(pilot)[:2] == ("run", "R4")  # what is not fed stands first
        assert "R4  not fed, F8 lists ways" in frame(pilot.app)
        await list_all(pilot)
        assert dialog(pilot)
        rows = [each[4:] for each in listed(pilot)]
        assert listed(pilot)[0].startswith(">")
        assert [each.split("  ")[0] for each in rows[:3]] == [each.choice for each in ways(job)[:3]]
        assert "works, +85.94 EUR, 87 min" in rows[0]
        for words in ("S1: 36.9 W left of 76.8", "R4 at worst", "to be proved again: R1 R2 R3"):
            assert words in detail(pilot)
        await press(pilot, "enter")
        assert not dialog(pilot)
        assert held(pilot).job == ways(job)[0].job
        assert "no-supply" not in {each.code for each in held(pilot).plan.findings}
        assert "own leg from S1" in told(pilot)
        await press(pilot, "ctrl+z")
        assert held(pilot).job == job


async def test_f8_gives_the_same_ways_in_runs_and_one_that_disturbs_says_so(tmp_path):
    job = kitchen("supply-24-60")
    async with wizard(job, tmp_path, NARROW) as pilot:
        await press(pilot, "f3", *["pagedown"] * 3)
        assert place(pilot)[:2] == ("run", "R4")
        await list_all(pilot)
        at = next(at for at, each in enumerate(listed(pilot)) if "tee off L3" in each)
        await press(pilot, *["down"] * at)
        assert "disturbs R3, proved" in detail(pilot)
        await press(pilot, "enter")
        assert held(pilot).job.find("run", "R4").leg == "L3"


async def test_ctrl_t_takes_what_disturbs_nothing_and_keys_wait_for_it(tmp_path):
    async with wizard(pantry(), tmp_path, NARROW) as pilot:
        await press(pilot, "f6", "ctrl+t")
        job = held(pilot).job
        assert job.find("leg", job.find("run", "R5").leg).supply == "S2"
        assert job.supplies[0] == pantry().supplies[0]
        assert "R5: new supply in P1; Ctrl+Z takes it back" in told(pilot)
        assert place(pilot) == ("run", "R5", "leg")
        await press(pilot, "ctrl+t")
        assert "Every run has a leg" in told(pilot)


async def test_ctrl_t_says_why_where_nothing_works_and_changes_nothing(tmp_path):
    many = {"id": "R2", "cabinets": [f"A{n}" for n in range(2, 10)], "strip": "white-24-14"}
    job = row(*[1000] * 9, A={"length": 20_000}, R1={"cabinets": ["A1"], "status": "proved"},
              add={"runs": [many]})  # fmt: skip
    async with wizard(job, tmp_path, (120, 40)) as pilot:
        await press(pilot, "f6", "ctrl+t")
        assert "R2: the least that would" in told(pilot)
        assert "F8 on the run lists all ways" in told(pilot)
        assert held(pilot).job == job
        await list_all(pilot)
        await press(pilot, "enter")
        assert "nothing works" in told(pilot)
        assert "the least that would" in told(pilot)
        assert held(pilot).job == job


async def test_esc_gives_a_long_search_up(tmp_path, monkeypatch):
    with gate_before(monkeypatch, trial, "plan_job") as gate:
        async with wizard(kitchen(), tmp_path, NARROW) as pilot:
            await press(pilot, "f6")
            gate.shut()
            await pilot.press("ctrl+t")
            await until_came(pilot, gate, 1)
            assert "Trying ways to feed" in told(pilot)
            await pilot.press("escape")
            assert "Trying" not in told(pilot)
            gate.open()
            await settle(pilot)
            assert held(pilot).job == kitchen()
            assert not dialog(pilot)
            await press(pilot, "ctrl+t")
            assert held(pilot).job.find("run", "R4").leg is not None


async def test_a_new_job_gets_its_power_at_once_as_before(tmp_path):
    job = unfed(kitchen(status="surveyed"), "R4", "surveyed")
    async with wizard(job, tmp_path, NARROW) as pilot:
        await press(pilot, "f6", "ctrl+t")
        assert "1 leg proposed" in told(pilot)
        assert not {each.code for each in plan_job(held(pilot).job).findings} & {"no-supply"}
