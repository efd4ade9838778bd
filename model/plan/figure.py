"""A figure: a number that remembers how it was come by."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from pelmet.model.plan.formulas import FORMULAS, ROW_OF, Formula

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

    def called(self, name: str, about: str) -> "Figure":
        """Give the same figure under another name, about another thing."""
        _, value, unit, formula_id, inputs, _, assumed = self
        return Figure(name, value, unit, formula_id, inputs, about, assumed)

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
    name: str, unit: str, formula: Callable[..., Value], about: str, *inputs: Figure, **how: object
) -> Figure:
    """Work a figure out from others: the formula is called with their values, as floats.

    ``how`` goes to the formula as it is: which case of it this is, such as which end, or what no
    figure holds.
    """
    value = formula(*[float(figure.value) for figure in inputs], **how)
    return Figure(name, value, unit, ROW_OF[formula], inputs, about, _any_assumed(inputs))


def derived_exactly(
    name: str, unit: str, formula: Callable[..., Value], about: str, *inputs: Figure, **how: object
) -> Figure:
    """Work a figure out from others as `derived` does, but with their values as they are."""
    value = formula(*[figure.value for figure in inputs], **how)
    return Figure(name, value, unit, ROW_OF[formula], inputs, about, _any_assumed(inputs))


def read_off(
    name: str, value: Value, unit: str, formula_id: str, about: str, *inputs: Figure
) -> Figure:
    """Make a figure of what was worked out as a whole, such as a network or places along a wall.

    Its inputs are what that whole stands on.
    """
    return Figure(name, value, unit, formula_id, inputs, about, _any_assumed(inputs))


def _any_assumed(inputs: tuple[Figure, ...]) -> bool:
    for figure in inputs:  # noqa: SIM110 - a plan makes hundreds, and any() takes twice as long
        if figure.assumed:
            return True
    return False
