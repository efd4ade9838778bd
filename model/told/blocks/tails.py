"""Tails: how long a wire is cut for each place of a bar that wires are soldered to."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.circuit.protection import joints
from pelmet.model.plan.circuit.tails import Tail
from pelmet.model.plan.result import Plan
from pelmet.model.told.blocks.bars import end_names
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Grid, Heading, Points


def tail_blocks(plan: Plan) -> Iterator[Block]:
    """Tell the tails of all bars that are still to be made; nothing if there are none."""
    bars = {bar.id: bar for bar in plan.bars if not bar.hangs and bar.allowed is None}
    own = [tail for tail in plan.tails if tail.bar in bars]
    if not own:
        return
    bared = _bared(plan)
    yield Heading("Tail wire")
    unit = f"[{plan.job.site.length_unit}]"
    head = ("bar", "at its", "to", f"tail {unit}", "wires", f"bare {unit}", "from")
    rows = tuple(_row(tail, bars[tail.bar], bared, plan) for tail in own)
    yield Grid(head, rows, frozenset({3, 4, 5}), "cut-list-tails", frozenset({0}))
    note = (
        "A tail is soldered to the pads at one end, and its wires go into lever connectors at "
        "the other; bare is what those want there."
    )
    yield Points((note,))


def _bared(plan: Plan) -> Mapping[str, Decimal]:
    """Give what of each wire is bared for the connector that it goes into, by cable [mm]."""
    made = joints(plan.parts, plan.routes, plan.circuits.legs)
    return {each.cable: each.connector.bare_wire for each in made if each.connector}


def _row(tail: Tail, bar: Bar, bared: Mapping[str, Decimal], plan: Plan) -> tuple[str, ...]:
    site, (near, far) = plan.job.site, end_names(bar)
    at = {"left": f"{near} end", "middle": "middle", "right": f"{far} end"}[tail.at]
    bare = bared.get(tail.cable)
    return (
        tail.bar,
        at,
        tail.cable or "no cable yet",
        length_text(tail.length, site, bare=True),
        f"{tail.cores}",
        "-" if bare is None else length_text(bare, site, bare=True),
        f"{tail.part.id} by the {site.words.metre}" if tail.part else "any tail wire",
    )
