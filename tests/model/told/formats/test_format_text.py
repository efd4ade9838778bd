"""A paper as plain text: 78 columns at most, every name whole, nothing that acts."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nasty_paper import ARABIC, CONTROL, HEBREW, LONG_WORD, NASTY, PLAIN, TYPED
from rich.cells import cell_len

from pelmet.model.told.formats.columns import folded
from pelmet.model.told.formats.letters import columns_of, visible
from pelmet.model.told.formats.text import paper_text
from pelmet.model.told.paper import Blanks, Cautions, Grid, Label, Labels, Paper, Picture, Words

BLOCKS = st.text(max_size=400)
ROWS = st.integers(1, 9).flatmap(
    lambda wide: st.lists(st.tuples(*[st.text(max_size=90)] * wide), min_size=1, max_size=4)
)


def paper(*blocks: object) -> Paper:
    return PLAIN._replace(blocks=blocks)


def body(*blocks: object) -> list[str]:
    """Give the lines below the head of a paper."""
    return paper_text(paper(*blocks)).split("\n\n", 1)[1].rstrip("\n").split("\n")


def packed(text: str) -> str:
    """Drop blanks and the marks that keep columns in order."""
    return re.sub(r"[\s\u200e]", "", text)


def shown(text: str) -> str:
    return packed(visible(text, "?"))


def cut_up(lines: list[str], rule: str) -> list[str]:
    """Read a table's columns back, each from top to bottom, by the rule under its head."""
    spans = [match.span() for match in re.finditer("-+", rule)]
    return ["".join(line[start:end] for line in lines) for start, end in spans]


def test_a_paper_as_a_person_reads_it() -> None:
    grid = Grid(
        ("bar", "cut [mm]", "note"),
        (("R1-B1", "875", ""), ("R1-B10", "1030.5", "scribe left")),
        numbers=frozenset({1}),
    )
    rule = "#" * 78
    assert paper_text(paper(Cautions(("Off first.",)), grid, Blanks(("Cut by",)))) == (
        "Cut list\n"
        "========\n"
        "job       12 Mill Lane, kitchen\n"
        "revision  3\n"
        "for       the bench\n"
        "\n"
        f"{rule}\n"
        "# MIND\n"
        "# - Off first.\n"
        f"{rule}\n"
        "\n"
        "bar     cut [mm]  note\n"
        "------  --------  -----------\n"
        "R1-B1        875\n"
        "R1-B10    1030.5  scribe left\n"
        "\n"
        f"Cut by {'_' * 71}\n"
    )


def test_names_stay_as_they_were_typed() -> None:
    text = packed(paper_text(NASTY))
    assert [name for name in TYPED if packed(name) not in text] == []


def test_nothing_hides_turns_letters_round_or_acts_on_a_terminal() -> None:
    text = paper_text(NASTY)
    assert "bell? escape?[31m nul? over?ride? end" in text
    assert all(char.isprintable() or char in "\n\u200e" for char in text)
    text.encode("utf-8")
    assert body(Words("a\tb")) == ["a b"]


def test_columns_stay_in_order_around_letters_that_run_to_the_left() -> None:
    lines = body(Grid(("name", "n"), ((HEBREW, "12"), (ARABIC, "13")), frozenset({1})))
    assert all(
        line.startswith("\u200e") and re.search("\u200e +1[23]$", line) for line in lines[2:]
    )


def test_ids_and_numbers_are_not_broken_where_words_can_give_way() -> None:
    ids = ("tall-larder-unit-01-left", "tall-larder-unit-02-left")
    cells = tuple((name, "12345.678", LONG_WORD, LONG_WORD, "1.5") for name in ids)
    grid = Grid(("id", "mm", "a", "b", "A"), cells, frozenset({1, 4}), large=frozenset({0}))
    lines = body(grid)
    assert [sum(name in line and "12345.678" in line for line in lines) for name in ids] == [1, 1]
    by_column = cut_up(lines[2:], lines[1])
    assert packed(by_column[2]) == packed(by_column[3]) == LONG_WORD * 2


