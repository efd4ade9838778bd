"""What is to do and what is built, told apart: by headings and words, the first one first."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final, Literal, TypeAlias, TypeVar

from pelmet.model.job.built import Done
from pelmet.model.told.paper import Block, Grid, Heading, Points, Words, points
from pelmet.model.told.words import signed_words

Telling: TypeAlias = Literal["apart", "to do", "as one"]
"""How a paper tells: what is to do and then what is built, the first alone, or both as one."""

TO_DO: Final = "To do"
AS_BUILT: Final = "As built"
NOTHING_LEFT: Final = "Nothing is left to do."
_KIND_OF: Final = {TO_DO: "to-do", AS_BUILT: "as-built"}  # of tables, in the names of their files
_Told = TypeVar("_Told")


def told_apart(
    telling: Telling,
    things: Sequence[_Told],
    is_built: Callable[[_Told], bool],
    blocks: Callable[[Sequence[_Told]], Iterable[Block]],
) -> Iterator[Block]:
    """Tell things that are to do, then those that are built; as one if none of them is built."""
    built = [each for each in things if is_built(each)]
    if telling == "as one" or not built:
        yield from blocks(things)
        return
    new = [each for each in things if not is_built(each)]
    first = tuple(to_do(blocks(new) if new else ()))
    yield from first
    if telling == "apart":
        yield from as_built(_beyond(first, blocks(built)))


def _beyond(first: Sequence[Block], blocks: Iterable[Block]) -> Iterator[Block]:
    """Give blocks without the sentences that stand before them already."""
    said = {text for block in first for text in _sentences(block)}
    for block in blocks:
        match block:
            case Words(text):
                if text not in said:
                    yield block
            case Points(texts):
                yield from points(text for text in texts if text not in said)
            case _:
                yield block


def _sentences(block: Block) -> tuple[str, ...]:
    match block:
        case Words(text):
            return (text,)
        case Points(texts):
            return texts
        case _:
            return ()


def to_do(blocks: Iterable[Block], nothing: str = NOTHING_LEFT) -> Iterator[Block]:
    """Set what is to do under its heading, or say that there is nothing."""
    yield Heading(TO_DO)
    yield from tuple(_under(TO_DO, blocks)) or (Words(nothing),)


def as_built(blocks: Iterable[Block]) -> Iterator[Block]:
    """Set what is built under its heading."""
    yield Heading(AS_BUILT)
    yield from _under(AS_BUILT, blocks)


def _under(kind: str, blocks: Iterable[Block]) -> Iterator[Block]:
    """Say of each heading and each table whether what is under it is to do or built."""
    for block in blocks:
        match block:
            case Heading(text):
                yield Heading(f"{kind}: {text[:1].lower()}{text[1:]}")
            case Grid(name=name) if name:
                yield block._replace(name=f"{name}-{_KIND_OF[kind]}")
            case _:
                yield block


def done_words(done: str, rows: Iterable[tuple[str, Done]]) -> Iterator[str]:
    """Say on which day and by whom things were done, as far as that was noted, in few sentences."""
    names: dict[str, list[str]] = {}
    for name, row in rows:
        if row.day or row.by:
            names.setdefault(signed_words(row.day, row.by), []).append(name)
    return (f"{' '.join(own)}: {done} {signed}" for signed, own in names.items())
