"""Money, exact to the last digit: rounding, sharing, tax, mark-up and how an amount is written.

Amounts, steps and percents are ``Decimal``; anything else is refused with ``TypeError``, for a
binary float cannot hold a tenth. An amount is rounded half away from zero, as in commerce: 0.125
to the cent is 0.13, -0.125 is -0.13. ``step`` is the smallest coin that a result may differ by:
the minor unit of the currency, or what totals are rounded to.
"""

import tomllib
from collections.abc import Iterable, Mapping
from decimal import Context, Decimal, Inexact, InvalidOperation, Overflow
from fractions import Fraction
from functools import cache
from importlib.resources import files
from typing import Annotated

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from pelmet.model.job.references import nearest

_CODE_LETTERS = 24  # of a wrong code, as many are looked at to find the nearest
# An amount that does not fit is an error, never a rounded amount.
_EXACT = Context(prec=100, traps=[Inexact, InvalidOperation, Overflow])


@cache
def currency_digits() -> Mapping[str, int]:
    """Give the digits of the minor unit of every active currency, by its code. Source: ISO 4217."""
    text = files(__package__).joinpath("currencies.toml").read_text("utf-8")
    digits: dict[str, int] = tomllib.loads(text)["digits"]
    return digits


def digits_of(currency: str) -> int:
    """Give the digits of a currency's minor unit, 2 for cents; ``KeyError`` for an unknown code."""
    return currency_digits()[currency]


def minor_unit(currency: str) -> Decimal:
    """Give a currency's smallest unit, 0.01 for cents; ``KeyError`` for an unknown code."""
    return Decimal((0, (1,), -digits_of(currency)))


def _known(code: str) -> str:
    if code not in currency_digits():
        raise PydanticCustomError(
            "currency",
            "ISO 4217 has no currency with this code{near}",
            {"near": nearest(code[:_CODE_LETTERS].upper(), currency_digits())},
        )
    return code


Currency = Annotated[
    str, AfterValidator(_known), Field(description="Three letters, from ISO 4217: EUR, USD")
]


def rounded(amount: Decimal, step: Decimal) -> Decimal:
    """Round to the nearest multiple of ``step``, a half away from zero (commercial rounding).

    ``step`` is more than 0 and need not be a power of ten. The result has the decimals of the
    step. ``ValueError`` for a step that is not, and for what is not finite.
    """
    return _rounded(_fraction(amount), step)


def share(total: Decimal, weights: Iterable[Decimal], step: Decimal) -> tuple[Decimal, ...]:
    """Part a total by weights so that the parts, multiples of ``step``, add up to it exactly.

    By largest remainder: each part is first rounded down, and the steps left over go one each to
    the parts that lost most, the earlier first. ``ValueError`` if the total is not a multiple of
    the step, a weight is negative, or all are 0.
    """
    exact = [_fraction(weight) for weight in weights]
    whole = sum(exact)
    if whole <= 0 or min(exact) < 0:
        raise ValueError("weights are 0 or more, and at least one is more")
    steps = _fraction(total) / _step(step)
    if steps.denominator != 1:
        raise ValueError("the total is not a multiple of the step")
    quotas = [abs(steps) * weight / whole for weight in exact]
    counts = [int(quota) for quota in quotas]
    by_loss = sorted(range(len(quotas)), key=lambda row: counts[row] - quotas[row])
    for row in by_loss[: int(abs(steps)) - sum(counts)]:
        counts[row] += 1
    return tuple(_times(count if steps > 0 else -count, step) for count in counts)


def with_tax(net: Decimal, percent: Decimal, step: Decimal) -> Decimal:
    """Give what is paid with tax: net * (100 + percent) / 100, rounded to ``step``.

    The tax is the difference, so that net and tax add up to it. ``percent`` is 0 or more.
    """
    return _raised(net, percent, step)


def marked_up(cost: Decimal, percent: Decimal, step: Decimal) -> Decimal:
    """Give the price of what cost so much: cost * (100 + percent) / 100, rounded to ``step``.

    A mark-up is a share of the cost, not of the price: 25 % on 80 is 100. ``percent`` is 0 or more.
    """
    return _raised(cost, percent, step)


def money_text(amount: Decimal, currency: str) -> str:
    """Write an amount with its currency, in plain ASCII and the same in every country.

    It has the digits of the currency's minor unit, and more where the amount is finer: nothing
    is rounded away. ``KeyError`` for an unknown currency, ``ValueError`` for what is not finite.

    >>> money_text(Decimal("1234.5"), "EUR"), money_text(Decimal("0.0125"), "EUR")
    ('1 234.50 EUR', '0.0125 EUR')
    """
    _fraction(amount)
    _, _, decimals = format(amount, "f").partition(".")
    places = max(digits_of(currency), len(decimals.rstrip("0")))
    text = f"{amount.copy_abs():,.{places}f}".replace(",", " ")
    return f"{'-' if amount < 0 else ''}{text} {currency}"


def _raised(amount: Decimal, percent: Decimal, step: Decimal) -> Decimal:
    return _rounded(_fraction(amount) * _factor(percent), step)


def _factor(percent: Decimal) -> Fraction:
    added = _fraction(percent)
    if added < 0:
        raise ValueError("a percent of tax or mark-up is 0 or more")
    return 1 + added / 100


def _rounded(amount: Fraction, step: Decimal) -> Decimal:
    steps = int(abs(amount) / _step(step) + Fraction(1, 2))
    return _times(steps if amount > 0 else -steps, step)


def _times(count: int, step: Decimal) -> Decimal:
    return _EXACT.multiply(_EXACT.create_decimal(count), step)


def _step(step: Decimal) -> Fraction:
    exact = _fraction(step)
    if exact <= 0:
        raise ValueError("a step is more than 0")
    return exact


def _fraction(amount: Decimal) -> Fraction:
    if not isinstance(amount, Decimal):
        raise TypeError(f"money is reckoned in Decimal, not {type(amount).__name__}")
    if not amount.is_finite():
        raise ValueError("money is a finite amount")
    return Fraction(amount)
