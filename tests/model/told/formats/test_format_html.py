"""A page of HTML: names are data in it, nothing in it runs or is fetched, and it prints."""

import hashlib
import re
import shutil
import subprocess
from base64 import b64encode
from html.parser import HTMLParser
from pathlib import Path

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from nasty_paper import ARABIC, CONTROL, HEBREW, NASTY, PLAIN, SCRIPT, TYPED

from pelmet.model.told.formats.html import paper_html
from pelmet.model.told.formats.letters import visible
from pelmet.model.told.formats.page import PageSize
from pelmet.model.told.paper import Blanks, Cautions, Grid, Label, Labels, Paper, Picture, Words

TAGS = {
    *("html", "head", "meta", "title", "style", "body", "article", "main", "header", "footer"),
    *("h1", "h2", "dl", "div", "dt", "dd", "p", "ul", "li", "section", "strong", "span"),
    *("table", "thead", "tbody", "tr", "th", "td", "figure", "pre", "figcaption"),
}
ATTRIBUTES = {"lang", "charset", "http-equiv", "content", "name", "class", "dir", "scope"}
VOID = {"meta"}
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "google-chrome"))), None)


class Parsed(HTMLParser):
    """The texts of a page by their elements, in order, and what elements there are."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[tuple[str, str]] = []
        self.tags: set[str] = set()
        self.attributes: list[tuple[str, str]] = []
        self.other: list[str] = []
        self._open: list[str] = []
        self.feed(page)
        self.close()
        assert self._open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self._open.append(tag)
            self.texts.append((tag, ""))

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self._open:
            tag, text = self.texts[-1]
            self.texts[-1] = (tag, text + data)

    def handle_comment(self, data: str) -> None:
        self.other.append(data)

    handle_pi = unknown_decl = handle_comment

    def of(self, tag: str) -> list[str]:
        return [text for name, text in self.texts if name == tag]


def parsed(*papers: Paper) -> Parsed:
    return Parsed(paper_html(papers))


def test_every_name_stands_in_its_element_as_it_was_typed() -> None:
    page = parsed(NASTY)
    names = [*TYPED, visible(CONTROL)]
    assert page.of("h1") == [NASTY.title]
    assert page.of("dd") == [NASTY.job, NASTY.revision, NASTY.reader]
    assert page.of("h2") == [*names, "Mind"]
    assert page.of("p")[: len(names)] == names
    assert page.of("li")[: 2 * len(names)] == names * 2
    assert page.of("td")[2 : 4 * len(names) : 4] == names
    assert page.of("strong") == names
    assert page.of("pre") == ["\n" + "\n".join(block.rows) for block in NASTY.blocks
                              if isinstance(block, Picture)]  # fmt: skip


def test_there_is_nothing_but_what_is_meant_to_be_there() -> None:
    page = parsed(NASTY, PLAIN)
    assert page.tags <= TAGS
    assert {name for name, _ in page.attributes} <= ATTRIBUTES
    assert page.other == []
    assert SCRIPT not in paper_html([NASTY])


def test_nothing_is_fetched_and_only_its_own_style_is_let_in() -> None:
    """Content Security Policy Level 3: a hash source is base64 of SHA-256 of the element's text."""
    page = parsed(NASTY)
    (style,) = page.of("style")
    digest = b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert ("content", policy) in page.attributes
    assert not re.search(r"url\(|@import|https?:|//", style)


def test_texts_show_in_their_own_direction() -> None:
    text = paper_html([NASTY])
    assert f'<td dir="auto">{HEBREW}</td>' in text
    assert f'<p dir="auto">{ARABIC}</p>' in text


def test_the_language_and_the_sheet_can_be_chosen() -> None:
    text = paper_html([PLAIN], 'e"n', "us-letter")
    assert text.startswith('<!DOCTYPE html>\n<html lang="e&quot;n">')
    assert "@page { size: letter }" in text


def test_ids_numbers_and_cautions_are_marked() -> None:
    grid = Grid(("id", "mm"), (("R1", "875"),), frozenset({1}), large=frozenset({0}))
    text = paper_html([PLAIN._replace(blocks=(grid, Cautions(("Off first.",))))])
    assert '<td dir="auto" class="id">R1</td><td dir="auto" class="number">875</td>' in text
    assert '<section class="mind"><h2>Mind</h2><ul><li dir="auto">Off first.</li></ul>' in text


@pytest.mark.property
@given(st.lists(st.text(), min_size=1, max_size=6))
def test_any_text_comes_back(texts: list[str]) -> None:
    blocks = (
        Words(texts[0]),
        Grid(tuple(texts), (tuple(texts),)),
        Picture(tuple(texts), texts[0]),
        Blanks(tuple(texts)),
        Labels((Label(texts[0], tuple(texts)),)),
    )
    page = parsed(PLAIN._replace(blocks=blocks, job=texts[0] or "job"))
    shown = list(map(visible, texts))
    assert page.tags <= TAGS
    assert (page.of("th"), page.of("td")) == (shown, shown)
    assert page.of("p")[0] == page.of("strong")[0] == page.of("figcaption")[0] == shown[0]
    assert page.of("pre") == ["\n" + "\n".join(shown)]
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f]", "".join(page.of("td")))


@pytest.mark.skipif(CHROMIUM is None, reason="no chromium or google-chrome on this machine")
@pytest.mark.parametrize(
    ("page", "size"), [("a4", (210, 297)), ("us-letter", (215.9, 279.4))]
)  # ISO 216; ANSI Y14.1, letter is A
def test_a_browser_prints_it_with_a_footer_on_every_page(
    page: PageSize, size: tuple[float, float], tmp_path: Path
) -> None:
    other = PLAIN._replace(title="Drill list")
    (tmp_path / "papers.html").write_text(paper_html([PLAIN, other], page=page), "utf-8")
    assert CHROMIUM is not None
    subprocess.run(
        [
            CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
            f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={tmp_path / 'papers.pdf'}",
            (tmp_path / "papers.html").as_uri(),
        ],
        check=True, capture_output=True,
    )  # fmt: skip
    printed = pypdfium2.PdfDocument(tmp_path / "papers.pdf")
    texts = [sheet.get_textpage().get_text_bounded() for sheet in printed]
    assert len(texts) % 2 == 0
    half = len(texts) // 2
    assert all("revision 3 Cut list" in " ".join(text.split()) for text in texts[:half])
    assert all("revision 3 Drill list" in " ".join(text.split()) for text in texts[half:])
    assert [text.count("kerf [mm]") for text in texts[:2]] == [1, 1]  # the head of the table
    for sheet in printed:
        assert sheet.get_size() == pytest.approx([mm * 72 / 25.4 for mm in size], abs=1)
