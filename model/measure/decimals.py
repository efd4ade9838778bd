"""Plain decimal numbers as people type them, and the refusal that says what to type instead."""

import unicodedata
from collections.abc import Callable
from decimal import Decimal
from typing import Final, NoReturn

from pelmet.model.refusal import Refusal, escaped

MAX_CHARACTERS: Final = 40
MAX_WHOLE_DIGITS: Final = 9
MAX_DECIMALS: Final = 6

DIGITS: Final = frozenset("0123456789")
DECIMAL_MARKS: Final = frozenset(".,")
SPACES: Final = frozenset(
    " \u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f"
)
DASHES: Final = frozenset("-\u2010\u2011\u2012\u2013\u2014\u2212")

_GROUP: Final = 3  # digits between two thousands marks
_PAIR: Final = 2


class Misread(Refusal, ValueError):  # noqa: N818 - it names what happened
    """A typed text that cannot be taken, with the spot and what to type instead.

    ``start`` and ``end`` are the span of the fault in ``text``. ``readings`` are texts to type
    instead: two or more when the text was ambiguous, else one or none. Who reads numbers at a
    prompt can catch it as a ``ValueError``.
    """

    def __init__(
        self,
        reason: str,
        start: int,
        end: int,
        *,
        remedy: str = "",
        text: str = "",
        readings: tuple[str, ...] = (),
    ) -> None:
        super().__init__(reason, escaped(text), remedy)
        self.text = text
        self.start = start
        self.end = end
        self.readings = readings

    def within(self, text: str, reading: Callable[[str], str]) -> "Misread":
        """Give it for the whole text, once all that is known is what might stand at the fault.

        ``reading`` turns the text with that in it into one to type, or "" if it is none either.
        """
        before, after = text[: self.start], text[self.end :]
        whole = (" ".join(f"{before}{new}{after}".split()) for new in self.readings)
        readings = tuple(filter(None, map(reading, whole)))
        remedy = f"type {' or '.join(readings)}" if readings else self.remedy
        return Misread(
            self.reason, self.start, self.end, remedy=remedy, text=text, readings=readings
        )


def parse_decimal(text: str, *, signed: bool = False) -> Decimal:
    """Read a number with no unit: `88.3`, `88,3`, and `-4` only when `signed`.

    Raises Misread. The result has no trailing zeros, so equal numbers print alike.
    """
    try:
        return _read_decimal(text, signed=signed)
    except Misread as misread:
        raise misread.within(text, lambda new: new if _reads(new, signed=signed) else "") from None


def _read_decimal(text: str, *, signed: bool) -> Decimal:
    check_text(text, "Type a number, such as 12 or 4.5")
    start, end = 0, len(text)
    while text[start] in SPACES:
        start += 1
    while text[end - 1] in SPACES:
        end -= 1
    minus = text[start] in DASHES
    if minus and not signed:
        raise Misread("A minus has no place here", start, start + 1, remedy="type zero or more")
    body = start + 1 if minus or (signed and text[start] == "+") else start
    while body < end and text[body] in SPACES:
        body += 1
    stop = number_end(text, body)
    if stop == body:
        raise Misread("Type a number, such as 12 or 4.5", start, end)
    if stop < end:
        _refuse_tail(text, body, stop, end)
    value = number_value(text[body:stop], body)
    return -value if minus else value


def _refuse_tail(text: str, body: int, stop: int, end: int) -> NoReturn:
    after = stop
    while text[after] in SPACES:
        after += 1
    if number_end(text, after) == end:
        refuse_spaced([text[body:stop], text[after:end]], body, end)
    if text[stop] in "eE":
        raise Misread("Write the number out in full, without an exponent", stop, end)
    raise Misread("Type the number only, with nothing after it", after, end)


def _reads(text: str, *, signed: bool) -> bool:
    try:
        _read_decimal(text, signed=signed)
    except Misread:
        return False
    return True


def check_text(text: str, wanted: str) -> None:
    """Refuse text that is empty, too long, or holds what no number does.

    Raises Misread; `wanted` says what to type into an empty field.
    """
    if len(text) > MAX_CHARACTERS:
        remedy = f"keep to {MAX_CHARACTERS} characters"
        raise Misread("This is too long", MAX_CHARACTERS, len(text), remedy=remedy)
    for at, character in enumerate(text):
        if not character.isprintable() and character not in SPACES:
            why = f"Delete the hidden character U+{ord(character):04X}"
            raise Misread(why, at, at + 1)
        if character.isnumeric() and character not in DIGITS and not vulgar(character):
            raise Misread("Use the plain digits 0 to 9", at, at + 1)
    if SPACES.issuperset(text):
        raise Misread(wanted, 0, len(text))


def vulgar(character: str) -> str:
    """Return a one-character fraction as plain text, "5/8" for ⅝; "" for anything else.

    Done on its own, never on the whole text: normalising 4½ at once would give 41/2.
    """
    top, slash, bottom = unicodedata.normalize("NFKD", character).partition("\u2044")
    return f"{top}/{bottom}" if slash and top and bottom else ""


def number_end(text: str, start: int) -> int:
    """Return where the run of digits and decimal marks that begins at `start` ends."""
    end = start
    while end < len(text) and (text[end] in DIGITS or text[end] in DECIMAL_MARKS):
        end += 1
    return end


def number_value(run: str, at: int) -> Decimal:
    """Return the value of a run of digits and decimal marks that stands at `at` in its text.

    Raises Misread, with both readings when a comma may be a decimal mark or thousands.
    """
    end = at + len(run)
    if sum(map(run.count, DECIMAL_MARKS)) > 1:
        why = "Use one decimal mark, and nothing between the thousands"
        raise Misread(why, at, end)
    whole, comma, decimals = run.replace(".", ",").partition(",")
    if comma and not (whole and decimals):
        side = "after" if whole else "before"
        raise Misread(f"Type a digit {side} the decimal mark, such as 0.5", at, end)
    if len(whole) > MAX_WHOLE_DIGITS or len(decimals) > MAX_DECIMALS:
        why = f"Use at most {MAX_WHOLE_DIGITS} digits before the mark and {MAX_DECIMALS} after it"
        raise Misread(why, at, end)
    if "," in run and _may_be_thousands(whole, decimals):
        why = "A comma before three digits may be a decimal mark or thousands"
        raise Misread(why, at, end, readings=_both(whole, decimals))
    return tidy(Decimal(f"{whole}.{decimals or '0'}"))


def refuse_spaced(runs: list[str], start: int, end: int) -> NoReturn:
    """Refuse runs of digits with only space between them, as in `2 400`."""
    if len(runs) == _PAIR and "".join(runs).isdigit() and _may_be_thousands(*runs):
        why = "A space inside a number may be a lost decimal mark or thousands"
        raise Misread(why, start, end, readings=_both(*runs))
    raise Misread("Type one number, with no space inside it", start, end)


def _may_be_thousands(whole: str, rest: str) -> bool:
    # Nobody writes thousands after a nought: 0,250 can only be a decimal.
    return len(rest) == _GROUP and len(whole) <= _GROUP and whole != "0"


def _both(whole: str, rest: str) -> tuple[str, ...]:
    return plain(Decimal(f"{whole}.{rest}")), plain(Decimal(whole + rest))


def plain(value: Decimal) -> str:
    """Write a number in full: no exponent, no trailing zeros, no minus on zero."""
    text = f"{value:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def tidy(value: Decimal) -> Decimal:
    """Return the same number without trailing zeros, so that it is always stored alike."""
    return Decimal(plain(value))
