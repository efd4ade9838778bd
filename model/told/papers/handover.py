"""The handover: where everything is, how far it came, what is spare, what is still open."""

from collections.abc import Iterator
from math import floor

from pelmet.model.measure.decimals import plain
from pelmet.model.order.folder import Folder
from pelmet.model.order.sundries import spares
from pelmet.model.plan.circuit.protection import Joint, joints
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.told.blocks.ways import panel_words, place_words
from pelmet.model.told.figures import length_text, to_fraction
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words
from pelmet.model.told.papers.mains import place_of
from pelmet.model.told.reminders import assumed_words, part_names
from pelmet.model.told.words import signed_words

_STATUS_HEAD = ("run", "done up to", "next", "past recall")
_PART_HEAD = ("run", "channel", "diffuser", "strip", "batch", "bars", "cabinets")
_SUPPLY_HEAD = (
    "supply", "part", "sits", "isolator", "W left", "terminals left", "serial number",
)  # fmt: skip
_JOINT_HEAD = ("cable", "its", "ways", "pieces", "comes to", "where")
_HOLE_HEAD = ("hole", "through", "for")
_SPARE_HEAD = ("part", "name", "amount")


def handover_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell whoever comes next what was built, of what, and what is owed."""
    plan = folder.plan
    if not plan.job.runs:
        return (Words("There is no run yet."),)
    return (
        Heading("How far each run is"),
        Grid(_STATUS_HEAD, tuple(_statuses(folder)), name="handover", large=frozenset({0})),
        Heading("What is in each run"),
        Grid(_PART_HEAD, tuple(_parts(folder)), frozenset({5}), name="handover-parts"),
        Heading("Supplies"),
        *_supplies(folder),
        Heading("Joints"),
        *_joints(folder),
        Heading("Holes"),
        *_holes(folder),
        Heading("Spare, stays with the client"),
        *_spares(folder),
        Heading("Still to measure"),
        Points(assumed_words(plan)),
        Heading("Still to decide"),
        Points(tuple(_open(folder)) or ("Nothing.",)),
        Heading("Papers given out"),
        Points(tuple(_given(folder)) or ("None is noted.",)),
        Heading("As built, where it differs"),
        Blanks(("Differs from the plan", "Promised to the client", "Photos kept at")),
        Heading("Warranty"),
        Blanks(("Supplier's order number", "Fitted on", "Warranty ends", "Handed over by", "to")),
    )


def _statuses(folder: Folder) -> Iterator[tuple[str, ...]]:
    for each in folder.statuses:
        past = ", ".join(each.past_recall) or "nothing yet"
        yield each.run.id, each.run.status, each.next or "nothing", past


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


def _supplies(folder: Folder) -> tuple[Block, ...]:
    plan = folder.plan
    budgets = {each.supply: each for each in plan.supplies}
    rows = tuple(
        (
            supply.id,
            supply.part,
            place_of(supply, plan.job),
            supply.isolator or "not noted",
            *_left(budgets.get(supply.id)),
            "",
        )
        for supply in plan.job.supplies
    )
    if not rows:
        return (Words("None."),)
    grid = Grid(_SUPPLY_HEAD, rows, frozenset({4, 5}), "handover-supplies", frozenset({0}))
    return (grid,)


def _left(budget: SupplyBudget | None) -> tuple[str, str]:
    watts = budget.left if budget else None
    terminals = budget.terminals_left if budget else None
    assumed = ", assumed" if watts and watts.assumed else ""
    return (
        f"{floor(float(watts.value))}{assumed}" if watts else "-",
        str(terminals.value) if terminals else "-",
    )


def _joints(folder: Folder) -> tuple[Block, ...]:
    plan = folder.plan
    cables = {cable.id: cable for cable in plan.routes.cables}
    made = joints(plan.parts, plan.routes, plan.circuits.legs)
    rows = tuple(_joint(each, cables.get(each.cable)) for each in made)
    if not rows:
        return (Words("None."),)
    return (
        Grid(_JOINT_HEAD, rows, frozenset({2}), name="handover-joints", large=frozenset({0})),
        Words("A joint that nobody can get at is a fault nobody finds: keep each within reach."),
    )


def _joint(joint: Joint, cable: Cable | None) -> tuple[str, ...]:
    """Give a joint with its place; a cable whose length was measured has none that is known."""
    to, where = "", "not reckoned: note it here"
    if cable:
        to = cable.end if joint.end == "end" else cable.origin
        if cable.places:
            where = place_words(cable.places[-1 if joint.end == "end" else 0])
    return joint.cable, joint.end, str(joint.ways), f"{joint.each} a core", to, where


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


def _open(folder: Folder) -> Iterator[str]:
    for finding in (*folder.plan.findings, *folder.findings):
        if finding.level != "warn":
            about = "" if finding.about in finding.says else f"{finding.about}: "
            yield f"{about}{finding.says} ({finding.remedy})"


def _given(folder: Folder) -> Iterator[str]:
    for each in folder.plan.job.given:
        signed = signed_words(each.day, each.by)
        yield f"{each.paper}, revision {each.revision}" + (f", {signed}" if signed else "")
