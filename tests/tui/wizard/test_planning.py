"""What takes long to plan is planned beside the keys while it is typed; it comes a little later."""

import pytest
from frames import entered, held, place, press, stand, wizard, wizard_of
from gates import gate_before, until_came
from jobs import many_bars
from screens import frame, settle

from pelmet.model.edit.change import set_value
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.plan import stages
from pelmet.model.plan.stages import plan_job
from pelmet.tui.session import planning
from pelmet.tui.session.session import Session

WIDE = (120, 40)
FIELD = ("allowances", "bars", "end_clearance")


@pytest.fixture
def areas(monkeypatch):
    """Every area takes long, and can be held up."""
    monkeypatch.setattr(planning, "_AT_ONCE", 0)
    with gate_before(monkeypatch, stages, "lay_out_rooms") as gate:
        yield gate


def widths(session: Session) -> list[object]:
    return [bar.length.value for bar in session.plan.bars]


def test_what_is_typed_stands_at_once_and_its_plan_comes_when_it_is_taken(areas):
    session = Session(many_bars(), Catalogue())
    session.go_to(*FIELD)
    before = widths(session)
    session.type("4")
    assert session.job.allowances.end_clearance == 4
    assert session.plan_is_behind
    assert widths(session) == before
    session.catch_up()
    assert not session.plan_is_behind
    assert widths(session) == [width - 4 for width in before]


def test_what_sticks_before_its_plan_has_come_is_followed_all_the_same(areas):
    session = Session(many_bars(), Catalogue())
    session.go_to(*FIELD)
    session.type("4")
    assert session.accept()
    assert session.plan_is_behind
    session.catch_up()
    assert session.plan.job is session.job
    assert session.paperwork._accepted is session.plan


def test_a_plan_of_an_older_job_is_not_taken(areas):
    session = Session(many_bars(), Catalogue())
    session.go_to(*FIELD)
    session.type("4")
    older = session.asks
    session.type("5")
    assert not session.wants(older)
    session.take(plan_job(older.job))
    assert session.plan_is_behind
    session.catch_up()
    assert session.plan.job is session.job


def test_whatever_is_no_typing_is_planned_at_once(areas):
    session = Session(many_bars(), Catalogue())
    session.go_to(*FIELD)
    session.type("4")
    for act in (
        session.plan_now,
        session.revert,
        lambda: session.change(set_value(session.job, *FIELD[:1], "", "end_clearance", 6)),
        session.undo,
        session.redo,
    ):
        act()
        assert not session.plan_is_behind
        assert session.plan.job is session.job


@pytest.mark.journey
async def test_typing_and_esc_never_wait_and_the_latest_wins(tmp_path, areas):
    async with wizard(many_bars(), tmp_path, WIDE) as pilot:
        await stand(pilot, *FIELD)
        before = widths(held(pilot))
        areas.shut()
        came = areas.came
        await pilot.press("backspace", "4")
        await until_came(pilot, areas, came + 1)
        assert entered(pilot) == "4"
        assert "Planning ..." in frame(pilot.app)
        await pilot.press("0")
        assert held(pilot).job.allowances.end_clearance == 40
        await pilot.press("escape")
        assert not held(pilot).plan_is_behind
        assert widths(held(pilot)) == before
        await pilot.press("backspace", "6", "enter")
        assert place(pilot)[2] != FIELD[2]
        areas.open()
        await settle(pilot)
        assert "Planning" not in frame(pilot.app)
        assert widths(held(pilot)) == [width - 8 for width in before]


@pytest.mark.journey
async def test_a_command_waits_for_the_plan_it_acts_on(tmp_path, areas):
    async with wizard(many_bars(), tmp_path, WIDE) as pilot:
        await stand(pilot, *FIELD)
        await pilot.press("backspace", "4", "f7")
        assert not held(pilot).plan_is_behind
        await press(pilot, "f2")
        assert wizard_of(pilot).session.job.allowances.end_clearance == 4
