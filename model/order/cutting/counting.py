"""How many bars of each kind: the cheapest numbers first, each proven short or cut from."""

from collections.abc import Callable, Sequence
from time import monotonic
from typing import NamedTuple

import numpy as np

from pelmet.model.order.cutting.buying import ceil_of
from pelmet.model.order.cutting.columns import full_columns, trimmed
from pelmet.model.order.cutting.master import ANY_NODES
from pelmet.model.order.cutting.patterns import Patterns, worth_of
from pelmet.model.order.cutting.relaxing import Columns, Goal, Relaxed
from pelmet.model.order.cutting.task import Counts, Task, Use, better, score
from pelmet.model.order.cutting.worth import Worth, by_length, whole_values

_MOST_TRIED = 20_000
"""Numbers of the kinds but one, tried for the cheapest: some tenths of a second."""
_MOST_COLUMNS = 20_000
_FEW_NODES = 20


class Numbers(NamedTuple):
    """How many bars of each kind, and what they cost."""

    cost: int
    counts: Counts


def by_numbers(
    task: Task,
    patterns: Patterns,
    worth_by: Callable[[Counts], Worth],
    known: Sequence[Worth],
    uses: tuple[Use, ...],
    until: float,
) -> tuple[tuple[Use, ...], int, bool]:
    """Settle the numbers of bars, cheapest first, until some are cut from or none cost less.

    Numbers are short if values of the sizes show that the bars are worth less than all that is
    wanted, in whole numbers; the linear programme gives such values where pieces do not fit even in
    parts. Or else a search through all patterns that may be in them ends without a cutting. No
    price takes part in either, so no rounding of prices.

    Source: J. F. Benders, Partitioning procedures for solving mixed-variables programming problems,
    Numerische Mathematik 4 (1962) 238-252.

    Args:
        task: What is to be cut.
        patterns: All ways to cut its bars that may be in a cutting that costs less than the known.
        worth_by: Gives what values of the sizes make of each bar at most.
        known: Values that are known to show something.
        uses: A cutting that is known.
        until: Time to end, of the monotonic clock. [s]

    Returns:
        The best cutting found, what none costs less than, and whether it came to its end.
    """
    worths, short = [by_length(task), *known], list[Counts]()
    full = full_columns(task, patterns)
    full = full._replace(cost=np.zeros(len(full.cost)))
    bound = 0
    while monotonic() < until:
        cost = score(task, uses).cost
        numbers = cheapest(task, worths, short, cost)
        if numbers is None:
            break
        bound = numbers.cost
        if bound >= cost:
            return uses, cost, True
        bars = tuple(
            bar._replace(most=many) for bar, many in zip(task.bars, numbers.counts, strict=True)
        )
        few = task._replace(bars=bars)
        relaxed = _lacking(few)
        if not relaxed.solve(patterns, full, until):
            break
        worth = worth_by(whole_values(task, relaxed.duals[: len(task.sizes)]))
        if _falls_short(worth, numbers.counts):
            worths.append(worth)
            continue
        _, found = relaxed.in_whole(until - monotonic(), 0.5, 0.0, nodes=_FEW_NODES)
        done = False
        if not found:
            columns = _fitting(few, patterns, full, worths)
            done, found = _cut_from(few, patterns, columns, until)
        uses = better(task, uses, trimmed(task, found))
        if done and not found:
            short.append(numbers.counts)
        elif score(task, uses).cost > bound:
            break
    return uses, bound, False


def cheapest(
    task: Task, worths: Sequence[Worth], short: Sequence[Counts], below: int
) -> Numbers | None:
    """Give the cheapest numbers that no values show to be short, and that are not known as such.

    Args:
        task: What is to be cut.
        worths: Values that show something.
        short: Numbers that do not serve; nor do any that are nowhere more.
        below: What costs as much is not looked for: if nothing costs less, no numbers are given.

    Returns:
        The numbers; None if there are too many to try.
    """
    bought = [row for row, bar in enumerate(task.bars) if bar.price]
    bought.sort(key=lambda row: (-task.bars[row].price, row))
    counts = [0 if bar.price else bar.most for bar in task.bars]
    best = Numbers(below, ())
    tried = 0

    def go(at: int, cost: int) -> bool:
        """Try numbers of the kinds from this one; say if it came to its end."""
        nonlocal best, tried
        tried += 1
        if tried > _MOST_TRIED:
            return False
        bar = task.bars[bought[at]]
        if at + 1 == len(bought):
            many = _enough(task, worths, short, counts, bought[at])
            if many <= bar.most and cost + many * bar.price < best.cost:
                counts[bought[at]] = many
                best = Numbers(cost + many * bar.price, tuple(counts))
                counts[bought[at]] = 0
            return True
        done = True
        for many in range(bar.most + 1):
            if not done or cost + many * bar.price >= best.cost:
                break
            counts[bought[at]] = many
            done = go(at + 1, cost + many * bar.price)
        counts[bought[at]] = 0
        return done

    return best if not bought or go(0, 0) else None


def _enough(
    task: Task, worths: Sequence[Worth], short: Sequence[Counts], counts: list[int], last: int
) -> int:
    """Give how many of the last kind make the numbers of the others serve, as far as is known."""
    many = 0
    for worth in worths:
        held = sum(value * many for value, many in zip(worth.bars, counts, strict=True))
        if held < worth.needed:
            if not worth.bars[last]:
                return task.bars[last].most + 1
            many = max(many, ceil_of(worth.needed - held, worth.bars[last]))
    for each in short:
        if all(a <= b for row, (a, b) in enumerate(zip(counts, each, strict=True)) if row != last):
            many = max(many, each[last] + 1)
    return many


def _falls_short(worth: Worth, counts: Counts) -> bool:
    """Say if so many bars are worth less than all that is wanted."""
    held = sum(value * many for value, many in zip(worth.bars, counts, strict=True))
    return held < worth.needed


def _lacking(task: Task) -> Relaxed:
    """Ask how much of the length is lacking, at least: nothing but that costs anything."""
    relaxed = Relaxed(task, Goal(exactly=False), (), ())
    relaxed.add_lack(np.array([size / task.sizes[0] for size in task.sizes]))
    return relaxed


def _fitting(task: Task, patterns: Patterns, full: Columns, worths: Sequence[Worth]) -> Columns:
    """Give the patterns that such numbers of bars may hold: none may waste more than all do.

    A bar wastes what its pattern is worth less than its best.
    """
    numbers = [bar.most for bar in task.bars]
    keeps = np.array(numbers)[full.bar] > 0
    for worth in worths:
        room = sum(value * many for value, many in zip(worth.bars, numbers, strict=True))
        if max(room, *worth.bars) >= 1 << 53:
            continue  # not exact in floating point
        held = worth_of(patterns.counts, np.array(worth.sizes, dtype=np.float64))[full.which]
        best = np.array(worth.bars, dtype=np.float64)[full.bar]
        keeps &= best - held <= room - worth.needed
    return full.some(np.flatnonzero(keeps))


def _cut_from(
    task: Task, patterns: Patterns, columns: Columns, until: float
) -> tuple[bool, tuple[Use, ...]]:
    """Look for a cutting out of just these bars: whether it came to its end, and what it found."""
    if len(columns.which) > _MOST_COLUMNS:
        return False, ()
    whole = Relaxed(task, Goal(exactly=False), (), ())
    whole.take_in(patterns, columns)
    found, uses = whole.in_whole(until - monotonic(), 0.5, 0.0, nodes=ANY_NODES)
    return found.done, uses
