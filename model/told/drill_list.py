"""The drill list: every hole a fitter has to make, cabinet by cabinet along the walls."""

from collections.abc import Mapping
from typing import Final

from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.plan.ways.place import Panel
from pelmet.model.told.figures import brief
from pelmet.model.told.words import table, wrapped

_HEAD: Final = ("hole", "bit", "across", "out", "height", "grommet", "panel and side: cables")
_NUMBERS: Final = frozenset({1, 2, 3, 4, 5})
# Common practice.
_MIND: Final = (
    "Before drilling: scan for cables and pipes; set a depth stop; hold a block behind where the "
    "bit comes through."
)


def drill_list(plan: Plan) -> tuple[str, ...]:
    """Tell every hole: its bit and where it goes, from which side, and what goes through it.

    Lines of at most 78 columns; lengths in the unit of the job. ``across`` is from where the
    line above the holes of a cabinet or a wall says, ``out`` from the wall, ``height`` up from
    the floor, ``grommet`` the bore of one.
    """
    holes = [hole for group in by_datum(plan).values() for hole in group]
    if not holes:
        return ("no holes",)
    rows = iter(holes)
    at = ""
    head, *body = table(_HEAD, [_row(hole, plan) for hole in holes], _NUMBERS)
    lines = [head]
    for line in body:
        if not line.startswith(" "):  # else it goes on with the row above
            hole = next(rows)
            if hole.datum != at:
                at = hole.datum
                lines += wrapped(f"{_home(hole, plan)}, across from {at}:", rest="  ")
        lines.append(line)
    for hole in holes:
        for flag in hole.flags:
            lines += wrapped(f"{hole.id}: {flag}", rest="  ")
    return (*lines, *wrapped(_MIND))


def panel_words(owner: str, panel: Panel, kinds: Mapping[str, str]) -> str:
    """Name what a hole goes through: ``A2 floor``, ``A3 right side``, ``stile O2``.

    ``kinds`` are the kinds of the obstacles by id.
    """
    if panel == "obstacle":
        return f"{kinds[owner]} {owner}"
    return f"upright {owner}" if panel == "upright" else f"{owner} {panel}"


def by_datum(plan: Plan) -> dict[str, list[Hole]]:
    """Put together what is measured from one place, in the order in which it is met."""
    groups: dict[str, list[Hole]] = {}
    for hole in plan.holes:
        groups.setdefault(hole.datum, []).append(hole)
    return groups


def _home(hole: Hole, plan: Plan) -> str:
    walls = {cabinet.id: cabinet.wall for cabinet in plan.job.cabinets}
    if hole.owner in walls:
        return f"{hole.owner} on wall {walls[hole.owner]}"
    return f"wall {hole.wall}"


def _row(hole: Hole, plan: Plan) -> tuple[str, ...]:
    site = plan.job.site
    kinds = {obstacle.id: obstacle.kind for obstacle in plan.job.obstacles}
    panel = panel_words(hole.owner, hole.panel, kinds)
    figures = (hole.diameter, hole.across, hole.out, hole.height, hole.grommet)
    numbers = [brief(figure, site) for figure in figures]
    return (hole.id, *numbers, f"{panel}, {hole.drilled}: {' '.join(hole.cables)}")
