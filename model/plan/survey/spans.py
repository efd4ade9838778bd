"""What takes up which part of a line, found by place without looking through all of it."""

from bisect import bisect_left
from collections.abc import Iterable
from typing import Generic, TypeVar

T = TypeVar("T")
_ROUNDING = 1e-6  # mm


class Spans(Generic[T]):
    """Things along a line, each from a start to an end on it."""

    def __init__(self, things: Iterable[tuple[float, float, T]]) -> None:
        rows = [(start, end, place, thing) for place, (start, end, thing) in enumerate(things)]
        self._rows = sorted(rows, key=lambda row: row[0])
        self._starts = [row[0] for row in self._rows]
        self._widest = max((end - start for start, end, _, _ in rows), default=0.0) + _ROUNDING

    def within(self, left: float, right: float) -> list[T]:
        """Give what starts before the right place and ends after the left one, in its own order."""
        first = bisect_left(self._starts, left - self._widest)
        near = self._rows[first : bisect_left(self._starts, right)]
        found = {place: thing for _, end, place, thing in near if end > left}
        return [found[place] for place in sorted(found)]
