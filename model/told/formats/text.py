"""A paper as plain text: UTF-8, lines of at most 78 columns, nothing cut."""

from itertools import zip_longest
from typing import Final

from pelmet.model.told.drawings.drawing import plain_ascii
from pelmet.model.told.formats.columns import folded, labelled_lines, padded, pieces, table_lines
from pelmet.model.told.formats.letters import columns_of, visible
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
from pelmet.model.told.words import WIDTH

_HIDDEN: Final = "?"
_INDENT: Final = 10
_POINT: Final = "- "
_MIND: Final = "# "
_ACROSS: Final = 3
_BOX: Final = 24  # three and two gaps fill a line
_BESIDE: Final = 48  # a label longer than this leaves too short a line to write on


def paper_text(paper: Paper) -> str:
    """Write a paper as plain text with line feeds, for a UTF-8 file.

    Letters stay as they were typed; control characters, and those that turn letters round,
    show as ``?``, tabs as spaces.
    """
    paper = respelt(paper, _shown)
    lines = _head(paper)
    before: Block | None = None
    for block in paper.blocks:
        lines += [] if isinstance(before, Heading) or isinstance(block, Blanks) else [""]
        lines += _block(block)
        before = block
    return "\n".join(line.rstrip() for line in lines) + "\n"


def ascii_text(paper: Paper) -> str:
    """Write a paper as `paper_text` does, in printable ASCII alone: other letters show as ``?``."""
    return paper_text(respelt(paper, _ascii))


def ascii_lines(block: Block) -> list[str]:
    """Set one block in lines of printable ASCII."""
    return block_lines(respelt(block, _ascii))


def block_lines(block: Block) -> list[str]:
    """Set one block in lines."""
    return [line.rstrip() for line in _block(block)]


def _ascii(text: str) -> str:
    return "\n".join(map(plain_ascii, text.split("\n")))


def _head(paper: Paper) -> list[str]:
    said = (("job", paper.job), ("revision", paper.revision), ("for", paper.reader))
    lines = _underlined(paper.title, "=")
    for label, text in said:
        lines += labelled_lines(label, text, _INDENT) if text else []
    return lines


def _block(block: Block) -> list[str]:
    match block:
        case Heading(text):
            return _underlined(text, "-")
        case Words(text):
            return folded(text, WIDTH)
        case Points(texts):
            return [line for text in texts for line in _point(text, WIDTH)]
        case Cautions(texts):
            return _cautions(texts)
        case Grid():
            return table_lines(block)
        case Picture(rows, about):
            return _picture(rows, about)
        case Blanks(labels):
            return [line for label in labels for line in _blank(label)]
        case Labels(each):
            return _labels(each)


def _shown(text: str) -> str:
    return visible(text, _HIDDEN).replace("\t", " ")


def _point(text: str, width: int) -> list[str]:
    first, *rest = folded(text, width - len(_POINT))
    return [_POINT + first, *(" " * len(_POINT) + line for line in rest)]


def _underlined(text: str, line: str) -> list[str]:
    lines = folded(text, WIDTH)
    return [*lines, line * max(map(columns_of, lines))]


def _cautions(texts: tuple[str, ...]) -> list[str]:
    edge = "#" * WIDTH
    points = [line for text in texts for line in _point(text, WIDTH - len(_MIND))]
    return [edge, _MIND + "MIND", *(_MIND + line for line in points), edge]


def _picture(rows: tuple[str, ...], about: str) -> list[str]:
    """Set a picture, one too wide in parts from left to right, each below the one before."""
    parts = [pieces(row.replace("\n", " "), WIDTH) for row in rows]
    lines: list[str] = []
    for part in zip_longest(*parts, fillvalue=""):
        lines += [*(["to the right of it:"] if lines else []), *part]
    return [*lines, *(folded(about, WIDTH) if about else [])]


def _blank(label: str) -> list[str]:
    """Set a label with a line to write on, and room above it for a hand."""
    *above, last = folded(label, _BESIDE)
    return ["", *above, f"{last} {'_' * (WIDTH - 1 - columns_of(last))}"]


def _labels(each: tuple[Label, ...]) -> list[str]:
    lines: list[str] = []
    for first in range(0, len(each), _ACROSS):
        boxes = [_inside(label) for label in each[first : first + _ACROSS]]
        edge = "   ".join(["+" + "-" * (_BOX - 2) + "+"] * len(boxes))
        inner = [
            "   ".join(f"| {padded(line, _BOX - 4)} |" for line in row)
            for row in zip_longest(*boxes, fillvalue="")
        ]
        lines += [*([""] if first else []), edge, *inner, edge]
    return lines


def _inside(label: Label) -> list[str]:
    return [line for text in (label.large, *label.lines) for line in folded(text, _BOX - 4)]
