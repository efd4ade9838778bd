"""Good cuttings, fast: bar after bar, each from the longest piece that is still to be cut."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from pelmet.model.order.cutting.task import (
    Counts,
    CuttingTask,
    Use,
    remaining,
    score,
    space_used,
    spare,
)

MOST_CELLS = 1 << 16
"""Parts that the space of a bar is seen in where it is filled as full as can be."""

Fill = Callable[[CuttingTask, Sequence[int], int], list[Counts | None]]
"""Give what each bar is cut into, from the sizes still to be cut and the first of them."""
Way = Callable[[CuttingTask, int, Counts], tuple[float, int, int]]
"""Judge a bar and what it would be cut into: the least is taken."""


def longest_first(task: CuttingTask, still: Sequence[int], first: int) -> list[Counts | None]:
    """Fill each bar with the longest piece that fits, again and again."""
    return [
        _longest_first(task, still, first, bar.space) if bar.space >= task.sizes[first] else None
        for bar in task.bars
    ]


def _longest_first(task: CuttingTask, still: Sequence[int], first: int, space: int) -> Counts:
    counts = [0] * len(still)
    for row in range(first, len(still)):
        many = min(still[row], space // task.sizes[row])
        counts[row] = many
        space -= many * task.sizes[row]
    return tuple(counts)


def fullest(task: CuttingTask, still: Sequence[int], first: int) -> list[Counts | None]:
    """Fill each bar as full as can be with the first piece in it: the sums of sizes, bit by bit.

    A bar of very many units is seen in fewer, with sizes rounded up.
    """
    longest = max(bar.space for bar in task.bars)
    unit = -(-longest // MOST_CELLS)
    sizes = [-(-size // unit) for size in task.sizes]
    mask = (1 << (longest // unit + 1)) - 1
    sums = 1 << sizes[first]
    steps: list[tuple[int, int]] = []
    for row in range(first, len(still)):
        room = longest - task.sizes[first]
        for _ in range(min(still[row] - (row == first), room // task.sizes[row])):
            steps.append((row, sums))
            sums |= (sums << sizes[row]) & mask
    fills: list[Counts | None] = []
    for bar in task.bars:
        held = sums & ((1 << (bar.space // unit + 1)) - 1)
        if bar.space < task.sizes[first] or not held:
            fills.append(None)
            continue
        at = held.bit_length() - 1
        counts = [0] * len(still)
        counts[first] = 1
        for row, before in reversed(steps):
            if not before >> at & 1:
                counts[row] += 1
                at -= sizes[row]
        fills.append(tuple(counts))
    return fills


def starts(task: CuttingTask, most: Sequence[Sequence[int]] = ()) -> Iterator[tuple[Use, ...]]:
    """Give cuttings of all that is wanted: one for each way of choosing, where it serves.

    Args:
        task: What is to be cut.
        most: Numbers of bars to cut out of, tried with each way of filling them.
    """
    everything = [bar.most for bar in task.bars]
    ways: list[tuple[Sequence[int], Way]] = [(everything, _worth)]
    for only, bought in enumerate(task.bars):
        if bought.price:
            alone = [
                bar.most if row == only or not bar.price else 0 for row, bar in enumerate(task.bars)
            ]
            ways.append((alone, _worth))
    ways += [(limit, way) for limit in most for way in (_smallest, _largest)]
    for limit, way in ways:
        for fill in (longest_first, fullest):
            uses = _cut(task, limit, fill, way)
            if uses is not None:
                yield shrunk(task, uses)


def best_start(task: CuttingTask, most: Sequence[Sequence[int]] = ()) -> tuple[Use, ...] | None:
    """Give the best of them."""
    return best_cutting(task, starts(task, most))


def best_cutting(task: CuttingTask, cuttings: Iterable[tuple[Use, ...]]) -> tuple[Use, ...] | None:
    """Give the best of some cuttings; of equals the first."""
    return min(cuttings, key=lambda uses: score(task, uses), default=None)


def _worth(task: CuttingTask, bar: int, counts: Counts) -> tuple[float, int, int]:
    """Prefer what costs least for what it holds."""
    held = space_used(task.sizes, counts)
    return task.bars[bar].price / held, task.bars[bar].space - held, bar


def _smallest(task: CuttingTask, bar: int, _: Counts) -> tuple[float, int, int]:
    return task.bars[bar].space, 0, bar


def _largest(task: CuttingTask, bar: int, _: Counts) -> tuple[float, int, int]:
    return -task.bars[bar].space, 0, bar


def _cut(
    task: CuttingTask,
    limit: Sequence[int],
    fill: Fill,
    way: Way,
) -> tuple[Use, ...] | None:
    still, spared = list(task.wanted), list(limit)
    uses: list[Use] = []
    first = 0
    while first < len(still):
        if not still[first]:
            first += 1
            continue
        fills = [
            (row, counts)
            for row, counts in enumerate(fill(task, still, first))
            if spared[row] and counts is not None
        ]
        if not fills:
            return None
        row, counts = min(fills, key=lambda each: way(task, *each))
        times = min(
            spared[row],
            *(still[size] // count for size, count in enumerate(counts) if count),
        )
        spared[row] -= times
        for size, count in enumerate(counts):
            still[size] -= count * times
        uses.append(Use(row, counts, times))
    return tuple(uses)


def shrunk(task: CuttingTask, uses: Sequence[Use]) -> tuple[Use, ...]:
    """Move what is cut to bars that serve it better, where there are any, and join equal ones."""
    free = spare(task, uses)
    moved: dict[tuple[int, Counts], int] = {}
    for use in sorted(uses, key=lambda each: -space_used(task.sizes, each.counts)):
        held, times = space_used(task.sizes, use.counts), use.times
        fits = [row for row, bar in enumerate(task.bars) if bar.space >= held]
        for row in sorted(fits, key=lambda row: (score(task, [Use(row, use.counts, 1)]), row)):
            if row == use.bar:
                break
            many = min(times, free[row])
            if many:
                moved[row, use.counts] = moved.get((row, use.counts), 0) + many
                free[row] -= many
                free[use.bar] += many
                times -= many
        if times:
            moved[use.bar, use.counts] = moved.get((use.bar, use.counts), 0) + times
    return tuple(Use(bar, counts, times) for (bar, counts), times in sorted(moved.items()))


def without_surplus(task: CuttingTask, uses: tuple[Use, ...]) -> tuple[Use, ...]:
    """Take out what is cut too often, from bars that are emptiest first."""
    over = [-many for many in remaining(task, uses)]
    if max(over) <= 0:
        return shrunk(task, uses)
    loose = [Use(use.bar, use.counts, 1) for use in uses for _ in range(use.times)]
    loose.sort(key=lambda use: (sum(use.counts), use))
    kept = []
    for bar, counts, _ in loose:
        less = list(counts)
        for row, many in enumerate(counts):
            out = max(0, min(many, over[row]))
            less[row] -= out
            over[row] -= out
        if any(less):
            kept.append(Use(bar, tuple(less), 1))
    return shrunk(task, kept)
