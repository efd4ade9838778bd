"""Strategies that cost little to draw from: a whole job takes a hundred draws."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from string import ascii_letters, digits
from typing import Any, get_args

from hypothesis import Phase, settings
from hypothesis import strategies as st

_PLAIN = 100  # examples of a test that does not say how many


def examples(count: int) -> settings:
    """Try so many examples, and in a long run as many more as of any other test."""
    return settings(max_examples=count * settings.default.max_examples // _PLAIN)


def quick(count: int) -> settings:
    """Try so many, and make none smaller that fails: a whole job takes too long for that."""
    return settings(examples(count), phases=[Phase.explicit, Phase.reuse, Phase.generate])


_ODDS = 4  # one value in so many is any that a field takes


@cache
def whole(low: int, high: int) -> st.SearchStrategy[int]:
    """Whole numbers, both ends included."""
    return st.integers(low, high)


@cache
def one_of(values: tuple[Any, ...]) -> st.SearchStrategy[Any]:
    """One of these."""
    return st.sampled_from(values)


@cache
def some_of(values: tuple[Any, ...], least: int = 0, most: int = 6) -> st.SearchStrategy[list[Any]]:
    """Some of these, in any order, perhaps one twice."""
    return st.lists(one_of(values), min_size=least, max_size=most)


def pick(literal: Any) -> st.SearchStrategy[Any]:
    """One of the words of a Literal."""
    return one_of(get_args(literal))


@st.composite
def decimals(draw: st.DrawFn, low: float | Decimal, high: float | Decimal) -> Decimal:
    """Numbers a field takes: its ends, whole ones, and some with up to six decimals."""
    places = draw(whole(0, 6))
    least, most = (Decimal(end).scaleb(places) for end in (low, high))
    count = draw(whole(int(least.to_integral("ROUND_CEILING")), int(most)))
    return Decimal(count).scaleb(-places)


@st.composite
def mostly(draw: st.DrawFn, common: st.SearchStrategy[Any], rare: st.SearchStrategy[Any]) -> Any:
    """Sense, and now and then nonsense: a job of nothing but nonsense has no bar to look at."""
    return draw(rare if draw(whole(1, _ODDS)) == _ODDS else common)


@st.composite
def sizes(draw: st.DrawFn, *usual: float, low: float, high: float) -> Decimal:
    """Sizes of real kitchens, and now and then any that a file may hold."""
    chosen = draw(whole(0, _ODDS * len(usual) - 1))
    few = len(usual) * (_ODDS - 1)
    return draw(decimals(low, high)) if chosen >= few else Decimal(usual[chosen % len(usual)])


@cache
def _bytes(count: int) -> st.SearchStrategy[bytes]:
    return st.binary(min_size=count, max_size=count)


@st.composite
def sparse(
    draw: st.DrawFn, optional: Mapping[str, st.SearchStrategy[Any]], share: float = 0.5
) -> dict[str, Any]:
    """Some of these fields; one draw tells which."""
    given = draw(_bytes(len(optional)))
    return {
        name: draw(values)
        for (name, values), byte in zip(optional.items(), given, strict=True)
        if byte >= 256 * (1 - share)
    }


def _begun(text: str) -> str:
    return text if text[0] in ascii_letters else f"a{text[1:]}"


IDS = st.text(ascii_letters + digits + "_.-", min_size=1, max_size=24).map(_begun)


_BEGUN = st.lists(IDS, min_size=4, max_size=4, unique=True)


@st.composite
def ids(draw: st.DrawFn, count: int) -> list[str]:
    """Ids, each its own: some short or as long as may be, the others of these with a number."""
    begun = draw(_BEGUN)
    more = (f"{begun[row % 4][:20]}.{row}" for row in range(10, 10 + count))
    return list(dict.fromkeys((*begun, *more)))[:count]


def listed(rows: Sequence[Mapping[str, Any]]) -> tuple[str, ...]:
    """Give the ids of these rows."""
    return tuple(row["id"] for row in rows)
