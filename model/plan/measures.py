"""Lengths, weights and temperatures in words, as they are told in a job and in its region."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from pelmet.model.job.job import Site
from pelmet.model.measure.decimals import plain
from pelmet.model.measure.lengths import FINEST, MILLIMETRES, is_on_tape, print_length
from pelmet.model.plan.finding import said

_EIGHTH: Final = 8
# A pound is 0.45359237 kg exactly: international yard and pound agreement, 1959.
_KILOGRAMS_A_POUND: Final = Decimal("0.45359237")
_IN_FAHRENHEIT: Final = {"C": "F", "degC": "degF", "degrees C": "degrees F"}
_THOUSANDTH: Final = Decimal("0.001")


def length_said(mm: object, site: Site) -> str:
    """Print a length of a finding [mm] with its unit, in that of the job."""
    return lengths_said(site, mm)[0]


def lengths_said(site: Site, *mm: object) -> tuple[str, ...]:
    """Print lengths of a finding [mm] in the unit of the job, so fine that those that differ do so.

    Inches are as fine as the job has them, or as a tape, or in decimals, so that none is off by
    more than an eighth of itself.

    >>> lengths_said(Site(length_unit="in"), 2438.4, 2438.1, 0.8)
    ('96 in', '95 63/64 in', '1/32 in')
    """
    exact = [Decimal(str(each)) for each in mm]
    for near in _roundings(exact, site):
        off = (abs(each - one) for each, one in zip(exact, near, strict=True))
        true = all(wrong * _EIGHTH <= abs(each) for wrong, each in zip(off, exact, strict=True))
        if len(set(near)) == len(set(exact)) and (true or site.length_unit != "in"):
            break
    return tuple(_in_unit(each, site) for each in near)


def limit_said(limit: Decimal, unit: str, site: Site) -> str:
    """Print the limit of a rule with its unit; a length in the unit of the job, metric exactly."""
    if unit != "mm":
        return f"{plain(limit)} {unit}".strip()
    inches = site.length_unit == "in"
    return length_said(limit, site) if inches else print_length(limit, site.length_unit)


def kilograms_said(kilograms: object, site: Site, unit: str = " kg") -> str:
    """Print a weight [kg]; in the region us with its pounds beside it: ``0.35 kg (0.77 lb)``."""
    number = Decimal(str(kilograms))
    beside = f" ({number / _KILOGRAMS_A_POUND:.2f}{unit and ' lb'})"
    return f"{kilograms}{unit}{beside if site.region == 'us' else ''}"


def celsius_said(celsius: object, site: Site, unit: str = "C") -> str:
    """Print a temperature [C]; in the region us with Fahrenheit beside it: ``15 C (59 F)``."""
    fahrenheit = Decimal(str(celsius)) * 9 / 5 + 32
    beside = f" ({fahrenheit:.0f} {_IN_FAHRENHEIT[unit]})"
    return f"{celsius} {unit}{beside if site.region == 'us' else ''}"


def sides_said(sides: Sequence[Decimal | None], site: Site) -> str:
    """Print the sides of a box or a space [mm]: ``564 x open x 688 mm``."""
    known = [side for side in sides if side is not None]
    texts = iter(each.removesuffix(f" {site.length_unit}") for each in lengths_said(site, *known))
    words = ("open" if side is None else next(texts) for side in sides)
    return f"{' x '.join(words)} {site.length_unit}"


def _roundings(exact: list[Decimal], site: Site) -> Iterator[list[Decimal]]:
    """Give lengths rounded less and less [mm]."""
    inch, inches = MILLIMETRES["in"], site.length_unit == "in"
    steps: tuple[Decimal, ...]
    if inches:
        steps = (inch / site.inch_parts, inch / FINEST, inch * _THOUSANDTH, inch * _THOUSANDTH / 10)
    else:
        yield [Decimal(said(each)) for each in exact]
        steps = (_THOUSANDTH * 10, _THOUSANDTH)
    for step in steps:
        yield [each if inches and is_on_tape(each) else round(each / step) * step for each in exact]


def _in_unit(mm: Decimal, site: Site) -> str:
    if site.length_unit != "in" or is_on_tape(mm):
        return print_length(mm, site.length_unit)
    return f"{plain(mm / MILLIMETRES['in'])} in"
