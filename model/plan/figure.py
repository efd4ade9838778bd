"""A figure: a number that remembers how it was come by."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import cache
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
    name: str, unit: str, formula: Callable[..., Value], about: str, *inputs: Figure, **how: object
) -> Figure:
    """Work a figure out from others: the formula is called with their values, as floats.

    ``how`` goes to the formula as it is; it says which case of it this is, such as which end.
    """
    value = formula(*[float(figure.value) for figure in inputs], **how)
    return read_off(name, value, unit, _row_of(formula), about, *inputs)


def derived_exactly(
    name: str, unit: str, formula: Callable[..., Value], about: str, *inputs: Figure, **how: object
) -> Figure:
    """Work a figure out from others as `derived` does, but with their values as they are."""
    value = formula(*[figure.value for figure in inputs], **how)
    return read_off(name, value, unit, _row_of(formula), about, *inputs)


def read_off(
    name: str, value: Value, unit: str, formula_id: str, about: str, *inputs: Figure
) -> Figure:
    """Make a figure of what was worked out as a whole, such as a network or places along a wall.

    Its inputs are what that whole stands on. A figure is assumed as soon as an input is.
    """
    assumed = any(figure.assumed for figure in inputs)
    return Figure(name, value, unit, formula_id, inputs, about, assumed)


@cache
def _row_of(formula: Callable[..., Value]) -> str:
    """Give the id of the row of the formula table that names a function."""
    return _ROWS[f"{formula.__module__.removeprefix(_PLAN)}:{formula.__name__}"]


_PLAN = f"{__package__}."
_ROWS = {row.function: formula_id for formula_id, row in FORMULAS.items()}
