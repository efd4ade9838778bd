"""Labels: one for each bar, and one for each of the two ends of every cable."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.job import Site
from pelmet.model.order.left import fitted_supplies
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import Side
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.circuit.tails import Tail
from pelmet.model.plan.circuit.terminals import leads_at_supply
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.told.blocks.bars import Leads, end_names, leads_of
from pelmet.model.told.blocks.two_kinds import Telling, told_apart
from pelmet.model.told.blocks.wires import POLES, WHITES, Wires, cables_of, marks_of, wires_of
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Label, Labels, Words

# What comes to a place of a bar, its left, middle or right: a feed or a link, by its cable.
_Tails = Mapping[tuple[str, Side], Tail]
_Comes = Mapping[tuple[str, str], Sequence[str]]


class _Own(NamedTuple):
    """A label, how many there are of it, and whether what it is of is built."""

    label: Label
    many: int
    built: bool


def labels_paper(plan: Plan, telling: Telling = "apart") -> tuple[Block, ...]:
    """Give the labels of a job: the bars run by run, then the cables, two the same of each.

    A bar that is cut has its label, and a cable that is laid.
    """
    wires, comes = wires_of(plan), _comes(plan)
    labels = [
        *(each for fit in plan.fits for each in _bars(fit, comes, plan)),
        *(_Own(_cable(cable, wires), 2, cable.laid) for cable in cables_of(plan)),
        *_at_supplies(wires),
    ]
    if not labels:
        return (Words("There is no bar and no cable to label."),)
    many = Words(
        "One label for each bar, fuse and block at a supply. Two that are the same for each cable: "
        "one for each end."
    )
    return (many, *told_apart(telling, labels, lambda own: own.built, _blocks))


def _blocks(labels: Sequence[_Own]) -> Iterator[Block]:
    if labels:
        yield Labels(tuple(label for label, many, _ in labels for _ in range(many)))


def _comes(plan: Plan) -> _Comes:
    found: dict[tuple[str, str], list[str]] = {}
    for lead in plan.routes.leads:
        if lead.feed:
            found.setdefault((lead.feed.bar, lead.feed.at), []).append(f"feed {lead.id}")
    for fit in plan.fits:
        for link in feed_reach(fit, plan.routes).links:
            assert link.cable is not None, "without its cable nothing is reached"
            for end in ((link.from_bar, "right"), (link.to_bar, "left")):
                found.setdefault(end, []).append(f"link {link.cable.id}")
    return found


def _bars(fit: RunFit, comes: _Comes, plan: Plan) -> Iterator[_Own]:
    run, job = fit.run, plan.job
    names = {room.id: room.name for room in job.rooms}
    rooms = {wall.id: names[wall.room] for wall in job.walls}
    supplies = {leg.id: leg.supply for leg in job.legs}
    far = run.far_leg if run.feed_end == "both" and run.leg else None
    legs = [leg for leg in dict.fromkeys((run.leg, far)) if leg]
    fed = " and ".join(f"leg {leg}, supply {supplies[leg]}" for leg in legs)
    leads = leads_of(fit, plan.routes)
    tails = {(tail.bar, tail.at): tail for tail in plan.tails}
    strip = find_part(plan.parts.strips, run.strip)
    poles = " ".join(WHITES if strip and strip.channels > 1 else POLES)
    for bar in fit.bars:
        lines = (
            f"run {run.id}, {rooms[bar.wall]}",
            *_ends(bar, leads, comes, poles, tails, job.site),
            fed or "no leg yet",
            f"strip batch {run.batch}" if run.batch else "",
            f"under {' '.join(bar.opening.cabinets)}",
        )
        label = Label(bar.id, tuple(line for line in lines if line))
        yield _Own(label, 1, bar.hangs or bar.allowed is not None)


def _ends(
    bar: Bar, leads: Leads, comes: _Comes, poles: str, tails: _Tails, site: Site
) -> Iterator[str]:
    """Say what comes to each end of a bar, and to its middle if it is fed there; and its tail."""
    soldered = leads.get(bar.id, {})
    near, far = end_names(bar)
    sides: tuple[tuple[Side, str], ...] = (
        ("left", f"{near} end"), ("middle", "middle"), ("right", f"{far} end"),
    )  # fmt: skip
    for at, side in sides:
        if at in soldered:
            what = " and ".join(comes.get((bar.id, at), ())) or "wires, no cable yet"
            after = f", after unit {soldered[at]}" if at == "middle" else ""
            tail = tails.get((bar.id, at))
            long = f", tail {length_text(tail.length, site)}" if tail else ""
            yield f"{side}: {what}, {poles}{after}{long}"
        elif at != "middle":
            yield f"{side}: no wires"


def _at_supplies(wires: Wires) -> Iterator[_Own]:
    """Give a label for each fuse and each block that sits at a supply."""
    fitted = fitted_supplies(wires.plan)
    for leg in wires.legs.values():
        for cable in leads_at_supply(wires.plan.routes, leg) if leg.fuse is not None else ():
            lines = (f"{leg.fuse:f} A, never more", f"+ of {cable}, at supply {leg.supply}")
            yield _Own(Label(f"{cable} fuse", lines), 1, leg.supply in fitted)
    for starts in wires.starts.values():
        block = starts.block
        if block:
            lines = (f"terminal {block.terminal} of {starts.supply}", " ".join(block.cables))
            yield _Own(Label(block.id, lines), 1, starts.supply in fitted)


def _cable(cable: Cable, wires: Wires) -> Label:
    leg = wires.legs.get(cable.leg or "")
    marks = ", ".join(marks_of(wires.part(cable)))
    fed = f"leg {leg.id}, supply {leg.supply}" if leg else "no leg yet"
    return Label(cable.id, (cable.label, fed, f"cores {marks}"))
