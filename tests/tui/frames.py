"""The wizard on a job from a file, its keys pressed: helpers beside ``screens``."""

import os
from collections.abc import AsyncIterator, Iterable, Sequence
from contextlib import asynccontextmanager
from itertools import cycle
from pathlib import Path
from typing import Any

import pytest
import textual._wait
from rich.style import Style
from screens import frame, settle
from textual.events import Key
from textual.pilot import Pilot

from pelmet.model.examples import read_example
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.job import Job
from pelmet.tui.app import Pelmet
from pelmet.tui.dialogs.standing import StandingPicker
from pelmet.tui.session.session import Session
from pelmet.tui.wizard.wizard import Wizard

# How long Textual sleeps each time it looks whether all is still, and how much of that is still.
textual._wait.SLEEP_GRANULARITY, textual._wait.SLEEP_IDLE = 0.001, 0.0005

NARROW, WIDE = (80, 24), (120, 40)
NAMED = {" ": "space", "?": "question_mark", ";": "semicolon", ".": "full_stop", ",": "comma"}


def by_turns(names: Sequence[str], cases: Iterable[Sequence[Any]]) -> pytest.MarkDecorator:
    """Try each case in a window of one size: a narrow one, a wide one, a narrow one again."""
    params = [
        pytest.param(*case, size, id=f"{'-'.join(case)}-{size[0]}x{size[1]}")
        for case, size in zip(cases, cycle((NARROW, WIDE)))
    ]
    return pytest.mark.parametrize((*names, "size"), params)


@asynccontextmanager
async def shown(app: Pelmet, size: tuple[int, int] = NARROW) -> AsyncIterator[Pilot[Any]]:
    """Run the program without a terminal until it has drawn itself."""
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        yield pilot


@asynccontextmanager
async def wizard(
    job: Job | str, folder: Path, size: tuple[int, int] = NARROW, name: str = "job.toml"
) -> AsyncIterator[Pilot[Any]]:
    """Open a job, or an example by its name, from a file in a folder, past how it stands."""
    path = folder / name
    save_job(read_example(job) if isinstance(job, str) else job, path, None)
    async with shown(Pelmet(path), size) as pilot:
        if isinstance(pilot.app.screen, StandingPicker):
            await press(pilot, "escape")
        yield pilot


def wizard_of(pilot: Pilot[Any]) -> Wizard:
    """Give the wizard, whatever dialog stands before it."""
    return next(screen for screen in pilot.app.screen_stack if isinstance(screen, Wizard))


def held(pilot: Pilot[Any]) -> Session:
    """Give what the wizard holds."""
    return wizard_of(pilot).session


def dialog(pilot: Pilot[Any]) -> bool:
    """Tell whether a dialog stands before the wizard."""
    return not isinstance(pilot.app.screen, Wizard)


def told(pilot: Pilot[Any]) -> str:
    """Give what stands under the entry line: help, a message or a refusal."""
    return wizard_of(pilot).query_one("#entry-help").text.strip()


def entered(pilot: Pilot[Any]) -> str:
    """Give what stands in the entry line: what is typed, or the option picked."""
    screen = wizard_of(pilot)
    chooser = screen.query_one("#entry-choice")
    return chooser.value if chooser.display else screen.query_one("#entry-text").value


def place(pilot: Pilot[Any]) -> tuple[str, str, str]:
    """Give where one stands: the kind of thing, its id, its field."""
    here = held(pilot).place
    return here.kind, here.id, here.field


async def press(pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one by one, each after the one before has had its effect."""
    await pilot.press(*keys)
    await settle(pilot)


async def resize(pilot: Pilot[Any], width: int, height: int) -> None:
    """Give the window another size, and wait until what follows from it stands on the screen.

    One pane's new size can change another's, so it takes as long as anything still changes.
    """
    await pilot.resize_terminal(width, height)
    still, before = 0, ""
    while still < 4:
        await settle(pilot)
        now = frame(pilot.app)
        still, before = (still + 1 if now == before else 0), now


async def write(pilot: Pilot[Any], text: str) -> None:
    """Type a text letter by letter."""
    await press(pilot, *(NAMED.get(letter, letter) for letter in text))


async def heap(pilot: Pilot[Any], *keys: str) -> None:
    """Send keys all at once, as a slow line delivers them."""
    for key in keys:
        pilot.app.post_message(Key(key, key if len(key) == 1 else None))
    for _ in range(4):
        await settle(pilot)


async def stand(pilot: Pilot[Any], kind: str, item_id: str, field: str) -> None:
    """Stand in a field of a thing, as after a jump to a finding."""
    held(pilot).go_to(kind, item_id, field)
    wizard_of(pilot).load()
    await settle(pilot)


def styles(pilot: Pilot[Any]) -> set[Style]:
    """Give every style on the screen."""
    strips = pilot.app.screen._compositor.render_strips()
    return {segment.style for strip in strips for segment in strip if segment.style}


def in_recovery() -> list[Path]:
    """Give the recovery files there are now."""
    folder = Path(os.environ["XDG_STATE_HOME"]) / "pelmet" / "recovery"
    return sorted(folder.glob("*.recovery.toml")) if folder.is_dir() else []
