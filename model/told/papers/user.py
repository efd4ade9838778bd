"""The user sheet: what the client does with the light, and what not."""

from collections.abc import Iterator
from math import floor

from pelmet.model.order.folder import Folder
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.result import Plan
from pelmet.model.told.blocks.power import place_of
from pelmet.model.told.blocks.switching import switch_groups
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words, points
from pelmet.model.told.reminders import part_names

_HEAD = ("switched together", "by", "runs", "dimmed by")


def user_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell how the light is switched, kept clean and left alone, and whom to call."""
    plan = folder.plan
    if not plan.bars:
        return (Words("There is no light yet."),)
    return (
        Heading("Switching"),
        *_switching(folder),
        Heading("Keeping it"),
        Points(tuple(_keeping(folder))),
        Heading("Supplies"),
        Points(
            (*_where(plan), *(_power_left(each) for each in plan.supplies)) or ("No supply yet.",)
        ),
        *cautions_on(plan, "user"),
        Heading("Whom to call"),
        *_whom(folder),
    )


def _switching(folder: Folder) -> tuple[Block, ...]:
    rows = tuple(
        (each.name, each.by, " ".join(each.runs) or "-", ", ".join(each.dimmers) or "not dimmed")
        for each in switch_groups(folder.plan)
    )
    return (Grid(_HEAD, rows),) if rows else (Words("Nothing is fed yet."),)


def _keeping(folder: Folder) -> Iterator[str]:
    yield "Wipe the covers with a soft damp cloth and a drop of washing-up liquid; no solvent."
    yield "The light source is not for you to change: a strip is replaced by a tradesperson."
    spares = [piece for piece in folder.pieces if not piece.run and piece.kind == "strip"]
    if spares:
        names = part_names(folder.plan.parts)
        parts = ", ".join(dict.fromkeys(names[piece.part] for piece in spares))
        yield f"Keep the spare piece of {parts}: later reels may be of another white."


def _where(plan: Plan) -> Iterator[str]:
    """Say where each supply is, and where it is switched off for work."""
    for supply in plan.job.supplies:
        off = supply.isolator or "________________"
        yield f"Supply {supply.id}: {place_of(supply, plan.job)}; switched off at: {off}"
    if plan.job.supplies:
        yield "Keep goods off a supply: it needs air, and little dust."
        yield "Add no light yourself: cable, terminals and dimmer have to carry it too."


def _power_left(budget: SupplyBudget) -> str:
    if budget.left is None:
        return f"Supply {budget.supply}: what it has left is not known; add no light to it."
    free = float(budget.left.value)
    if free < 1:
        return f"Supply {budget.supply} is full: add no light to it."
    assumed = " (assumed)" if budget.left.assumed else ""
    return f"Supply {budget.supply} has {floor(free)} W left{assumed}."


def _whom(folder: Folder) -> Iterator[Block]:
    """Name who is called for what; a line to write on for each nobody has named."""
    site = folder.plan.job.site
    who = (("Light", folder.prices.from_name), (site.words.said("{Of_mains}"), site.electrician))
    named = [f"{what}: {name}" for what, name in who if name]
    if site.reference:
        named.append(f"Tell them the reference: {site.reference}")
    yield from points(named)
    blank = tuple(what for what, name in who if not name)
    if blank:
        yield Blanks(blank)
