"""Tables for a spreadsheet: RFC 4180, and no cell that a spreadsheet would run."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nasty_paper import CONTROL, FORMULA, NASTY, PLAIN, TYPED

from pelmet.model.told.formats.letters import visible
from pelmet.model.told.formats.tables import harmless, paper_tables
from pelmet.model.told.paper import Grid

ROWS = st.lists(st.tuples(st.text(), st.text("=+-@\t\r\n 1.,'\"\uff1d"), st.text()), max_size=5)
HEAD = ("id", "length", "note")


def written(*rows: tuple[str, ...], head: tuple[str, ...] = HEAD) -> str:
    paper = PLAIN._replace(blocks=(Grid(head, rows, name="t"),))
    return paper_tables(paper)["t"]


def read(text: str) -> list[tuple[str, ...]]:
    return [tuple(row) for row in csv.reader(io.StringIO(text, newline=""), strict=True)]


@pytest.mark.published
def test_the_rows_of_the_standard() -> None:
    """RFC 4180, section 2: CRLF after each record (1), quotes doubled inside quotes (7)."""
    text = written(("aaa", 'b"bb', "ccc"), ("zzz", "b\nb", "c,c"), head=("f1", "f2", "f3"))
    assert text == 'f1,f2,f3\r\naaa,"b""bb",ccc\r\nzzz,"b\nb","c,c"\r\n'


def test_only_tables_with_a_name_are_written_and_none_twice() -> None:
    one, two = Grid(("a",), (("1",),), name="cuts"), Grid(("b",), (("2",),), name="cuts")
    three = Grid(("c",), (("3",),), name="cuts-2")
    tables = paper_tables(PLAIN._replace(blocks=(one, Grid(("x",), ()), two, three)))
    assert tables == {"cuts": "a\r\n1\r\n", "cuts-2": "b\r\n2\r\n", "cuts-2-2": "c\r\n3\r\n"}


@pytest.mark.parametrize(
    "cell",
    [
        FORMULA, "=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\tx", "\rx", "\nx", "  =1",
        "\u00a0=1", "\u3000@a", "\ufeff=1", "\uff1d1", "\uff0b1", "\uff0d1", "\uff20a", "-3.5 mm",
        "-", "--1", "+1-1", "-3.5\n", " -3.5", "-1e5", "-٣",
    ],
)  # fmt: skip
def test_what_could_run_gets_an_apostrophe(cell: str) -> None:
    """The starts are those of OWASP's page "CSV Injection"."""
    assert harmless(cell) == "'" + visible(cell)
    assert read(written((cell, "1", "")))[1][0] == "'" + visible(cell)


@pytest.mark.parametrize(
    "cell", ["-3.5", "+12", "-3,5", "875", "0.5", "", "a=b", "R1-B1", "12-4", "a@b", "'x", "½ in"]
)
def test_numbers_and_names_stay_as_they_are(cell: str) -> None:
    assert harmless(cell) == cell


def test_names_come_back() -> None:
    rows = read(paper_tables(NASTY)["bars"])
    assert rows[0] == ("id", "length [mm]", "name", "note")
    names = [row[2].removeprefix("'") for row in rows[1:]]
    assert names == [*TYPED, visible(CONTROL)]
    assert rows[1][2] == "'" + FORMULA


def test_control_characters_are_replaced() -> None:
    text = written(("a\x00b", "c\x1bd", "e\u202ef"))
    assert read(text)[1] == ("a\ufffdb", "c\ufffdd", "e\ufffdf")


@pytest.mark.property
@given(ROWS)
def test_any_cells_come_back(rows: list[tuple[str, str, str]]) -> None:
    text = written(*rows)
    text.encode("utf-8")
    got = read(text)
    assert got == [HEAD, *(tuple(map(harmless, row)) for row in rows)]
    for row, typed in zip(got[1:], rows, strict=True):
        for cell, was in zip(row, typed, strict=True):
            assert cell in (visible(was), "'" + visible(was))
            assert not cell.lstrip().startswith(("=", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"))


@pytest.mark.cross_check
@given(ROWS)
def test_a_reader_of_the_standard_reads_the_same(rows: list[tuple[str, str, str]]) -> None:
    """A second reader, from the grammar of RFC 4180 and not from Python's csv."""
    text = written(*rows)
    records: list[list[str]] = [[""]]
    quoted = False
    place = 0
    while place < len(text):
        if text[place] == '"':
            if quoted and text[place : place + 2] == '""':
                records[-1][-1] += '"'
                place += 1
            else:
                quoted = not quoted
        elif quoted or text[place] not in ",\r":
            records[-1][-1] += text[place]
        elif text[place] == ",":
            records[-1].append("")
        else:
            assert text[place : place + 2] == "\r\n"
            records.append([""])
            place += 1
        place += 1
    assert records.pop() == [""]
    assert [tuple(record) for record in records] == read(text)
