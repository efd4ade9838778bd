"""Papers as one file of HTML that needs nothing beside it and runs nothing."""

from base64 import b64encode
from collections.abc import Iterable, Sequence
from hashlib import sha256
from importlib.resources import files
from typing import Final
from xml.etree.ElementTree import Element, SubElement, tostring

from pelmet.model.told.formats.letters import columns_of, visible
from pelmet.model.told.formats.page import PageSize
from pelmet.model.told.paper import (
    Blanks,
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
    respelt,
)

_SHEET: Final = {"a4": "A4", "us-letter": "letter"}
_ROOM_MM: Final = {"a4": 180, "us-letter": 185}  # between the side margins of paper.css
_LETTER_WIDTH: Final = 0.62  # of its height: no common face of one width is wider
_LARGEST_PICTURE_MM: Final = 3.2


def paper_html(papers: Sequence[Paper], language: str = "en", page: PageSize = "a4") -> str:
    """Give papers as one HTML file (UTF-8), each from a new page on when it is printed.

    ``language`` is that of the papers' own words, as a BCP 47 tag. Names are data of the tree,
    never markup, and show in their own direction; control characters show as U+FFFD.
    """
    papers = [respelt(paper, visible) for paper in papers]
    style = _style(papers, page)
    html = Element("html", lang=language)
    head = SubElement(html, "head")
    SubElement(head, "meta", charset="utf-8")
    policy = (
        f"default-src 'none'; style-src '{_digest(style)}'; base-uri 'none'; form-action 'none'"
    )
    SubElement(head, "meta", {"http-equiv": "Content-Security-Policy", "content": policy})
    SubElement(head, "meta", name="viewport", content="width=device-width, initial-scale=1")
    _said(head, "title", ", ".join(dict.fromkeys(_titles(papers))))
    SubElement(head, "style").text = style
    body = SubElement(html, "body")
    for paper in papers:
        _paper(body, paper)
    return "<!DOCTYPE html>\n" + tostring(html, encoding="unicode", method="html") + "\n"


def _titles(papers: Sequence[Paper]) -> Iterable[str]:
    for paper in papers:
        yield paper.title
    for paper in papers:
        yield paper.job


def _style(papers: Sequence[Paper], page: PageSize) -> str:
    """Give the rules of style: the file's own, the sheet, and a size of letters a width."""
    rules = [files(__package__).joinpath("paper.css").read_text("utf-8")]
    rules.append(f"@page {{ size: {_SHEET[page]} }}")
    pictures = [block for paper in papers for block in paper.blocks if isinstance(block, Picture)]
    for wide in sorted({_wide(picture) for picture in pictures}):
        size = min(_LARGEST_PICTURE_MM, _ROOM_MM[page] / (wide * _LETTER_WIDTH))
        rules.append(f".w{wide} {{ font-size: {size:.3f}mm }}")
    return "\n".join(rules) + "\n"


def _digest(style: str) -> str:
    """Give what the policy knows the style by (W3C, Content Security Policy Level 3)."""
    return "sha256-" + b64encode(sha256(style.encode()).digest()).decode()


def _wide(picture: Picture) -> int:
    return max((columns_of(row) for row in picture.rows), default=0) or 1


def _said(parent: Element, tag: str, text: str, **attributes: str) -> Element:
    """Add an element that holds a text as it was typed, in that text's own direction."""
    element = SubElement(parent, tag, attributes)
    element.text = text
    return element


def _set(parent: Element, tag: str, text: str, kind: str = "") -> Element:
    return _said(parent, tag, text, dir="auto", **({"class": kind} if kind else {}))


def _paper(body: Element, paper: Paper) -> None:
    article = SubElement(body, "article")
    main = SubElement(article, "main")
    header = SubElement(main, "header")
    _set(header, "h1", paper.title)
    facts = SubElement(header, "dl")
    for label, text in (("Job", paper.job), ("Revision", paper.revision), ("For", paper.reader)):
        if text:
            pair = SubElement(facts, "div")
            SubElement(pair, "dt").text = label
            _set(pair, "dd", text)
    for block in paper.blocks:
        _block(main, block)
    footer = SubElement(article, "footer")
    line = SubElement(footer, "p")
    for text in (paper.job, f"revision {paper.revision}" if paper.revision else "", paper.title):
        if text:
            _set(line, "span", text)


def _block(main: Element, block: Block) -> None:
    match block:
        case Heading(text):
            _set(main, "h2", text)
        case Words(text):
            _set(main, "p", text)
        case Points(texts):
            _list(main, texts)
        case Cautions(texts):
            mind = SubElement(main, "section", {"class": "mind"})
            SubElement(mind, "h2").text = "Mind"
            _list(mind, texts)
        case Grid():
            _grid(main, block)
        case Picture(rows, about):
            figure = SubElement(main, "figure")
            kind = f"w{_wide(block)}"
            # a parser drops the first line feed of a pre
            _said(figure, "pre", "\n" + "\n".join(rows), **{"class": kind, "dir": "ltr"})
            _set(figure, "figcaption", about)
        case Blanks(labels):
            blanks = SubElement(main, "ul", {"class": "blanks"})
            for label in labels:
                item = SubElement(blanks, "li")
                _set(item, "span", label)
                SubElement(item, "span", {"class": "line"})
        case Labels(each):
            _labels(main, each)


def _list(parent: Element, texts: Sequence[str]) -> None:
    points = SubElement(parent, "ul")
    for text in texts:
        _set(points, "li", text)


def _grid(main: Element, grid: Grid) -> None:
    table = SubElement(main, "table")
    kinds = [
        " ".join(
            kind
            for kind, places in (("number", grid.numbers), ("id", grid.large))
            if place in places
        )
        for place in range(len(grid.head))
    ]
    head = SubElement(SubElement(table, "thead"), "tr")
    for text, kind in zip(grid.head, kinds, strict=True):
        _set(head, "th", text, kind).set("scope", "col")
    body = SubElement(table, "tbody")
    for cells in grid.rows:
        row = SubElement(body, "tr")
        for text, kind in zip(cells, kinds, strict=True):
            _set(row, "td", text, kind)


def _labels(main: Element, each: Sequence[Label]) -> None:
    labels = SubElement(main, "ul", {"class": "labels"})
    for label in each:
        item = SubElement(labels, "li")
        _set(item, "strong", label.large)
        for line in label.lines:
            _set(item, "span", line)
