"""Finds again what was worked out of the very same parts.

Parts are told apart by which objects they are, not by what they hold: a job that is changed keeps
the objects of all that did not change, and asking which object one is takes no time, where to
compare figures with all that they came from takes long. Words and numbers are told apart by what
they say.
"""

from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")
_SAID = frozenset({str, int, bool})
_BY_VALUE = _SAID | {tuple}


class Remembered(Generic[T]):
    """A function of frozen parts, and of records and plain tuples of them, with what it gave.

    Each result is kept with its parts, so that no other object can come to be the same one. Threads
    may share it: at worst two work out the same.
    """

    def __init__(self, work: Callable[..., T]) -> None:
        self._work = work
        self._known: dict[object, tuple[object, T]] = {}

    def __call__(self, *parts: object) -> T:
        """Give what the function gives of these parts."""
        key = _key_of(parts)
        found = self._known.pop(key, None)
        if found is None:
            found = parts, self._work(*parts)
        self._known[key] = found  # the latest is last
        return found[1]

    def knows(self, *parts: object) -> bool:
        """Tell whether what the function gives of these parts is remembered."""
        return _key_of(parts) in self._known

    def keep(self, count: int) -> None:
        """Forget all but so many that were asked for last."""
        for key in [*self._known][: max(len(self._known) - count, 0)]:
            self._known.pop(key, None)  # another thread may ask for it just now

    def cache_clear(self) -> None:
        """Forget everything."""
        self._known.clear()


def _key_of(parts: tuple[object, ...]) -> object:
    if len(parts) == 1 and not isinstance(parts[0], tuple):
        return _key(parts[0])
    return tuple([_key(tuple(part) if isinstance(part, tuple) else part) for part in parts])


def _key(part: object) -> object:
    if type(part) is tuple:
        return tuple([_key(each) if type(each) in _BY_VALUE else id(each) for each in part])
    return part if type(part) in _SAID else id(part)
