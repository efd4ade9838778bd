"""The approval: what the client will see, use and pay, to be signed before anything is cut."""

from pelmet.model.job.job import Site
from pelmet.model.order.folder import Folder
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.told.blocks.light import light_table
from pelmet.model.told.blocks.offered import offered_blocks
from pelmet.model.told.blocks.pictures import plan_picture
from pelmet.model.told.blocks.seen import what_is_seen
from pelmet.model.told.blocks.switching import switching_words
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words

_RUN_HEAD = ("run", "under", "bars", "lit", "dark at its ends and joints", "assumed")
_NOT_IN_IT = (
    "{Of_mains} work: a licensed electrician's, quoted apart.",
    "Making good, {plaster}, paint and tiles.",
    "Permits and fees of an authority.",
)


def approval_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell a client what is lit, how bright and how it looks, with the options beside it."""
    plan = folder.plan
    if not plan.bars:
        return (Words("There is nothing to approve yet: no bar is planned."),)
    site = plan.job.site
    blocks: list[Block] = [
        plan_picture(plan),
        Heading("What is lit"),
        Grid(
            _RUN_HEAD,
            tuple(_run(fit, site) for fit in plan.fits if fit.bars),
            frozenset({2, 3}),
            name="approval",
        ),
        Heading("Light on what is used"),
        light_table(plan),
        Heading("What the eye meets"),
        Points(what_is_seen(plan)),
        Heading("Switching"),
        Points(switching_words(plan)),
        Heading("Options"),
        *offered_blocks(folder, "approval-options"),
        *cautions_on(plan, "approval"),
        Heading("Not in it"),
        Points(tuple(map(site.words.said, _NOT_IN_IT))),
        Blanks(("Option chosen", "Approved by", "Date")),
    ]
    return tuple(blocks)


def _run(fit: RunFit, site: Site) -> tuple[str, ...]:
    lit = sum(float(bar.lit.value) for bar in fit.bars)
    between = (float(band.across.value) for band in fit.bands)
    left, right = float(fit.bars[0].dark_left.value), float(fit.bars[-1].dark_right.value)
    places = ", ".join(length_text(round(each), site) for each in (left, *between, right))
    assumed = " ".join(bar.id for bar in fit.bars if bar.length.assumed) or "-"
    under = " ".join(fit.run.cabinets)
    return fit.run.id, under, str(len(fit.bars)), length_text(round(lit), site), places, assumed
