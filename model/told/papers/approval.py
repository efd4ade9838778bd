"""The approval: what the client will see, use and pay, to be signed before anything is cut."""

from collections.abc import Iterator

from pelmet.model.job.job import Site
from pelmet.model.measure.decimals import plain
from pelmet.model.measure.lengths import print_length
from pelmet.model.order.folder import Folder
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.light.wanted import light_wanted
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.plan.view import plan_view
from pelmet.model.told.figures import millimetres
from pelmet.model.told.paper import Blanks, Block, Cautions, Grid, Heading, Picture, Points, Words
from pelmet.model.told.papers.looks import switching_words, what_is_seen
from pelmet.model.told.papers.offered import offered_blocks
from pelmet.model.told.papers.switching import switched

_WIDTH = 78
_RUN_HEAD = ("run", "under", "bars", "lit", "dark at its ends and joints", "assumed")
_LIGHT_HEAD = ("run", "wall", "lux on average", "least", "wanted", "even", "so")
_NOT_IN_IT = (
    "Mains work: a licensed electrician's, quoted apart.",
    "Making good, plaster, paint and tiles.",
    "Permits and fees of an authority.",
)


def approval_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell a client what is lit, how bright and how it looks, with the options beside it."""
    plan = folder.plan
    if not plan.bars:
        return (Words("There is nothing to approve yet: no bar is planned."),)
    site = plan.job.site
    blocks: list[Block] = [
        Picture(plan_view(plan, _WIDTH).rows, "Plan, seen from above"),
        Heading("What is lit"),
        Grid(
            _RUN_HEAD,
            tuple(_run(fit, site) for fit in plan.fits if fit.bars),
            frozenset({2, 3}),
            name="approval",
        ),
        Heading("Light on the worktop"),
        *_light(folder),
        Heading("What the eye meets"),
        Points(what_is_seen(plan)),
        Heading("Switching"),
        Points(switching_words(plan)),
        Heading("Options"),
        *offered_blocks(folder, "approval-options"),
        Cautions(tuple(_minded(plan))),
        Heading("Not in it"),
        Points(_NOT_IN_IT),
        Blanks(("Option chosen", "Approved by", "Date")),
    ]
    return tuple(blocks)


def _run(fit: RunFit, site: Site) -> tuple[str, ...]:
    lit = sum(float(bar.lit.value) for bar in fit.bars)
    between = (float(band.across.value) for band in fit.bands)
    left, right = float(fit.bars[0].dark_left.value), float(fit.bars[-1].dark_right.value)
    places = ", ".join(_length(each, site) for each in (left, *between, right))
    assumed = " ".join(bar.id for bar in fit.bars if bar.length.assumed) or "-"
    under = " ".join(fit.run.cabinets)
    return fit.run.id, under, str(len(fit.bars)), _length(lit, site), places, assumed


def _length(value: float, site: Site) -> str:
    return print_length(millimetres(round(value)), site.length_unit, site.inch_parts)


def _light(folder: Folder) -> tuple[Block, ...]:
    plan = folder.plan
    rooms = {room.id: room for room in plan.job.rooms}
    rows = []
    for light in plan.lights:
        room = rooms[light.room]
        wanted = light_wanted(room, plan.job.allowances)
        enough = float(light.average.value) >= float(wanted.lux)
        level = float(light.evenness.value) >= float(wanted.evenness)
        so = [
            "enough" if enough else "less than wanted",
            *(() if level else ("uneven",)),
            *(("assumed",) if light.average.assumed else ()),
        ]
        rows.append(
            (
                light.run,
                light.wall,
                f"{float(light.average.value):.0f}",
                f"{float(light.least.value):.0f}",
                plain(wanted.lux),
                f"{float(light.evenness.value):.2f}",
                ", ".join(so),
            )
        )
    if not rows:
        return (Words("No worktop is lit."),)
    return (
        Grid(_LIGHT_HEAD, tuple(rows), frozenset({2, 3, 4, 5}), name="approval-light"),
        Words("By these lights alone, as they will be after some years; no other lamp counts."),
    )


def _minded(plan: Plan) -> Iterator[str]:
    dimmed = any(each.dimmers for each in switched(plan))
    by = ", by your own dimmer" if dimmed else ""
    yield f"Look at a lit sample on your own top{by}, before you sign."
    if any(bar.length.assumed for bar in plan.bars):
        yield "Lengths marked as assumed may change once they are measured."
