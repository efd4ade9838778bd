"""Checks on light: enough of it at the least-lit spot."""

from collections.abc import Iterator

from pelmet.model.plan.checks.finding import Finding, said
from pelmet.model.plan.worked import Worked


def too_dark(worked: Worked) -> Iterator[Finding]:
    """The least-lit spot below a run is under the allowance."""
    wanted = worked.job.allowances.worktop_lux
    for light in worked.lights:
        if float(light.least.value) < float(wanted):
            yield Finding(
                "warn",
                "too-dark",
                "run",
                light.run,
                "strip",
                f"{float(light.least.value):.0f} lx at {light.at:.0f} mm along wall {light.wall}, "
                f"under {said(wanted)} lx (direct light only)",
                "choose a brighter strip or a clearer diffuser, or move the line to the front",
            )


def light_under_worktop(worked: Worked) -> Iterator[Finding]:
    """A bar hangs no higher than the worktop, so it lights nothing on it."""
    rooms = {room.id: room for room in worked.job.rooms}
    walls = {wall.id: wall.room for wall in worked.job.walls}
    heights = {mount.bar: float(mount.height.value) for mount in worked.mounts}
    for fit in worked.fits:
        low = [
            bar.id
            for bar in fit.bars
            if not bar.upright and heights[bar.id] <= float(rooms[walls[bar.wall]].worktop_height)
        ]
        if low:
            yield Finding(
                "ask",
                "light-under-worktop",
                "run",
                fit.run.id,
                "cabinets",
                f"{' '.join(low)} hangs no higher than the worktop; its light is not reckoned",
                "check the bottom height of its cabinets and the worktop height of the room",
            )


CHECKS = (too_dark, light_under_worktop)
