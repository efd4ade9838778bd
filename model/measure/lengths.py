"""Lengths as they come off a tape, in millimetres or in feet, inches and fractions; exact.

A length is a Decimal of millimetres. One inch is 25.4 mm exactly, so 1/64 in is 0.396875 mm. One
that was typed in inches remembers how: it is kept, shown and printed so, and compared by its value.
"""

from decimal import Decimal
from fractions import Fraction
from math import gcd
from typing import Final, Literal, NamedTuple, NoReturn, Self

from pelmet.model.measure.decimals import (
    DECIMAL_MARKS,
    MAX_CHARACTERS,
    MAX_DECIMALS,
    Misread,
    check_text,
    number_value,
    parse_decimal,
    plain,
    refuse_spaced,
    tidy,
)
from pelmet.model.measure.tokens import Token, tokens_of

__all__ = [
    "TAPE_DENOMINATORS",
    "LengthUnit",
    "Misread",
    "TypedLength",
    "exact_length",
    "parse_decimal",
    "parse_length",
    "print_length",
]

LengthUnit = Literal["mm", "cm", "m", "in"]

MILLIMETRES: Final = {
    "mm": Decimal(1),
    "cm": Decimal(10),
    "m": Decimal(1000),
    "in": Decimal("25.4"),  # international yard and pound agreement, 1959
    "ft": Decimal("304.8"),
}
INCHES_IN_A_FOOT: Final = 12
TAPE_DENOMINATORS: Final = (2, 4, 8, 16, 32, 64)
FINEST: Final = TAPE_DENOMINATORS[-1]

_MAX_INCH_DIGITS: Final = 2  # after feet; more is a slip, or a thousands mark

_WANTED: Final = "Type a length, such as 883 mm or 34 5/8 in"
_ONE_UNIT: Final = "Use one unit, such as 1.2 m, or feet with inches, such as 3 ft 4 in"
_IMPROPER: Final = "The top of a fraction must be from 1 to one less than its bottom"
_MISPLACED: Final = {
    "slash": "The / has no place here, for a fraction looks like 5/8",
    "dash": "The dash has no place here, for it goes before a fraction, as in 34-5/8",
    "fraction": "Put the fraction last, as in 34 5/8",
}


class TypedLength(Decimal):
    """A length [mm] that was typed in inches or feet, and how, as `parse_length` reads it.

    In all else it is the Decimal it equals: whatever is worked out of it is a plain one.
    """

    __slots__ = ("text",)
    text: str  # with its unit: 22 1/4 in, 22.25 in, 1 ft 10 1/4 in

    def __new__(cls, mm: Decimal | str, text: str) -> Self:
        """Keep a length [mm] with its text."""
        self = super().__new__(cls, mm)
        self.text = text
        return self

    def __reduce__(self) -> tuple[type[Self], tuple[str, str]]:  # type: ignore[override]
        """Go from one process to another with its text."""
        return type(self), (str(self), self.text)

    def __copy__(self) -> Self:
        """Give itself, as it cannot change."""
        return self

    def __deepcopy__(self, _: object) -> Self:
        """Give itself, as it cannot change."""
        return self


class _Term(NamedTuple):
    amount: tuple[Token, ...]
    unit: Token | None


def parse_length(text: str, bare: LengthUnit) -> Decimal:
    """Read a length and return it in [mm], exactly; `bare` is what a number alone means.

    One in inches or feet is a `TypedLength`, its marks and dashes written as words and blanks.
    Raises Misread. No text has two readings: where it might, the refusal carries both.
    """
    try:
        return _read(text, bare)
    except Misread as misread:
        raise misread.within(text, lambda new: _reading(new, bare)) from None


def print_length(
    mm: Decimal, unit: LengthUnit, denominator: int = 16, *, bare: bool = False, about: bool = False
) -> str:
    """Write a length [mm] in the unit of the job, without the unit when `bare`.

    Metric is exact. Inches are as they were typed, else exact if a tape shows them, to 1/64 in,
    else to the nearest 1/denominator, halves away from zero; `about` puts "~" in front of that.
    """
    if unit != "in":
        number = plain(mm / MILLIMETRES[unit])
    elif isinstance(mm, TypedLength):
        return mm.text.removesuffix(" in") if bare and " ft" not in mm.text else mm.text
    else:
        number = inches_text(mm, FINEST if is_on_tape(mm) else denominator)
        number = f"~{number}" if about and not is_on_tape(mm) else number
    return number if bare else f"{number} {unit}"


