"""The sheets that papers are printed on."""

from typing import Literal, TypeAlias

PageSize: TypeAlias = Literal["a4", "us-letter"]
"""A4 is 210 x 297 mm (ISO 216); US letter is 8.5 x 11 in, 215.9 x 279.4 mm (ANSI Y14.1)."""
