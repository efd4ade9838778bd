"""The volts of a leg as a drawing of the Power step: where it is, what it shows, how to walk it."""

import pytest
from frames import NARROW, place, press, stand, told, wizard, wizard_of
from hypothesis import given
from jobs import QUICK, any_job

from pelmet.model.plan.stages import plan_job
from pelmet.tui.panes.drawings import DRAWINGS, VOLTS, drawings_in, make_drawing, spots
from pelmet.tui.session.steps import POWER, STEPS
from pelmet.tui.wizard.walking import Walking, words_for

WIDE = (120, 40)
sizes = pytest.mark.parametrize("size", [NARROW, WIDE], ids=["80x24", "120x40"])


def walking(pilot) -> Walking:
    return wizard_of(pilot).walking


def plan_text(pilot) -> str:
    return wizard_of(pilot).query_one("#plan").text


def test_only_the_power_step_has_it_and_the_plan_comes_first():
    for step in STEPS:
        assert drawings_in(step)[0] == DRAWINGS[0] == "plan"
        assert (VOLTS in drawings_in(step)) == (step is POWER)
        assert set(DRAWINGS) <= set(drawings_in(step))


@pytest.mark.journey
@sizes
async def test_standing_on_a_leg_the_next_drawing_is_its_volts(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await stand(pilot, "leg", "L3", "cable")
        await press(pilot, "ctrl+d")
        assert walking(pilot).drawing == "plan"
        await press(pilot, "space")
        assert walking(pilot).drawing == VOLTS
        assert "Walking the volts" in " ".join(told(pilot).split())
        first, *_, last = plan_text(pilot).splitlines()
        assert first.startswith("L3 from S1: ")
        assert last == "other legs:  L1  L2"
        assert "R4.1" in plan_text(pilot)
        assert "a R3  b R4" in plan_text(pilot)
        for _ in drawings_in(POWER)[1:]:
            await press(pilot, "space")
        assert walking(pilot).drawing == "plan"


@pytest.mark.journey
@sizes
async def test_arrows_go_to_its_bars_and_to_other_legs_and_enter_to_their_forms(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await stand(pilot, "leg", "L3", "cable")
        await press(pilot, "ctrl+d", "space")
        came = []
        for _ in range(7):
            await press(pilot, "down")
            came.append(walking(pilot).focus)
            assert plan_text(pilot).startswith(f"{'L3' if came[-1] != 'L1' else 'L1'} from S1: ")
            if came[-1] == "L1":
                break
        assert came == ["R3.1", "R4.1", "L3.1", "L3.2", "L3.3", "L1"]
        await press(pilot, "down")
        assert walking(pilot).focus == "R1.1"
        await press(pilot, "up", "down", "enter")
        assert place(pilot)[:2] == ("run", "R1")


@pytest.mark.journey
async def test_it_stays_beside_the_form_and_follows_the_leg_and_what_is_typed(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L3", "length")
        await press(pilot, "ctrl+d", "space", "escape")
        assert plan_text(pilot).startswith("L3 from S1: ")
        before = plan_text(pilot)
        await press(pilot, *"30 m")
        assert plan_text(pilot).startswith("L3 from S1: ")
        assert plan_text(pilot) != before
        await press(pilot, "enter", "pageup")
        while place(pilot)[0] != "leg":
            await press(pilot, "pageup")
        assert plan_text(pilot).startswith(f"{place(pilot)[1]} from S1: ")
        assert place(pilot)[1] != "L3"


@pytest.mark.journey
async def test_in_another_step_the_plan_is_shown_again(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L3", "cable")
        await press(pilot, "ctrl+d", "space", "escape", "f2")
        assert plan_text(pilot).splitlines()[0] == "Kitchen"
        await press(pilot, "f6")
        assert " from S1: " in plan_text(pilot).splitlines()[0]


@pytest.mark.property
@QUICK
@given(any_job())
def test_all_that_any_job_shows_there_is_a_thing_with_a_form(job):
    plan = plan_job(job)
    for size in ((80, 16), (50, 22)):
        for about in spots(make_drawing(plan, VOLTS, *size, None).spans):
            assert words_for(plan, about) != about
            assert words_for(plan, about).isprintable()