def exact_length(mm: Decimal, unit: LengthUnit) -> str:
    """Write a length [mm] so that `parse_length` gives it back, in `unit` where that is exact.

    As it was typed, if that was in inches. Else in inches as a whole number of 1/64 in, in them,
    in cm and in m with no more than six decimals; any other length is written in mm.
    """
    if isinstance(mm, TypedLength):
        return mm.text
    if unit == "in" and is_on_tape(mm):
        return print_length(mm, unit)
    inexact = Fraction(mm) / Fraction(MILLIMETRES[unit]) * 10**MAX_DECIMALS % 1
    return print_length(mm, "mm") if inexact else f"{plain(mm / MILLIMETRES[unit])} {unit}"


def is_on_tape(mm: Decimal) -> bool:
    """Tell whether a length [mm] is a whole number of 1/64 in."""
    return not Fraction(mm) / Fraction(MILLIMETRES["in"]) * FINEST % 1


def inches_text(mm: Decimal, denominator: int) -> str:
    """Write a length [mm] to the nearest 1/denominator in, halves away from zero: ``22 1/4``."""
    if denominator not in TAPE_DENOMINATORS:
        raise ValueError(f"a tape has no division of 1/{denominator} in")
    divisions = abs(Fraction(mm)) / Fraction(MILLIMETRES["in"]) * denominator
    nearest = int(divisions + Fraction(1, 2))
    whole, top = divmod(nearest, denominator)
    shared = gcd(top, denominator)
    fraction = f"{top // shared}/{denominator // shared}" if top else ""
    number = " ".join(filter(None, (str(whole) if whole or not top else "", fraction)))
    return f"-{number}" if mm < 0 and nearest else number


def _read(text: str, bare: LengthUnit) -> Decimal:
    check_text(text, _WANTED)
    tokens = tokens_of(text)
    if not any(token.kind in ("number", "fraction") for token in tokens):
        raise Misread(_WANTED, 0, len(text))
    if tokens[0].kind == "dash":
        raise Misread(
            "A length cannot be negative",
            tokens[0].start,
            tokens[0].end,
            remedy="leave off the minus",
        )
    match _terms(tokens):
        case [_Term(amount, None)]:
            mm = _amount(amount, bare) * MILLIMETRES[bare]
        case [_Term(amount, Token() as unit)]:
            mm = _amount(amount, unit.text) * MILLIMETRES[unit.text]
        case [_Term(feet, Token(text="ft") as mark), rest]:
            mm = _feet_and_inches(feet, mark, rest, bare)
        case [_, *_, extra]:
            raise Misread(_ONE_UNIT, extra.amount[0].start, tokens[-1].end)
        case _:
            raise AssertionError("a number makes a term")
    return _as_typed(tidy(mm), tokens, bare)


def _as_typed(mm: Decimal, tokens: list[Token], bare: LengthUnit) -> Decimal:
    named = tokens[-1].kind == "unit"
    if (tokens[-1].text if named else bare) not in ("in", "ft"):
        return mm
    words = (token.text.replace(",", ".") for token in tokens if token.kind != "dash")
    text = " ".join([*words, *([] if named else [bare])])
    return TypedLength(mm, text) if len(text) <= MAX_CHARACTERS else mm


def _reading(text: str, bare: LengthUnit) -> str:
    """Return what might be typed instead, unit and all: "" if it would not be taken either."""
    try:
        named = tokens_of(text)[-1].kind == "unit"
        reading = text if named else f"{text} {bare}"
        _read(reading, bare)
    except Misread:
        return ""
    return reading


def _terms(tokens: list[Token]) -> list[_Term]:
    """Cut the tokens behind each unit; every term but the last has one."""
    terms: list[_Term] = []
    amount: list[Token] = []
    for token in tokens:
        if token.kind != "unit":
            amount.append(token)
        elif amount:
            terms.append(_Term(tuple(amount), token))
            amount = []
        else:
            raise Misread("Type the number first, then one unit", token.start, token.end)
    return [*terms, _Term(tuple(amount), None)] if amount else terms


