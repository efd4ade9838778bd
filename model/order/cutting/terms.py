"""What is cut out of what, and what comes of it: the words of one-dimensional cutting."""

from decimal import Decimal
from typing import NamedTuple


class Stock(NamedTuple):
    """One kind of stock piece."""

    name: str
    length: Decimal
    """Of one piece, untrimmed; above 0. [mm]"""
    price: Decimal
    """Of one piece; 0 for what is owned already. [money]"""
    on_hand: int | None = None
    """At most so many; None: as many as are bought."""


class Want(NamedTuple):
    """Pieces of one length that are wanted."""

    name: str
    length: Decimal
    """Above 0. [mm]"""
    count: int = 1  # type: ignore[assignment] # hides that of a tuple, which nobody asks here


class Cut(NamedTuple):
    """One stock piece, and what comes out of it in the order it is cut."""

    stock: str
    """The name of its stock."""
    pieces: tuple[str, ...]
    """The names of the wants, longest first."""
    left: Decimal
    """What stays after the cuts, kerf and trims counted. [mm]"""


class Cutting(NamedTuple):
    """What to cut, and what is proven of it."""

    cuts: tuple[Cut, ...]
    cost: Decimal
    """Of all stock pieces that are cut. [money]"""
    bound: Decimal
    """No cutting of the same pieces costs less: proven. [money]"""
    kept: Decimal
    """Length of all that is left in pieces long enough to keep. [mm]"""
    scrap: Decimal
    """Length of all that is left in shorter pieces. [mm]"""
    unmet: tuple[Want, ...]
    """Longer than any stock takes, or stock on hand is used up; with the count that is unmet."""

    @property
    def gap(self) -> Decimal:
        """Give the share of the cost that better cutting might save, 0 to 1."""
        return (self.cost - self.bound) / self.cost if self.cost else Decimal(0)

    @property
    def proven(self) -> bool:
        """Say if the cost is proven least."""
        return self.cost == self.bound