def test_a_word_is_not_broken_where_a_sentence_can_give_way() -> None:
    name, part = "kitchen-with-pantry-and-utility", "recessed-channel-22"
    sentence = "it goes under every one of these cabinets, and up at the last"
    lines = body(Grid(("job", "part", "way", "W"), ((name, part, sentence, "1.5"),),
                      frozenset({3})))  # fmt: skip
    assert name in lines[2]
    assert part in lines[2]


def test_as_few_words_are_broken_as_can_be() -> None:
    longer, long = "a" * 40, "b" * 30
    lines = body(Grid(("x", "y", "z"), ((longer, long, "several words of another column"),)))
    assert lines[2] == f"{'a' * 37}  {long}  several"  # 78 columns


def test_a_table_too_wide_for_a_page_stands_cell_below_cell() -> None:
    row = tuple(str(10**19 + place) for place in range(6))
    lines = body(Grid(tuple("abcdef"), (row, row), frozenset(range(6))))
    one = [f"{label}  {cell}" for label, cell in zip("abcdef", row, strict=True)]
    assert lines == [*one, "", *one]


def test_a_picture_too_wide_for_a_page_goes_on_below() -> None:
    rows = ("ab" * 50, "", "  x")
    assert body(Picture(rows, "wall A")) == [
        ("ab" * 39), "", "  x", "to the right of it:", "ab" * 11, "", "", "wall A",
    ]  # fmt: skip


def test_labels_stand_in_boxes_three_across() -> None:
    each = tuple(Label(f"R1-B{n}", ("875 mm",)) for n in range(4))
    lines = body(Labels(each))
    assert lines[0] == "   ".join(["+----------------------+"] * 3)
    assert (
        lines[1] == "| R1-B0                |   | R1-B1                |   | R1-B2                |"
    )
    assert lines[5:7] == ["+----------------------+", "| R1-B3                |"]


@pytest.mark.property
@given(BLOCKS, st.integers(2, 80))
def test_folding_keeps_every_letter_and_the_width(text: str, width: int) -> None:
    lines = folded(visible(text), width)
    assert all(columns_of(line) <= width for line in lines)
    assert packed("".join(lines)) == packed(visible(text))


@pytest.mark.property
@given(BLOCKS, ROWS)
def test_any_text_comes_back_in_78_columns(text: str, rows: list[tuple[str, ...]]) -> None:
    head, *rest = rows
    grid = Grid(head, tuple(rest), frozenset({0}), large=frozenset({len(head) - 1}))
    written = paper_text(paper(Words(text), Cautions((text,)), grid, Blanks((text,))))
    assert all(columns_of(line) <= 78 and line == line.rstrip() for line in written.split("\n"))
    assert shown(text) in packed(written)
    lines = body(grid)
    letters = sorted(packed("".join(lines)).replace("-", ""))
    rest_of = sorted("".join(shown(cell) for row in rest for cell in row).replace("-", ""))
    assert not [char for char in set(rest_of) if rest_of.count(char) > letters.count(char)]


@pytest.mark.property
@given(st.lists(st.text(st.characters(codec="ascii"), max_size=40), min_size=2, max_size=5))
def test_each_cell_of_a_table_can_be_read_back(cells: list[str]) -> None:
    head = tuple(f"c{place}" for place in range(len(cells)))
    lines = body(Grid(head, (tuple(cells),)))
    assert list(map(packed, cut_up(lines[2:], lines[1].ljust(78)))) == list(map(shown, cells))


@pytest.mark.cross_check
@pytest.mark.parametrize(
    "text", ["Küche", "橱柜 下", "ｆｕｌｌ", HEBREW, ARABIC, "e\u0301", "💡", "½″Ω≤", "한국", "ไทย"]
)
def test_columns_are_those_a_general_library_counts(text: str) -> None:
    """Rich, which lays out text in terminals, measures cells from tables of its own."""
    assert columns_of(text) == cell_len(text)


def test_a_control_character_cannot_come_through_any_block() -> None:
    labels = Labels((Label(CONTROL, (CONTROL,)),))
    text = paper_text(paper(Picture((CONTROL,), CONTROL), labels, Blanks((CONTROL,))))
    assert not re.search("[\x00-\x09\x0b-\x1f\u202a-\u202e\u2066-\u2069]", text)
