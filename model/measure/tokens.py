"""The pieces of a typed length: numbers, fractions, dashes and units, each with its place."""

from typing import Final, NamedTuple

from pelmet.model.measure.decimals import (
    DASHES,
    DECIMAL_MARKS,
    DIGITS,
    SPACES,
    Misread,
    number_end,
    vulgar,
)

_UNIT_WORDS: Final = {
    **dict.fromkeys(("mm", "cm", "m"), ""),
    **dict.fromkeys(("in", "inch", "inches"), "in"),
    **dict.fromkeys(("ft", "foot", "feet"), "ft"),
}
_ABBREVIATIONS: Final = ("in", "ft")  # often written with a full stop
_FOOT_MARKS: Final = frozenset("'\u2032\u2019\u2018\u02b9\u02bc\u00b4")
_INCH_MARKS: Final = frozenset('"\u2033\u201c\u201d\u02ba')
_SLASHES: Final = frozenset("/\u2044\u2215")


class Token(NamedTuple):
    """One piece of the text and where it stands in it."""

    kind: str  # number, fraction, slash, dash or unit
    text: str  # a unit by its short name, a fraction as top/bottom
    start: int
    end: int


def tokens_of(text: str) -> list[Token]:
    """Cut a text that `check_text` has passed into tokens; raises Misread."""
    tokens: list[Token] = []
    at = 0
    while at < len(text):
        if text[at] in SPACES:
            at += 1
            continue
        token = _token(text, at)
        tokens.append(token)
        at = token.end
    return _with_fractions(tokens)


def _token(text: str, at: int) -> Token:
    character, after = text[at], at + 1
    if character in DIGITS or character in DECIMAL_MARKS:
        end = number_end(text, at)
        return Token("number", text[at:end], at, end)
    if character in DASHES:
        return Token("dash", "-", at, after)
    if character in _SLASHES:
        return Token("slash", "/", at, after)
    if character in _INCH_MARKS:
        return Token("unit", "in", at, after)
    if character in _FOOT_MARKS:
        twice = text[after : after + 1] in _FOOT_MARKS  # two strokes make an inch mark
        return Token("unit", "in", at, after + 1) if twice else Token("unit", "ft", at, after)
    if fraction := vulgar(character):
        return Token("fraction", fraction, at, after)
    if character.isalpha():
        return _unit_word(text, at)
    raise Misread(f'The "{character}" has no place in a length', at, after, remedy="delete it")


def _unit_word(text: str, at: int) -> Token:
    end = at
    while end < len(text) and text[end].isalpha():
        end += 1
    word = text[at:end]
    if word in ("e", "E") and at and text[at - 1] in DIGITS:
        raise Misread("Write the number out in full, without an exponent", at, end)
    name = word.lower()
    if name not in _UNIT_WORDS:
        raise Misread(
            f'"{word}" is not a length unit here', at, end, remedy="use mm, cm, m, in or ft"
        )
    stop_follows = text[end : end + 1] == "." and text[end + 1 : end + 2] not in DIGITS
    if name in _ABBREVIATIONS and stop_follows:
        end += 1
    return Token("unit", _UNIT_WORDS[name] or name, at, end)


def _with_fractions(tokens: list[Token]) -> list[Token]:
    """Join each number, slash, number into one fraction."""
    joined: list[Token] = []
    at = 0
    while at < len(tokens):
        match tokens[at : at + 3]:
            case [Token("number") as top, Token("slash"), Token("number") as bottom]:
                text = f"{top.text}/{bottom.text}"
                joined.append(Token("fraction", text, top.start, bottom.end))
                at += 3
            case _:
                joined.append(tokens[at])
                at += 1
    return joined
