"""Papers as PDF, read back with PDFium, which has no part in how they are set."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from nasty_paper import (
    ARABIC,
    CONTROL,
    EMOJI,
    FORMULA,
    HEBREW,
    LONG_NOTE,
    LONG_WORD,
    MARKUP,
    NASTY,
    PLAIN,
    SCRIPT,
)

from pelmet.model.told.formats import pdf
from pelmet.model.told.formats.letters import visible
from pelmet.model.told.formats.page import PageSize
from pelmet.model.told.formats.pdf import paper_pdf
from pelmet.model.told.paper import (
    Block,
    Cautions,
    Grid,
    Heading,
    Label,
    Labels,
    Paper,
    Picture,
    Points,
    Words,
)

MM = 72 / 25.4
LEFT_TO_RIGHT = (FORMULA, SCRIPT, "a|b", 'say "so"', MARKUP, LONG_NOTE, LONG_WORD)
# What the faces inside typst have; a soft hyphen and a hyphen PDFium reads in ways of its own.
LETTERS = st.characters(
    min_codepoint=0x21,
    max_codepoint=0x17F,
    exclude_categories=("Cc", "Zs"),
    exclude_characters="\u00ad-\u0149\u017f",
)


def opened(*papers: Paper, page: PageSize = "a4") -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(paper_pdf(papers, page))


def holding(*blocks: Block) -> Paper:
    return PLAIN._replace(blocks=blocks)


def texts(document: pypdfium2.PdfDocument) -> list[str]:
    return [sheet.get_textpage().get_text_bounded() for sheet in document]


def packed(text: str) -> str:
    """Drop blanks, and the places to break in that long words are given."""
    return re.sub(r"[\s\u200b]", "", text)


def lines(text: str) -> list[str]:
    return [" ".join(line.split()) for line in text.splitlines()]


def boxes(sheet: pypdfium2.PdfPage) -> Iterator[tuple[float, float, float, float]]:
    page = sheet.get_textpage()
    for place in range(page.count_chars()):
        if page.get_text_range(place, 1).strip(" \r\n\u200b"):
            yield page.get_charbox(place)


def runs_over(document: pypdfium2.PdfDocument) -> bool:
    """Say if a letter stands outside the margins, or in the place of another."""
    for sheet in document:
        width, height = sheet.get_size()
        found = list(boxes(sheet))
        if len({(round(left), round(bottom)) for left, bottom, *_ in found}) < 0.9 * len(found):
            return True
        for left, bottom, right, top in found:
            # some letters hang a point or so over where they begin
            if left < 15 * MM - 2 or right > width - 15 * MM + 2:
                return True
            if bottom < 5 * MM or top > height - 5 * MM:
                return True
    return False


def test_names_print_as_they_were_typed() -> None:
    text = packed("".join(texts(opened(NASTY))))
    for name in LEFT_TO_RIGHT:
        # title or heading, words, points, cautions, table, label: all but what a page end parts
        assert text.count(packed(name)) >= 8, name
    assert packed(EMOJI.partition("💡")[2]) in text
    assert packed(visible(CONTROL)) in text
    assert "a b c" in lines(texts(opened(holding(Words("a\tb c"))))[0])


@pytest.mark.parametrize("name", [HEBREW, ARABIC])
def test_letters_that_run_to_the_left_print_from_the_right(name: str) -> None:
    # letters that run to the right at its end would stand first if the line ran with them
    sheet = opened(holding(Words(f"{name} W12"), Points((name,))))[0]
    page = sheet.get_textpage()
    text = page.get_text_bounded()
    assert all(text.count(word) >= 2 for word in name.split())
    found = [
        page.get_charbox(place)
        for place in range(page.count_chars())
        if page.get_text_range(place, 1) == name[0]
    ]
    assert max(right for _, _, right, _ in found) == pytest.approx(195 * MM, abs=3)


@pytest.mark.published
@pytest.mark.parametrize(("page", "size"), [("a4", (210, 297)), ("us-letter", (215.9, 279.4))])
def test_the_size_of_the_sheet(page: PageSize, size: tuple[float, float]) -> None:
    """ISO 216: A4 is 210 mm x 297 mm; ANSI/ASME Y14.1: size A is 8.5 in x 11 in."""
    for sheet in opened(PLAIN, page=page):
        assert sheet.get_size() == pytest.approx([mm * MM for mm in size], abs=0.01)


@pytest.mark.parametrize("page", ["a4", "us-letter"])
def test_nothing_runs_off_the_page_or_into_its_margins(page: PageSize) -> None:
    wide = Picture(("+" + "-" * 300 + "+", "| x" + " " * 297 + " |"), "")
    digits = Grid(("id", "mm"), (("9" * 120, "8" * 120),), frozenset({1}), large=frozenset({0}))
    assert not runs_over(opened(NASTY, holding(wide, digits), page=page))


def test_a_wide_picture_stays_whole_and_in_line() -> None:
    rows = ("  +" + "-" * 118 + "+", "", "  |" + " " * 118 + "|")
    sheet = opened(holding(Picture(rows, "wall A")))[0]
    page = sheet.get_textpage()
    found = {
        char: [
            round(page.get_charbox(place)[0] + page.get_charbox(place)[2])
            for place in range(page.count_chars())
            if page.get_text_range(place, 1) == char
        ]
        for char in "+|"
    }
    assert len(found["+"]) == 2
    assert found["+"] == pytest.approx(found["|"], abs=1.5)
    assert min(found["+"]) / 2 > 15 * MM + 4  # the blanks in front of it
    assert "-" * 118 in page.get_text_bounded()


def test_every_page_says_what_it_is_and_papers_are_numbered_from_one() -> None:
    long = PLAIN._replace(title="Drill list", revision="", blocks=PLAIN.blocks[3:4] * 3)
    found = [lines(text) for text in texts(opened(PLAIN, long))]
    assert len(found) == 5
    assert [page[-1] for page in found[:2]] == [
        f"12 Mill Lane, kitchen revision 3 page {n} of 2" for n in (1, 2)
    ]
    assert [page[-1] for page in found[2:]] == [
        f"12 Mill Lane, kitchen page {n} of 3" for n in (1, 2, 3)
    ]
    assert found[1][0] == "Cut list 12 Mill Lane, kitchen"
    assert found[2][0] == "Drill list"
    assert [page[0] for page in found[3:]] == ["Drill list 12 Mill Lane, kitchen"] * 2
    assert found[0][:4] == ["Cut list", "Job 12 Mill Lane, kitchen", "Revision 3", "For the bench"]


def test_a_table_that_goes_on_has_its_head_again() -> None:
    head = "bar stock cut [mm] angle kerf [mm] under note"
    assert [lines(text).count(head) for text in texts(opened(PLAIN))] == [1, 1]


def test_numbers_stand_to_the_right_and_ids_are_large() -> None:
    grid = Grid(("id", "mm"), (("X1", "7.5"), ("X2", "1234.5")), frozenset({1}), "", frozenset({0}))
    page = opened(holding(grid))[0].get_textpage()
    box = {}
    for place in range(page.count_chars()):
        box.setdefault(page.get_text_range(place, 1), []).append(page.get_charbox(place))
    one, other = box["5"]
    assert one[2] == pytest.approx(other[2], abs=0.1)
    id_high, number_high = (each[3] - each[1] for each in (box["X"][0], box["7"][0]))
    assert id_high > 1.3 * number_high
    assert box["X"][0][1] == pytest.approx(box["7"][0][1], abs=0.3)  # on one line


@pytest.mark.parametrize("filled", range(30, 40))
def test_a_heading_never_stands_alone_at_the_foot(filled: int) -> None:
    grid = Grid(("id", "name"), (("R1", "x"),) * 9)
    words = [Words("filled")] * filled
    for text in texts(opened(holding(*words, Heading("Next"), grid))):
        assert lines(text)[-2] not in ("Next", "id name")


def test_all_cautions_stand_together_in_one_frame_even_on_a_full_page() -> None:
    cautions = Cautions(tuple(f"Caution {n}." for n in range(8)))
    found = texts(opened(holding(*[Words("filled")] * 36, cautions)))
    assert ["MIND" in text for text in found] == [False, True]
    assert sum(text.count("Caution") for text in found) == 8
    many = opened(holding(Cautions(tuple(f"Caution {n}." for n in range(120)))))
    assert sum(text.count("Caution") for text in texts(many)) == 120
    assert not runs_over(many)


def test_a_note_longer_than_a_page_goes_on_over() -> None:
    note = "A long note. " * 1500
    grid = Grid(("id", "note"), (("R1", note), ("R2", "x")))
    labels = Labels((Label("R1", (note[: 13 * 500],)),))
    document = opened(holding(grid, labels))
    assert sum(text.count("note.") for text in texts(document)) == 2000
    assert not runs_over(document)


def test_the_document_has_its_title_and_no_date() -> None:
    document = opened(NASTY, PLAIN)
    about = document.get_metadata_dict()
    assert about["Title"] == f"{NASTY.title}, {PLAIN.title}"
    assert about["CreationDate"] == about["ModDate"] == about["Author"] == ""


def test_the_same_papers_give_the_same_bytes_wherever_they_are_set(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program = (
        "import sys; from nasty_paper import NASTY, PLAIN;"
        "from pelmet.model.told.formats.pdf import paper_pdf;"
        "sys.stdout.buffer.write(paper_pdf([NASTY, PLAIN]))"
    )
    places = {"PYTHONPATH": str(Path(__file__).parents[2]), "PATH": os.environ["PATH"]}
    one, other = (
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=folder, env={**places, "TZ": zone, "HOME": folder, "PYTHONHASHSEED": seed},
            check=True, capture_output=True,
        ).stdout
        for folder, zone, seed in ((str(tmp_path), "UTC", "1"), ("/", "Asia/Tokyo", "2"))
    )  # fmt: skip
    template = Path(pdf.__file__).with_name("paper.typ")
    shutil.copy(template, tmp_path / "paper.typ")
    monkeypatch.setattr(pdf, "__file__", str(tmp_path / "pdf.py"))
    assert one == other == paper_pdf([NASTY, PLAIN])


def test_it_is_set_where_the_folder_one_stands_in_is_gone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert paper_pdf([holding()]).startswith(b"%PDF-")


def test_no_face_but_those_inside_typst_is_used() -> None:
    others = "ກຂຄ ⴰⴱⴲ ᚠᚢ ⠿ ไทย 橱柜 💡 ⚡"  # that a machine may have faces for
    names = {
        found.get_font().get_base_name().partition("+")[2]
        for sheet in opened(NASTY, PLAIN, holding(Words(others)))
        for found in sheet.get_objects()
        if isinstance(found, pypdfium2.PdfTextObj)
    }
    inside = ("LibertinusSerif", "DejaVuSansMono", "NewCM", "NewComputerModern")
    assert names
    assert all(name.startswith(inside) for name in names)


@pytest.mark.property
@examples(10)
@given(st.lists(st.text(LETTERS, min_size=1, max_size=60), min_size=1, max_size=9))
def test_texts_come_back(typed: list[str]) -> None:
    grid = Grid(("id", "name"), tuple((f"B{n}", name) for n, name in enumerate(typed)))
    (*_, text) = [packed("".join(texts(opened(holding(*map(Words, typed), grid)))))]
    for name in typed:
        assert text.count(name) >= 2


@pytest.mark.property
@examples(10)
@given(st.lists(st.text(max_size=80), min_size=1, max_size=9), st.integers(1, 9))
def test_any_text_can_be_set(typed: list[str], count: int) -> None:
    cells = tuple(typed[place % len(typed)] for place in range(count))
    grid = Grid(cells, (cells, cells), frozenset({0}), large=frozenset({count - 1}))
    picture = Picture(tuple(typed), typed[0])
    labels = Labels(tuple(Label(name, (name,)) for name in typed))
    paper = holding(*map(Heading, typed), Cautions(tuple(typed)), grid, picture, labels)
    assert len(opened(paper._replace(job=typed[0], title=typed[-1]))) >= 1