def _feet_and_inches(
    feet: tuple[Token, ...], mark: Token, rest: _Term, bare: LengthUnit
) -> Decimal:
    inches = rest.amount
    start, end = inches[0].start, inches[-1].end
    if inches[0].kind == "dash" and len(inches) > 1:
        _check_dash(mark, inches[0], inches[1], spaced=True)
        inches = inches[1:]
        start = inches[0].start
    if rest.unit and rest.unit.text != "in":
        raise Misread(_ONE_UNIT, start, rest.unit.end)
    if not rest.unit and bare != "in":
        written = " ".join(token.text for token in inches)
        why = "Name the unit of what follows the feet"
        raise Misread(why, start, end, readings=(f"{written} in",))
    whole_feet, odd_inches = _amount(feet, "ft"), _amount(inches, "in")
    if any(mark in feet[0].text for mark in DECIMAL_MARKS):
        raise Misread("Use whole feet when inches follow", feet[0].start, feet[0].end)
    digits = inches[0].text.partition("/")[0].replace(",", ".").partition(".")[0]
    if odd_inches >= INCHES_IN_A_FOOT or len(digits) > _MAX_INCH_DIGITS:
        raise Misread("Inches after feet run from 0 to less than 12", start, end)
    return whole_feet * MILLIMETRES["ft"] + odd_inches * MILLIMETRES["in"]


def _amount(tokens: tuple[Token, ...], unit: str) -> Decimal:
    """Return the number in front of a unit: a decimal, a fraction, or a whole and a fraction."""
    *before, last = tokens
    if last.kind != "fraction":
        return _number(tokens)
    if unit != "in":
        _refuse_fraction(last, unit)
    value = _fraction(last)
    if not before:
        return value
    if before[-1].kind == "dash" and len(before) > 1:
        dash = before.pop()
        _check_dash(before[-1], dash, last, spaced=False)
    whole = _number(tuple(before))
    if not before[0].text.isdigit():
        raise Misread("Use a decimal or a fraction, not both", before[0].start, last.end)
    return whole + value


def _number(tokens: tuple[Token, ...]) -> Decimal:
    first, *others = tokens
    for token in tokens:
        if token.kind != "number":
            raise Misread(_MISPLACED[token.kind], token.start, token.end)
    if others:
        refuse_spaced([token.text for token in tokens], first.start, others[-1].end)
    return number_value(first.text, first.start)


def _check_dash(before: Token, dash: Token, after: Token, *, spaced: bool) -> None:
    """Refuse a dash that might be a minus: one with space on a side, or on one side only."""
    gap_before, gap_after = dash.start > before.end, after.start > dash.end
    if gap_before != gap_after or (gap_before and not spaced):
        raise Misread("This dash could be a minus", dash.start, dash.end, readings=(" ",))


def _refuse_fraction(fraction: Token, unit: str) -> NoReturn:
    why = "A fraction is of an inch, so name the inch or use a decimal"
    if unit == "ft":
        why = "A fraction is of an inch, so write feet and inches, such as 3 ft 6 in"
    raise Misread(why, fraction.start, fraction.end, readings=(f" {fraction.text} in",))


def _fraction(token: Token) -> Decimal:
    top, _, bottom = token.text.partition("/")
    if not (top.isdigit() and bottom.isdigit()):
        raise Misread("Use whole numbers above and below the /", token.start, token.end)
    if int(bottom) not in TAPE_DENOMINATORS:
        remedy = "use halves, 4ths, 8ths, 16ths, 32nds or 64ths"
        raise Misread(f"No tape shows {token.text}", token.start, token.end, remedy=remedy)
    if not 0 < int(top) < int(bottom):
        raise Misread(_IMPROPER, token.start, token.end, readings=_lost_space(top, bottom))
    return Decimal(top) / Decimal(bottom)


def _lost_space(top: str, bottom: str) -> tuple[str, ...]:
    """Return what 345/8 may mean: 34 5/8 or 3 45/8 with its space lost, or that many eighths."""
    spaces = [at for at in range(1, len(top)) if top[at] != "0"]
    lost = [f"{top[:at]} {top[at:]}/{bottom}" for at in spaces]
    whole, over = divmod(int(top), int(bottom))
    return (*lost, f"{whole} {over}/{bottom}" if over else str(whole))
