"""How much of a Newton step to take, by a search for the least co-content along the step.

The co-content of a network is a function of its voltages whose slopes are the currents left over
at its nodes, so it is least where Kirchhoff's current law holds. It is convex if no element draws
less at a higher voltage, so a search along any line has one answer.

Source: W. Millar, Philosophical Magazine 42 (1951).
"""

from typing import Final, NamedTuple

from pelmet.model.plan.circuit.dc.cells import Cells, drawn_amps, rail_steps

SHORTEST: Final = 2.0**-30
FLATTENED: Final = 0.1  # how far a search brings the slope down


class Net(NamedTuple):
    """Linear elements at the free nodes: between two of them, to ground, and what is drawn."""

    siemens: list[float]
    ground: list[float]
    drawn: list[float]


class Move(NamedTuple):
    """A step of a strip in units: to these drops, with its ends' changes [V]."""

    cells: Cells
    taps: list[float]
    start: float
    end: float


def straight_part(net: Net, pairs: list[tuple[int, int]], change: list[float]) -> float:
    """Give the power that linear elements alone would turn into heat at a change of drops [W]."""
    ground = sum(g * d * d for g, d in zip(net.ground, change, strict=False))
    return ground + sum(
        siemens * (change[near] - change[far]) ** 2
        for siemens, (near, far) in zip(net.siemens, pairs, strict=False)
    )


def share_of_step(straight: float, moves: list[Move]) -> float:
    """Give how much of a Newton step to take, above 0 to 1.

    Args:
        straight: The `straight_part` of the step. [W]
        moves: The strips in units; each has just been linearised.

    Returns:
        1, or the share at which the slope along the step is a tenth of its first or less.
    """
    fall = straight
    rows: list[tuple[Cells, list[float], list[float]]] = []
    for cells, taps, start, end in moves:
        change = [b - a for a, b in zip(cells.drops, taps, strict=True)]
        rows.append((cells, change, drawn_amps(cells, cells.drops)))
        if cells.rail:
            steps = rail_steps(cells, change, start, end)
            ends = steps[0] ** 2 + steps[-1] ** 2
            rails = (sum(amps * amps for amps in steps) - 0.5 * ends) / cells.rail
            straight += rails
            fall += rails
        fall += sum(g * d * d for g, d in zip(cells.ground, change, strict=True))

    def slope(share: float) -> float:
        total = share * straight - fall
        for cells, change, now in rows:
            there = [a + share * d for a, d in zip(cells.drops, change, strict=True)]
            then = drawn_amps(cells, there)
            total -= sum((b - a) * d for a, b, d in zip(now, then, change, strict=True))
        return total

    enough = FLATTENED * fall
    if slope(1.0) <= enough:
        return 1.0
    low, high = 0.0, 1.0
    while high - low > SHORTEST:
        middle = 0.5 * (low + high)
        there = slope(middle)
        if abs(there) <= enough:
            return middle
        if there > 0:
            high = middle
        else:
            low = middle
    return high
