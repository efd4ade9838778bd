"""The files of a paper: one of every form that was asked for, each what its form gives."""

import pytest
from nasty_paper import PLAIN

from pelmet.model.told.formats.files import FORMS, files_of, page_of
from pelmet.model.told.formats.html import paper_html
from pelmet.model.told.formats.text import paper_text
from pelmet.model.told.paper import Grid

PAPER = PLAIN._replace(
    name="order", blocks=(Grid(("a",), (("1",),), name="lines"), Grid(("b",), (), name="caps"))
)


def test_a_paper_has_a_file_of_each_form_and_of_each_table():
    files = dict(files_of([PAPER], FORMS, "a4"))
    assert set(files) == {"order.txt", "order.html", "order.pdf", "lines.csv", "caps.csv"}
    assert files["order.txt"].decode() == paper_text(PAPER)
    assert files["order.html"].decode() == paper_html([PAPER], page="a4")
    assert files["order.pdf"].startswith(b"%PDF-")
    assert files["lines.csv"].decode("utf-8-sig") == "a\r\n1\r\n"


def test_only_the_forms_that_are_asked_for_are_made():
    assert [name for name, _ in files_of([PAPER], ["html"], "a4")] == ["order.html"]


@pytest.mark.parametrize(
    ("region", "page"), [("us", "us-letter"), ("eu", "a4"), ("uk", "a4")]
)  # fmt: skip
def test_the_sheet_is_that_of_the_region(region, page):
    assert page_of(region) == page
