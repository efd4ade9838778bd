"""The light of a run as a drawing of the Mounting step: where it is, what it shows, how to walk."""

from dataclasses import replace

import pytest
from drawn import check_form
from frames import NARROW, place, press, stand, told, wizard, wizard_of
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job

from pelmet.model.examples import read_example
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.drawings.charts.light_page import draw_light_page
from pelmet.tui.panes.drawings import DRAWINGS, LIGHT, drawings_in, make_drawing, spots
from pelmet.tui.session.steps import MOUNTING, STEPS
from pelmet.tui.wizard.walking import words_for

WIDE = (120, 40)
sizes = pytest.mark.parametrize("size", [NARROW, WIDE], ids=["80x24", "120x40"])


def plan_text(pilot) -> str:
    return wizard_of(pilot).query_one("#plan").text


def test_only_the_mounting_step_has_it_and_the_plan_comes_first():
    for step in STEPS:
        assert drawings_in(step)[0] == DRAWINGS[0] == "plan"
        assert (LIGHT in drawings_in(step)) == (step is MOUNTING)
        assert set(DRAWINGS) <= set(drawings_in(step))


@pytest.mark.journey
@sizes
async def test_standing_on_a_run_the_next_drawing_is_its_light(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await press(pilot, "f5")
        await stand(pilot, "run", "R2", "line")
        await press(pilot, "ctrl+d", "space")
        assert wizard_of(pilot).walking.drawing == LIGHT
        assert "Walking the light" in " ".join(told(pilot).split())
        text = " ".join(plan_text(pilot).split())
        kept = "R2 at A: average 289 lx kept up (new: 361, 310 to 412) of 300 wanted,"
        assert text.startswith(f"{kept} least 191, most 373,")
        assert "wall A" in text
        assert "front edge" in text
        assert "under 300 lx" in text
        assert plan_text(pilot).splitlines()[-1] == "other runs:  R1  R3  R4"


@pytest.mark.journey
@sizes
async def test_arrows_go_to_other_runs_and_enter_to_their_forms(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await press(pilot, "f5")
        await stand(pilot, "run", "R2", "line")
        await press(pilot, "ctrl+d", "space")
        await press(pilot, "down")
        while wizard_of(pilot).walking.focus in ("R2", "A"):
            await press(pilot, "down")
        came = wizard_of(pilot).walking.focus
        assert came in ("R1", "R3", "R4")
        assert plan_text(pilot).startswith(f"{came} at ")
        await press(pilot, "enter")
        assert place(pilot)[:2] == ("run", came)


def test_a_run_on_two_walls_has_a_page_for_each():
    plan = plan_job(read_example("kitchen"))
    one = plan.lights[0]
    two = replace(plan, lights=(one, one._replace(wall="B"), *plan.lights[1:]))
    first = draw_light_page(two, 78, None, "R1", "R1")
    assert first.rows[0].startswith("R1 at A: ")
    assert "also at wall  B" in first.rows[-1]
    assert draw_light_page(two, 78, None, "B", "R1").rows[0].startswith("R1 at B: ")
    assert draw_light_page(two, 78, None, "R3", "R1").rows[0].startswith("R1 at A: ")


@pytest.mark.property
@QUICK
@given(any_job(), st.integers(1, 120), st.none() | st.integers(0, 40))
def test_any_page_fits_and_all_it_shows_there_is_a_thing_with_a_form(job, width, height):
    plan = plan_job(job)
    for focus in (None, *(light.run for light in plan.lights)):
        check_form(draw_light_page(plan, width, height, focus), width, height)
    for about in spots(make_drawing(plan, LIGHT, 80, 16, None).spans):
        assert words_for(plan, about) != about
