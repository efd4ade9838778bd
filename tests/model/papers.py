"""Helpers to look into a paper, and into the blocks it is made of."""

from collections.abc import Iterable, Iterator

from pelmet.model.job.job import Job
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import (
    Blanks,
    Block,
    Cautions,
    Grid,
    Heading,
    Labels,
    Paper,
    Points,
    SheetName,
    Words,
)
from pelmet.model.told.papers.sheets import paper_of


def folder(job: Job) -> Folder:
    return make_folder(plan_job(job))


def paper(job: Job, name: SheetName) -> Paper:
    return paper_of(folder(job), name)


def grid(found: Paper, head: str, at: int = 0) -> Grid:
    """Give the table whose head's first cell is this one; ``at`` if there are several."""
    return [each for each in found.blocks if isinstance(each, Grid) and each.head[0] == head][at]


def table(blocks: Iterable[Block], name: str) -> dict[str, tuple[str, ...]]:
    """Give the rows of the table of this name by their first cells, none if it is not there."""
    found = [each for each in blocks if isinstance(each, Grid) and each.name == name]
    rows = [row for each in found for row in each.rows]
    assert len({row[0] for row in rows}) == len(rows)
    return {own: tuple(rest) for own, *rest in rows}


def said(found: Paper) -> str:
    """All words of a paper, its tables' cells too, one after the other."""
    return words(found.blocks)


def words(blocks: Iterable[Block]) -> str:
    """All words of some blocks."""
    return "\n".join(_words(blocks))


def cautions(found: Paper) -> str:
    return " ".join(text for each in found.blocks if isinstance(each, Cautions)
                    for text in each.texts)  # fmt: skip


def _words(blocks: Iterable[Block]) -> Iterator[str]:
    for block in blocks:
        match block:
            case Heading(text) | Words(text):
                yield text
            case Points(texts) | Cautions(texts):
                yield from texts
            case Grid(head, rows):
                yield " | ".join(head)
                yield from (" | ".join(row) for row in rows)
            case Blanks(labels):
                yield from labels
            case Labels(each):
                yield from (f"{one.large} {' '.join(one.lines)}" for one in each)
            case _:
                yield "\n".join(block.rows)
