"""A figure: a number that remembers how it was come by."""

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from pelmet.model.plan.formulas import FORMULAS, Formula

if TYPE_CHECKING:
    from pint import Quantity

Value = Decimal | float | int


class Figure(NamedTuple):
    """A value with its unit, its formula, the figures that went in, and what it is about.

    ``assumed`` is true when a reading that nobody took went in, however far back.
    """

    name: str
    value: Value
    unit: str
    formula_id: str
    inputs: "tuple[Figure, ...]" = ()
    about: str = ""
    assumed: bool = False

    @property
    def formula(self) -> Formula:
        """The row of the formula table that this figure was worked out by."""
        return FORMULAS[self.formula_id]

    @property
    def quantity(self) -> "Quantity[float]":
        """The value as a pint quantity, for other tools."""
        from pelmet.model.measure.units import quantity

        return quantity(float(self.value), self.unit)

    def walk(self) -> "Iterator[Figure]":
        """Give this figure and every figure that went into it, depth first."""
        waiting = [self]
        while waiting:
            figure = waiting.pop()
            yield figure
            waiting.extend(reversed(figure.inputs))


def given(name: str, value: Value, unit: str, formula_id: str, about: str = "") -> Figure:
    """Make a figure that was said, not worked out."""
    return Figure(name, value, unit, formula_id, (), about, assumed=formula_id == "assumed")


def derived(
    name: str, value: Value, unit: str, formula_id: str, about: str, *inputs: Figure
) -> Figure:
    """Make a figure from others; it is assumed as soon as one of them is."""
    return Figure(
        name, value, unit, formula_id, inputs, about, any(figure.assumed for figure in inputs)
    )
