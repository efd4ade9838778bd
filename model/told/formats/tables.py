"""The named tables of a paper as CSV, for a spreadsheet."""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from pelmet.model.told.formats.letters import visible
from pelmet.model.told.paper import Grid, Paper

_APOSTROPHE: Final = "'"
_STARTS_FORMULA: Final = re.compile(
    "[\t\r\n]"
    "|[\\s\u200b\ufeff]*"  # blanks that a spreadsheet may pass over
    "[=+@\uff1d\uff0b\uff0d\uff20-]"  # and the fullwidth variants
)
_NUMBER: Final = re.compile(r"[-+]?[0-9]+([.,][0-9]+)?")


def paper_tables(paper: Paper) -> Mapping[str, str]:
    """Give each table that has a name as CSV (RFC 4180): comma, CRLF, the head first.

    A second table of the same name is called ``name-2``, and so on.
    """
    found: dict[str, str] = {}
    for block in paper.blocks:
        if isinstance(block, Grid) and block.name:
            name, number = block.name, 1
            while name in found:
                number += 1
                name = f"{block.name}-{number}"
            found[name] = _csv(block)
    return MappingProxyType(found)


def harmless(cell: str) -> str:
    """Give a cell that no spreadsheet takes for a formula.

    One that begins with ``=``, ``+``, ``-`` or ``@`` (fullwidth too, also after blanks), with a
    tab or a line end gets an apostrophe in front; a plain number such as -3.5 stays a number.
    Source: OWASP, "CSV Injection" (owasp.org/www-community/attacks/CSV_Injection).

    >>> harmless("=1+1"), harmless("-3.5"), harmless("C1")
    ("'=1+1", '-3.5', 'C1')
    """
    could_run = _STARTS_FORMULA.match(cell) and not _NUMBER.fullmatch(cell)
    return (_APOSTROPHE if could_run else "") + visible(cell)


def _csv(grid: Grid) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    rows: Sequence[Sequence[str]] = (grid.head, *grid.rows)
    writer.writerows([harmless(cell) for cell in row] for row in rows)
    return out.getvalue()
