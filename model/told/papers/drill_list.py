"""The drill list: every hole, from where it is measured, and what its bit must keep off."""

from collections.abc import Iterator, Sequence

from pelmet.model.job.items import SurveyedItem
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.told.blocks.two_kinds import Telling, done_words, told_apart
from pelmet.model.told.blocks.ways import panel_words
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import brief
from pelmet.model.told.paper import Block, Grid, Words, points


def drill_list_paper(plan: Plan, telling: Telling = "apart") -> tuple[Block, ...]:
    """Tell the fitter every hole: those to drill, then those that are there."""
    there = {each.hole: each for each in plan.job.drilled}

    def blocks(holes: Sequence[Hole]) -> Iterator[Block]:
        yield from _blocks(holes, plan)
        if telling != "as one":
            drilled = [(hole.id, there[hole.id]) for hole in holes if hole.id in there]
            yield from points(done_words("drilled", drilled))

    holes = told_apart(telling, plan.holes, lambda hole: hole.there, blocks)
    return (*cautions_on(plan, "drill-list"), *holes)


def hole_blocks(plan: Plan) -> Iterator[Block]:
    """Tell every hole, those measured from one place together, in the order they are met."""
    return _blocks(plan.holes, plan)


def _blocks(some: Sequence[Hole], plan: Plan) -> Iterator[Block]:
    met: dict[str, list[Hole]] = {}
    for hole in some:
        met.setdefault(hole.datum, []).append(hole)
    holes = [hole for group in met.values() for hole in group]
    if not holes:
        yield Words("There is no hole to drill.")
        return
    unit = f"[{plan.job.site.length_unit}]"
    head = ("hole", f"bit {unit}", "from", f"across {unit}", f"out {unit}", f"height {unit}",
            f"grommet {unit}", "panel and side", "cables")  # fmt: skip
    yield Words(
        "Measure to the middle of a hole: across from the left side of the cabinet named, or from "
        "where the wall named starts at its left; out from the wall; height from the floor. A "
        "grommet's figure is its bore."
    )
    rows = tuple(_row(hole, plan) for hole in holes)
    yield Grid(head, rows, frozenset({1, 3, 4, 5, 6}), "drill-list", frozenset({0}))
    yield from points((*_flags(holes), *_assumed(holes, plan)))


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


def _flags(holes: Sequence[Hole]) -> Iterator[str]:
    for hole in holes:
        for flag in hole.flags:
            yield f"{hole.id}: {flag}"


def _assumed(holes: Sequence[Hole], plan: Plan) -> Iterator[str]:
    """Say which holes go by readings of a cabinet, a wall or an obstacle that nobody took."""
    job = plan.job
    things: tuple[SurveyedItem, ...] = (*job.walls, *job.cabinets, *job.obstacles)
    guessed = {thing.id: thing.assumed for thing in things if thing.assumed}
    for hole in holes:
        for item_id in dict.fromkeys((hole.owner, hole.wall)):
            if item_id in guessed:
                fields = ", ".join(field.replace("_", " ") for field in guessed[item_id])
                yield f"{hole.id}: assumed, for of {item_id} is not measured yet: {fields}"
