"""How long a keystroke, a plan, a first paint and ``--help`` take; reported, never asserted.

Run with ``-m speed -n 0 --benchmark-enable``. The job has 30 bars in 3 rooms.
"""

import asyncio
import itertools
import subprocess
import sys

import pytest
from screens import on_example
from textual.app import App

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import set_value
from pelmet.model.edit.propose import propose_power, propose_runs
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.tui.panes import contents
from pelmet.tui.panes.drawings import make_drawing
from pelmet.tui.session.session import Session

pytestmark = pytest.mark.speed


@pytest.fixture(scope="module")
def big_job():
    job = Job()
    for _room, _wall in itertools.product(range(3), range(2)):
        if _wall == 0:
            job, room = add_item(job, "room")
        job, wall = add_item(job, "wall", job.find("room", room))
        job = set_value(job, "wall", wall, "length", 5000)
        near = job.find("wall", wall)
        for _cabinet in range(5):
            job, item_id = add_item(job, "cabinet", near)
            job = set_value(job, "cabinet", item_id, "underside", "framed")
            near = job.find("cabinet", item_id)
    return propose_power(propose_runs(job), bundled_catalogue())


def test_a_plan_of_30_bars(benchmark, big_job):
    plan = benchmark(plan_job, big_job)
    assert len(plan.bars) == 30


def test_a_keystroke_to_finished_panes(benchmark, big_job):
    session = Session(big_job, Catalogue())
    session.go_to("cabinet", "A2", "width")
    widths = itertools.cycle(str(width) for width in range(601, 640))

    def keystroke():
        session.type(next(widths))
        return (
            make_drawing(session.plan, "plan", 70, 25, session.place.id),
            contents.list_lines(session),
            contents.form_lines(session, 40),
            contents.budget_line(session, 120),
        )

    assert benchmark(keystroke)


def _until_painted(app) -> None:
    async def run() -> None:
        async with app.run_test(size=(120, 40)) as pilot:
            await pilot.pause()

    asyncio.run(run())


@pytest.mark.parametrize("make", [App, on_example], ids=["an empty Textual app", "the wizard"])
def test_first_paint_once_imported(benchmark, make):
    benchmark.pedantic(lambda: _until_painted(make()), rounds=5, warmup_rounds=1)


@pytest.mark.parametrize(
    "code",
    [
        pytest.param("", id="bare interpreter"),
        pytest.param("import textual.app", id="importing Textual"),
        pytest.param("import pelmet.tui.app", id="importing the frame"),
        pytest.param("import pelmet.tui.app, pelmet.tui.wizard.opening", id="importing the wizard"),
        pytest.param(
            "from pelmet.tui.command.main import main; main(['--help'])", id="pelmet --help"
        ),
    ],
)
def test_a_process(benchmark, code):
    command = [sys.executable, "-c", code]
    benchmark.pedantic(
        lambda: subprocess.run(command, check=True, capture_output=True), rounds=5, warmup_rounds=1
    )
