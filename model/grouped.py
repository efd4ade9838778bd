"""Things brought together by what they belong to."""

from collections.abc import Callable, Hashable, Iterable, Mapping
from typing import TypeVar

T = TypeVar("T")
Owner = TypeVar("Owner", bound=Hashable)


def grouped(things: Iterable[T], owner: Callable[[T], Owner]) -> Mapping[Owner, tuple[T, ...]]:
    """Give the things of each owner, in the order they came."""
    found: dict[Owner, list[T]] = {}
    for thing in things:
        found.setdefault(owner(thing), []).append(thing)
    return {name: tuple(own) for name, own in found.items()}
