"""All ways to cut a bar, written out."""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.task import CuttingTask

Floats = NDArray[np.float64]
Whole = NDArray[Any]
"""64-bit whole numbers, or Python's own where they are longer."""


class Promise(NamedTuple):
    """Which patterns are wanted."""

    values: Floats
    """Of the sizes."""
    holds: Callable[[Floats, Whole], NDArray[np.bool_]]
    """Whether patterns, or anything that more pieces make of them, are wanted: from the sum of
    values and the space taken of each."""


_DROPPED = 20
"""More patterns than are kept, by this factor, may be looked at."""


class Patterns(NamedTuple):
    """Ways to cut a bar."""

    counts: Floats
    """How many of each size, a row each. Whole numbers, and exact: they are far below 2^53."""
    held: Whole
    """The space each takes."""
    more: Whole
    """The smallest size that each might still take, but for its space; more than any if none."""


def all_patterns(task: CuttingTask, most: int, promise: Promise | None = None) -> Patterns | None:
    """Write out all ways to cut the longest bar; None if there are more than so many.

    Args:
        task: What is to be cut.
        most: So many at most.
        promise: Which are wanted; None if all are.
    """
    space = max(bar.space for bar in task.bars)
    sizes = _whole((*task.sizes, 2 * space))[:-1]
    wanted = np.array(task.wanted)
    count = len(sizes)
    ascending = sizes[::-1].copy()
    counts = np.zeros((1, count), dtype=np.int32)
    values = np.zeros(count) if promise is None else promise.values
    held, last, worth = _whole((0, 2 * space))[:1], np.zeros(1, dtype=np.int64), np.zeros(1)
    kept, spaces, total, looked = [], [], 0, 0
    while len(held):
        first = count - np.searchsorted(ascending, space - held, side="right")
        start = np.maximum(first, last)
        full = counts[np.arange(len(held)), last] >= wanted[last]
        start += (start == last) & full
        many = np.maximum(count - start, 0)
        fresh = int(many.sum())
        looked += fresh
        if looked > most * (1 if promise is None else _DROPPED):
            return None
        before = np.repeat(np.arange(len(held)), many)
        last = start[before] + np.arange(fresh) - np.repeat(np.cumsum(many) - many, many)
        held, worth = held[before] + sizes[last], worth[before] + values[last]
        if promise is not None:
            good = promise.holds(worth, held)
            before, last, held, worth = before[good], last[good], held[good], worth[good]
        total += len(held)
        if total > most:
            return None
        counts = counts[before]
        counts[np.arange(len(held)), last] += 1
        kept.append(counts)
        spaces.append(held)
    rows = np.concatenate(kept)
    takes = (rows < wanted)[:, ::-1]
    smallest = count - 1 - np.argmax(takes, axis=1)
    more = np.where(takes.any(axis=1), sizes[smallest], 2 * space)
    return Patterns(rows.astype(np.float64), np.concatenate(spaces), more)


def _whole(values: Any) -> Whole:
    """Give an array of whole numbers that hold exactly."""
    long = max((abs(int(value)) for value in values), default=0) >= 1 << 60
    return np.array(values, dtype=object if long else np.int64)


def worth_of(counts: Floats, values: Floats) -> Floats:
    """Give the sum of the values in each row.

    It keeps to one thread: on a busy machine those of a matrix product wait for each other longer
    than all this takes.
    """
    sums: Floats = np.einsum("ij,j->i", counts, values)
    return sums
