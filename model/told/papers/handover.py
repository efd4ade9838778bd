"""The handover: where everything is, how far it came, what is spare, what is still open."""

from collections.abc import Iterator

from pelmet.model.measure.decimals import plain
from pelmet.model.order.folder import Folder
from pelmet.model.order.sundries import spares
from pelmet.model.told.blocks.standing import Matters, how_it_stands
from pelmet.model.told.blocks.ways import panel_words
from pelmet.model.told.figures import length_text, to_fraction
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words
from pelmet.model.told.reminders import part_names
from pelmet.model.told.words import signed_words

_PART_HEAD = ("run", "channel", "diffuser", "strip", "batch", "bars", "cabinets")
_HOLE_HEAD = ("hole", "through", "for")
_SPARE_HEAD = ("part", "name", "amount")


def handover_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell whoever comes next what was built, of what, what is owed, and who holds which paper."""
    if not folder.plan.job.runs:
        return handed_over(folder)
    return (
        *handed_over(folder),
        Heading("Papers given out"),
        Points(tuple(_given(folder)) or ("None is noted.",)),
        Heading("As built, where it differs"),
        Blanks(("Differs from the plan", "Promised to the client", "Photos kept at")),
        Heading("Warranty"),
        Blanks(("Supplier's order number", "Fitted on", "Warranty ends", "Handed over by", "to")),
    )


def handed_over(folder: Folder) -> tuple[Block, ...]:
    """Tell it all but who holds which paper: by this the paper is known, and void once it changes.

    That papers are given out, this one among them, is no news of what was built.
    """
    if not folder.plan.job.runs:
        return (Words("There is no run yet."),)
    stands = how_it_stands(folder)
    return (
        *stands.runs.blocks(),
        Heading("What is in each run"),
        Grid(_PART_HEAD, tuple(_parts(folder)), frozenset({5}), name="handover-parts"),
        *_supplies(stands.supplies),
        *stands.protection.blocks(),
        *_joints(stands.joints),
        Heading("Holes"),
        *_holes(folder),
        Heading("Spare, stays with the client"),
        *_spares(folder),
        *stands.to_measure.blocks(),
        *stands.to_decide.blocks(),
        *stands.promised.blocks(),
    )


def _parts(folder: Folder) -> Iterator[tuple[str, ...]]:
    for fit in folder.plan.fits:
        run = fit.run
        yield (
            run.id,
            run.channel,
            run.diffuser,
            run.strip,
            run.batch or "not noted",
            str(len(fit.bars)),
            " ".join(run.cabinets),
        )


def _supplies(supplies: Matters) -> tuple[Block, ...]:
    """Give the supplies, each with room for its serial number."""
    rows = tuple(each._replace(cells=(*each.cells, "")) for each in supplies.rows)
    return supplies._replace(head=(*supplies.head, "serial number"), rows=rows).blocks()


def _joints(joints: Matters) -> tuple[Block, ...]:
    if not joints.rows:
        return joints.blocks()
    within = "A joint that nobody can get at is a fault nobody finds: keep each within reach."
    return (*joints.blocks(), Words(within))


def _holes(folder: Folder) -> tuple[Block, ...]:
    plan = folder.plan
    kinds = {obstacle.id: obstacle.kind for obstacle in plan.job.obstacles}
    rows = tuple(
        (hole.id, panel_words(hole.owner, hole.panel, kinds), " ".join(hole.cables))
        for hole in plan.holes
    )
    if not rows:
        return (Words("None."),)
    return (
        Grid(_HOLE_HEAD, rows, name="handover-holes", large=frozenset({0})),
        Words("Their sizes and places are on the drill list."),
    )


def _spares(folder: Folder) -> tuple[Block, ...]:
    """Give the spare strip, and so many of each small part."""
    plan = folder.plan
    site, names = plan.job.site, part_names(plan.parts)
    rows = [
        (
            piece.part,
            names.get(piece.part, piece.part),
            f"{length_text(to_fraction(piece.length, site), site)}, of the same batch",
        )
        for piece in folder.pieces
        if not piece.run and piece.kind == "strip"
    ]
    rows += [
        (each.part or f"any {each.serves}", names.get(each.part, each.serves), plain(each.amount))
        for each in spares(plan)
        if each.amount
    ]
    if not rows:
        return (Words("None is planned."),)
    return (Grid(_SPARE_HEAD, tuple(rows), name="handover-spares", large=frozenset({0})),)


def _given(folder: Folder) -> Iterator[str]:
    for each in folder.plan.job.given:
        signed = signed_words(each.day, each.by)
        yield f"{each.paper}, revision {each.revision}" + (f", {signed}" if signed else "")
