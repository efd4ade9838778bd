"""Things brought together by what they belong to."""

from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

T = TypeVar("T")


def grouped(things: Iterable[T], owner: Callable[[T], str]) -> Mapping[str, tuple[T, ...]]:
    """Give the things of each owner, in the order they came."""
    found: dict[str, list[T]] = {}
    for thing in things:
        found.setdefault(owner(thing), []).append(thing)
    return {name: tuple(own) for name, own in found.items()}
