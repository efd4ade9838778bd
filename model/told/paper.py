"""A paper: a short sheet for one reader, as blocks that every format sets in its own way.

Blocks hold data, never markup: names stand in them as they were typed.
"""

from collections.abc import Callable, Iterable
from typing import Any, Literal, NamedTuple, TypeAlias, TypeVar

from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import PaperName

SheetName: TypeAlias = PaperName | Literal["sheet"]
"""What can be printed: the papers a job notes as given out, and the sheet of the whole plan."""


class Heading(NamedTuple):
    """What stands over the blocks that follow it."""

    text: str


class Words(NamedTuple):
    """A paragraph."""

    text: str


class Points(NamedTuple):
    """Sentences that stand in a list."""

    texts: tuple[str, ...]


def points(texts: Iterable[str]) -> tuple[Points, ...]:
    """Set sentences in a list; without any there is no block."""
    found = tuple(texts)
    return (Points(found),) if found else ()


class Cautions(NamedTuple):
    """What can hurt or spoil: set apart from all else, and never left out."""

    texts: tuple[str, ...]


class Grid(NamedTuple):
    """A table; ``numbers`` are the places of its columns of numbers.

    ``name`` is what its file is called where tables go to a spreadsheet, or empty if this one
    is for readers alone. ``large`` are the places of the columns to be read from afar: ids.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: frozenset[int] = frozenset()
    name: str = ""
    large: frozenset[int] = frozenset()


class Picture(NamedTuple):
    """Rows of letters that only make sense one below the other in letters of one width."""

    rows: tuple[str, ...]
    about: str


class Blanks(NamedTuple):
    """What is written in by hand: each label with a line to write on."""

    labels: tuple[str, ...]


class Label(NamedTuple):
    """One label to cut out and stick on: its id, large, and small lines below."""

    large: str
    lines: tuple[str, ...]


class Labels(NamedTuple):
    """A sheet of labels."""

    each: tuple[Label, ...]


Told = TypeVar("Told", bound=Any)
Block: TypeAlias = Heading | Words | Points | Cautions | Grid | Picture | Blanks | Labels


class Paper(NamedTuple):
    """A sheet: what it is, whose it is, of which job and revision, and its blocks.

    ``revision`` is read after the word "revision" and left out if empty; ``reader`` after "for".
    ``part`` is what its file is called after its name, where it is a part of the paper.
    """

    name: SheetName
    title: str
    reader: str
    job: str
    revision: str
    blocks: tuple[Block, ...]
    part: str = ""

    @property
    def file(self) -> str:
        """What its file is called, without its ending."""
        return f"{self.name}-{self.part}" if self.part else self.name


def paper_with(
    job: Job, name: SheetName, title: str, reader: str, blocks: tuple[Block, ...]
) -> Paper:
    """Make a paper of a job, of its present revision: 0 before the first."""
    site = job.site
    named = f"{site.name}, {site.reference}" if site.reference else site.name
    revision = str(len(job.revisions)) if job.revisions or job.given else "0, draft"
    return Paper(name, title, reader, named, revision, blocks)


def respelt(told: Told, letters: Callable[[str], str]) -> Told:
    """Give a paper, or what stands on one, with every text in it put through ``letters``."""
    if isinstance(told, str):
        return letters(told)  # type: ignore[return-value]  # a text for a text
    if not isinstance(told, tuple):
        return told
    parts = [respelt(part, letters) for part in told]
    return type(told)(*parts) if hasattr(told, "_fields") else type(told)(parts)
