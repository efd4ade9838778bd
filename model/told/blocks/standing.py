"""How a job stands, for whoever takes it over: each row with the field of the job it leads to.

The handover paper prints these rows; the wizard lists them, and goes to what one is about.
"""

from collections.abc import Iterator
from math import floor
from typing import NamedTuple

from pelmet.model.edit.change import Subject
from pelmet.model.job.items import SurveyedItem
from pelmet.model.job.job import Job
from pelmet.model.order.folder import Folder
from pelmet.model.plan.circuit.protection import Joint, joints
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.circuit.terminals import blocks_of
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.told.blocks.power import place_of
from pelmet.model.told.blocks.ways import place_words
from pelmet.model.told.blocks.wires import protected_words
from pelmet.model.told.paper import Block, Grid, Heading, Words

_NOBODY = "nobody is named"
_WHO_PLANS = "whoever plans"
_ASK_LICENSED = "ask the licensed person"  # so begins the remedy of what only that person can say


class Matter(NamedTuple):
    """One row: what stands in it, and the field it leads to."""

    cells: tuple[str, ...]
    kind: Subject
    id: str
    field: str


class Matters(NamedTuple):
    """What there is of one sort; ``name`` is what its table is called, ``none`` is said of none."""

    title: str
    head: tuple[str, ...]
    rows: tuple[Matter, ...]
    name: str
    numbers: frozenset[int] = frozenset()
    none: str = "None."

    def blocks(self) -> tuple[Block, ...]:
        """Set them for a paper."""
        if not self.rows:
            return Heading(self.title), Words(self.none)
        rows = tuple(each.cells for each in self.rows)
        large = frozenset({0})
        return Heading(self.title), Grid(self.head, rows, self.numbers, self.name, large)


class Standing(NamedTuple):
    """How a job stands: how far it has come, where things are, what is owed and promised."""

    runs: Matters
    supplies: Matters
    protection: Matters
    joints: Matters
    to_measure: Matters
    to_decide: Matters
    promised: Matters


def how_it_stands(folder: Folder) -> Standing:
    """Tell how far each run is, what each supply has left, where things are, and what is owed."""
    return Standing(
        Matters(
            "How far each run is",
            ("run", "done up to", "next", "past recall", "not measured"),
            tuple(_runs(folder)),
            "handover",
        ),
        Matters(
            "Supplies",
            (
                "supply",
                "part",
                "sits",
                folder.plan.job.site.words.isolator,
                "W left",
                "terminals left",
            ),
            tuple(_supplies(folder)),
            "handover-supplies",
            frozenset({4, 5}),
        ),
        Matters(
            "What protects each leg",
            ("leg", "cable", "fuse [A]", "how"),
            tuple(_protection(folder)),
            "handover-protection",
            frozenset({2}),
        ),
        Matters(
            "Joints",
            ("cable", "its", "ways", "pieces", "comes to", "where"),
            tuple(_joints(folder)),
            "handover-joints",
            frozenset({2}),
        ),
        Matters(
            "Still to measure",
            ("of", "not measured yet", "who measures it"),
            tuple(_to_measure(folder.plan.job)),
            "handover-to-measure",
            none="Nothing: no reading is marked as assumed.",
        ),
        Matters(
            "Still to decide",
            ("about", "level", "what is open", "what to do", "who"),
            tuple(_to_decide(folder)),
            "handover-to-decide",
            none="Nothing.",
        ),
        Matters(
            "Promised",
            ("what", "which", "when"),
            tuple(_promised(folder.plan.job)),
            "handover-promised",
            none="Nothing is noted.",
        ),
    )


def _runs(folder: Folder) -> Iterator[Matter]:
    cabinets = {each.id: each for each in folder.plan.job.cabinets}
    for each in folder.statuses:
        run = each.run
        past = ", ".join(each.past_recall) or "nothing yet"
        owed = ", ".join(
            f"{name} {_named(cabinets[name].assumed)}"
            for name in run.cabinets
            if cabinets[name].assumed
        )
        cells = (run.id, run.status, each.next or "nothing", past, owed or "-")
        yield Matter(cells, "run", run.id, "status")


