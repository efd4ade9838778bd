"""Lines of a terminal: ASCII, no wider than the page, whatever they hold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.told.drawings.drawing import plain_ascii
from pelmet.model.told.words import labelled, shortened, wrapped

TEXT = st.text(max_size=200)


def printable(line: str) -> bool:
    return line.isascii() and (line.isprintable() or not line)


@pytest.mark.property
@given(TEXT, st.integers(1, 100))
def test_a_cut_text_fits_and_says_that_it_was_cut(text: str, width: int) -> None:
    shown = shortened(text, width)
    assert len(shown) <= width
    assert (shown == text) == (len(text) <= width) or "~" in shown


def test_two_ids_that_differ_at_the_end_still_differ_when_cut() -> None:
    assert shortened("tall-larder-unit-01", 10) != shortened("tall-larder-unit-02", 10)


@pytest.mark.property
@given(TEXT, st.integers(24, 100))
def test_wrapped_lines_fit_and_keep_every_word(text: str, width: int) -> None:
    lines = wrapped(text, "- ", "  ", width)
    assert all(printable(line) and len(line) <= width for line in lines)
    kept = "".join(lines).replace(" ", "").removeprefix("-")
    assert kept == plain_ascii(text).replace(" ", "")


def test_a_label_stands_beside_its_text() -> None:
    assert labelled("source", "one two", 9, 14) == ("source   one", "         two")
