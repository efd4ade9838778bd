"""The drill list: every hole, from where it is measured, and what its bit must keep off."""

from collections.abc import Iterator, Sequence
from typing import Final

from pelmet.model.job.items import Surveyed
from pelmet.model.order.folder import Folder
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.told.drill_list import by_datum, panel_words
from pelmet.model.told.figures import brief
from pelmet.model.told.paper import Block, Cautions, Grid, Points, Words

# Common practice, all of these.
_ALWAYS: Final = (
    "Scan for cables, pipes and gas before any hole. Drill only where this list says.",
    "Set a depth stop.",
    "Hold a block behind where the bit comes through.",
)
# What a hole is flagged for begins so; and what then holds.
_FLAGGED: Final = (
    (
        "in the hanging rail",
        "Never drill or cut a hanging rail: the cabinet hangs on it. Find another place for",
    ),
    (
        "where hinge plates or runners sit",
        "Open doors and take drawers out before the bit goes in, and keep off plates and runners:",
    ),
    ("on a row of shelf pins", "Keep off the rows of shelf pins:"),
    ("its rim", "Nearer to an edge a panel breaks out. Ask before drilling"),
    ("deeper than its stile", "The stile does not hang down so far. Measure it before drilling"),
    ("wider than", "A side is weak where a hole is so wide. Drill two smaller ones for"),
)


def drill_list_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell the fitter every hole, those that are measured from one place together."""
    plan = folder.plan
    holes = [hole for group in by_datum(plan).values() for hole in group]
    if not holes:
        return (Words("There is no hole to drill."),)
    unit = f"[{plan.job.site.length_unit}]"
    head = ("hole", f"bit {unit}", "from", f"across {unit}", f"out {unit}", f"height {unit}",
            f"grommet {unit}", "panel and side", "cables")  # fmt: skip
    notes = (*_flags(holes), *_assumed(holes, plan))
    return (
        Cautions((*_ALWAYS, *_minded(holes))),
        Words(
            "Measure to the middle of a hole: across from the left side of the cabinet named, or "
            "from where the wall named starts at its left; out from the wall; height from the "
            "floor. A grommet's figure is its bore."
        ),
        Grid(
            head,
            tuple(_row(hole, plan) for hole in holes),
            frozenset({1, 3, 4, 5, 6}),
            "drill-list",
            frozenset({0}),
        ),
        *((Points(notes),) if notes else ()),
    )


def _row(hole: Hole, plan: Plan) -> tuple[str, ...]:
    job = plan.job
    kinds = {obstacle.id: obstacle.kind for obstacle in job.obstacles}
    bit, across, out, height, grommet = (
        brief(figure, job.site)
        for figure in (hole.diameter, hole.across, hole.out, hole.height, hole.grommet)
    )
    owned = any(cabinet.id == hole.owner for cabinet in job.cabinets)
    at = f"{hole.owner} left" if owned else f"wall {hole.wall}"
    panel = f"{panel_words(hole.owner, hole.panel, kinds)}, {hole.drilled}"
    return (hole.id, bit, at, across, out, height, grommet, panel, " ".join(hole.cables))


def _minded(holes: Sequence[Hole]) -> Iterator[str]:
    for begins, says in _FLAGGED:
        found = [hole.id for hole in holes if any(flag.startswith(begins) for flag in hole.flags)]
        if found:
            yield f"{says} {' '.join(found)}."


def _flags(holes: Sequence[Hole]) -> Iterator[str]:
    for hole in holes:
        for flag in hole.flags:
            yield f"{hole.id}: {flag}"


def _assumed(holes: Sequence[Hole], plan: Plan) -> Iterator[str]:
    """Say which holes go by readings of a cabinet, a wall or an obstacle that nobody took."""
    job = plan.job
    things: tuple[Surveyed, ...] = (*job.walls, *job.cabinets, *job.obstacles)
    guessed = {thing.id: thing.assumed for thing in things if thing.assumed}
    for hole in holes:
        for item_id in dict.fromkeys((hole.owner, hole.wall)):
            if item_id in guessed:
                fields = ", ".join(field.replace("_", " ") for field in guessed[item_id])
                yield f"{hole.id}: assumed, for of {item_id} is not measured yet: {fields}"