def _supplies(folder: Folder) -> Iterator[Matter]:
    plan = folder.plan
    budgets = {each.supply: each for each in plan.supplies}
    for supply in plan.job.supplies:
        cells = (
            supply.id,
            supply.part,
            place_of(supply, plan.job),
            supply.isolator or "not noted",
            *_left(budgets.get(supply.id)),
        )
        yield Matter(cells, "supply", supply.id, "place")


def _left(budget: SupplyBudget | None) -> tuple[str, str]:
    watts = budget.left if budget else None
    terminals = budget.terminals_left if budget else None
    assumed = ", assumed" if watts and watts.assumed else ""
    return (
        f"{floor(float(watts.value))}{assumed}" if watts else "-",
        str(terminals.value) if terminals else "-",
    )


def _protection(folder: Folder) -> Iterator[Matter]:
    for guard in folder.plan.protections:
        leg, says = guard.leg, protected_words(guard, folder.plan.routes)
        fuse = f"{leg.fuse:f}" if leg.fuse is not None else "-"
        yield Matter((leg.id, leg.cable, fuse, says), "leg", leg.id, "fuse")


def _joints(folder: Folder) -> Iterator[Matter]:
    plan = folder.plan
    for block in blocks_of(plan.job, plan.parts, plan.routes, plan.circuits.legs):
        ways = str(block.connector.ways) if block.connector else "-"
        to = f"terminal {block.terminal}, {' '.join(block.cables)}"
        row = (block.id, "start", ways, f"{block.each} a core", to, f"at {block.supply}")
        yield Matter(row, "supply", block.supply, "part")
    cables = {cable.id: cable for cable in plan.routes.cables}
    for each in joints(plan.parts, plan.routes, plan.circuits.legs):
        cable = cables.get(each.cable)
        cells = _joint(each, cable)
        if cable and cable.leg:
            yield Matter(cells, "leg", cable.leg, "wiring")
        elif cable and cable.run:
            yield Matter(cells, "run", cable.run, "strip")
        else:
            yield Matter(cells, "site", "", "name")


def _joint(joint: Joint, cable: Cable | None) -> tuple[str, ...]:
    """Give a joint with its place; a cable whose length was measured has none that is known."""
    to, where = "", "not reckoned: note it here"
    if cable:
        to = cable.end if joint.end == "end" else cable.origin
        if cable.places:
            where = place_words(cable.places[-1 if joint.end == "end" else 0])
    return joint.cable, joint.end, str(joint.ways), f"{joint.each} a core", to, where


def _to_measure(job: Job) -> Iterator[Matter]:
    for kind, thing in _surveyed(job):
        if thing.assumed:
            cells = (thing.id, _named(thing.assumed), thing.measured_by or _NOBODY)
            yield Matter(cells, kind, thing.id, thing.assumed[0])


def _surveyed(job: Job) -> Iterator[tuple[Subject, SurveyedItem]]:
    yield from (("room", each) for each in job.rooms)
    yield from (("wall", each) for each in job.walls)
    yield from (("cabinet", each) for each in job.cabinets)
    yield from (("obstacle", each) for each in job.obstacles)


def _named(fields: tuple[str, ...]) -> str:
    return ", ".join(field.replace("_", " ") for field in fields)


def _to_decide(folder: Folder) -> Iterator[Matter]:
    job = folder.plan.job
    measures = {thing.id: thing.measured_by for _, thing in _surveyed(job)}

    def owes(finding: Finding) -> str:
        if finding.remedy.startswith(_ASK_LICENSED):
            return job.site.electrician or "the licensed person"
        return measures.get(finding.about) or _WHO_PLANS

    for each in folder.plan.findings:
        if each.level != "warn":
            cells = (each.about, each.level, each.says, each.remedy, owes(each))
            yield Matter(cells, each.kind, each.about, each.field)


def _promised(job: Job) -> Iterator[Matter]:
    site = job.site
    if site.needed_by:
        yield Matter(("the order", "is there", site.needed_by), "site", "", "needed_by")
    if site.walls_close:
        cells = ("what is in the wall", "is laid before walls close", site.walls_close)
        yield Matter(cells, "site", "", "walls_close")
    for offer in job.offers:
        yield Matter(("an option", offer.name, "is offered"), "offer", offer.id, "name")
