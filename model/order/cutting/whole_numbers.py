"""What is asked for, brought into whole numbers."""

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm
from typing import NamedTuple

from pelmet.model.order.cutting.task import CuttingTask, StockBar
from pelmet.model.order.cutting.terms import Stock, Want


class WholeNumbers(NamedTuple):
    """What was asked for, in the order that makes equal things equal, and its task."""

    task: CuttingTask
    stocks: tuple[tuple[Stock, ...], ...]
    """The stock of each bar, those of limited number first."""
    wants: tuple[tuple[Want, ...], ...]
    """The wants of each size."""
    too_long: tuple[Want, ...]
    unit: Fraction
    """One of the task's length. [mm]"""
    money: Fraction
    """One of the task's price."""


def in_whole_numbers(
    stocks: Sequence[Stock],
    wants: Sequence[Want],
    kerf: Decimal | int,
    end_trim: Decimal | int,
    keepable: Decimal | int,
) -> WholeNumbers:
    """Bring what was asked into whole numbers, equal lengths together.

    Raises:
        ValueError: Something in it cannot be; the words say what to do.
    """
    _check(stocks, wants)
    saw, trim, keep = (
        _not_negative(value, what)
        for value, what in ((kerf, "the kerf"), (end_trim, "the end trim"), (keepable, "keepable"))
    )
    # Longer stock first, so that it serves as the order of the answer too.
    there = sorted(
        (stock for stock in stocks if stock.on_hand != 0),
        key=lambda each: (-each.length, each.price, each.name),
    )
    pieces = sorted(
        (want for want in wants if want.count), key=lambda each: (-each.length, each.name)
    )
    lengths = [Fraction(each.length) for each in there] + [Fraction(each.length) for each in pieces]
    unit = _unit([saw, trim, keep, *lengths])
    money = _unit([Fraction(stock.price) for stock in there])
    kinds: dict[tuple[int, int], list[Stock]] = {}
    for stock in there:
        space = int((Fraction(stock.length) - 2 * trim + saw) / unit)
        kinds.setdefault((space, int(Fraction(stock.price) / money)), []).append(stock)
    longest = max((space for space, _ in kinds), default=0)
    sizes: dict[int, list[Want]] = {}
    for want in pieces:
        sizes.setdefault(int((Fraction(want.length) + saw) / unit), []).append(want)
    too_long = [want for size, alike in sizes.items() if size > longest for want in alike]
    sizes = {size: alike for size, alike in sizes.items() if size <= longest}
    many = sum(want.count for alike in sizes.values() for want in alike)
    kinds = {kind: alike for kind, alike in kinds.items() if sizes and kind[0] >= min(sizes)}
    for alike in kinds.values():
        alike.sort(key=lambda each: (each.on_hand is None, each.name))
    bars = [
        StockBar(space, price, min(many, sum(_on_hand(stock, many) for stock in alike)))
        for (space, price), alike in kinds.items()
    ]
    return WholeNumbers(
        CuttingTask(
            tuple(sizes),
            tuple(sum(want.count for want in alike) for alike in sizes.values()),
            tuple(bars),
            int(saw / unit),
            int(keep / unit),
        ),
        tuple(tuple(alike) for alike in kinds.values()),
        tuple(tuple(alike) for alike in sizes.values()),
        tuple(too_long),
        unit,
        money,
    )


def _on_hand(stock: Stock, enough: int) -> int:
    return enough if stock.on_hand is None else stock.on_hand


def _unit(values: Sequence[Fraction]) -> Fraction:
    """Give the largest unit that all are whole numbers of."""
    below = lcm(*(value.denominator for value in values))
    return Fraction(gcd(*(int(value * below) for value in values)) or 1, below)


def _check(stocks: Sequence[Stock], wants: Sequence[Want]) -> None:
    for what, names in (
        ("stock", [stock.name for stock in stocks]),
        ("want", [want.name for want in wants]),
    ):
        if "" in names:
            raise ValueError(f"a {what} has no name: give it one")
        for name, many in Counter(names).items():
            if many > 1:
                raise ValueError(f"{name!r} is the name of more than one {what}: rename one")
    for stock in stocks:
        _above_nought(stock.length, f"the length of stock {stock.name!r}")
        _not_negative(stock.price, f"the price of stock {stock.name!r}")
        if stock.on_hand is not None and stock.on_hand < 0:
            raise ValueError(
                f"of stock {stock.name!r}, {stock.on_hand} are on hand: give 0 or more, or None"
                " for as many as are bought"
            )
    for want in wants:
        _above_nought(want.length, f"the length of {want.name!r}")
        if want.count < 0:
            raise ValueError(f"{want.count} of {want.name!r} are wanted: give 0 or more")


def _above_nought(value: Decimal, what: str) -> None:
    if not _not_negative(value, what):
        raise ValueError(f"{what} is 0 mm: give it a length, or leave it out")


def _not_negative(value: Decimal | int, what: str) -> Fraction:
    exact = Decimal(value)
    if not exact.is_finite():
        raise ValueError(f"{what} is {value}: give a number")
    if exact < 0:
        raise ValueError(f"{what} is {value}: give 0 or more")
    return Fraction(exact)
