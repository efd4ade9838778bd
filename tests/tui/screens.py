"""The screen as text, and the example opened without a terminal."""

from collections.abc import Callable

from textual.pilot import Pilot

from pelmet.tui.app import Pelmet


def frame(app: Pelmet) -> str:
    """Give what the screen shows, row by row, without colours."""
    rows = app.screen._compositor.render_strips()  # the one use of a private name
    return "\n".join("".join(segment.text for segment in row).rstrip() for row in rows)


def on_example(name: str = "kitchen") -> Pelmet:
    """Open an example in the wizard."""
    return Pelmet(example=name)


async def settle(pilot: Pilot) -> None:
    """Wait until all panes show the job as it is."""
    await pilot.pause()
    while pilot.app.is_running and not pilot.app.ready:
        await pilot.pause(0.01)
    await pilot.pause()


async def until(pilot: Pilot, holds: Callable[[], bool]) -> None:
    """Wait, however long it takes, for what a timer or a thread brings about."""
    while not holds():
        await pilot.pause(0.01)
    await settle(pilot)
