"""The files that papers make: one a paper and form, and one a table for the spreadsheet."""

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import chain, product
from typing import Final, Literal, get_args

from pelmet.model.job.rules import Region
from pelmet.model.told.formats.html import paper_html
from pelmet.model.told.formats.page import PageSize
from pelmet.model.told.formats.pdf import paper_pdf
from pelmet.model.told.formats.tables import paper_tables
from pelmet.model.told.formats.text import paper_text
from pelmet.model.told.paper import Paper

Form = Literal["text", "html", "pdf", "csv"]
FORMS: Final[tuple[Form, ...]] = get_args(Form)
PAGES: Final[tuple[PageSize, ...]] = get_args(PageSize)


def page_of(region: Region) -> PageSize:
    """Give the paper size of a region."""
    return "us-letter" if region == "us" else "a4"


def files_of(
    papers: Sequence[Paper], forms: Sequence[Form], page: PageSize, at_once: int | None = None
) -> Iterator[tuple[str, bytes]]:
    """Give each file by its name, paper by paper; the same bytes for the same papers.

    A table that stands on several papers is one file, given once. So many are set ``at_once``,
    else as many as there is room for.
    """
    given: set[str] = set()
    with ThreadPoolExecutor(at_once) as workers:  # a PDF is set by a process of its own
        made = workers.map(lambda each: [*_files(each[0], each[1], page)], product(papers, forms))
        for name, data in chain.from_iterable(made):
            if name not in given:
                given.add(name)
                yield name, data


def _files(paper: Paper, form: Form, page: PageSize) -> Iterator[tuple[str, bytes]]:
    if form == "text":
        yield f"{paper.file}.txt", paper_text(paper).encode()
    elif form == "html":
        yield f"{paper.file}.html", paper_html([paper], page=page).encode()
    elif form == "pdf":
        yield f"{paper.file}.pdf", paper_pdf([paper], page)
    else:
        for name, table in paper_tables(paper).items():
            yield (
                f"{name}.csv",
                table.encode("utf-8-sig"),
            )  # else some spreadsheets take it for a local code page
