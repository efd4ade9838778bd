"""The list of expected readings: what a meter should show at every point, cold and hot."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.circuit.readings import Band, Reading
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import bare, millimetres
from pelmet.model.told.words import table, wrapped

HEAD: Final = ("point", "", "cold", "right", "hot", "right", "where")
NUMBERS: Final = frozenset({2, 4})
NOTES: Final = (
    "Measure with every leg on and at full; only the unloaded supply has its legs off.",
    "On a PWM dimmer a meter reads about duty x volts, so below full it tells nothing.",
    "Cold: just switched on. Hot: after half an hour at full.",
)


class Row(NamedTuple):
    """A point and its cells under `HEAD`."""

    reading: Reading
    cells: tuple[str, ...]


def readings_list(plan: Plan) -> tuple[str, ...]:
    """Lay out every expected reading, and how to measure, in lines of at most 78 columns."""
    rows = reading_rows(plan)
    if not rows:
        return ("no reading to expect yet",)
    lines = [*table(HEAD, [row.cells for row in rows], numbers=NUMBERS), ""]
    for note in (*NOTES, *not_known(plan, [row.reading for row in rows])):
        lines += wrapped(note, rest="  ")
    return tuple(lines)


def reading_rows(plan: Plan) -> tuple[Row, ...]:
    """Give the rows of the list, in the order a person measures."""
    return tuple(
        Row(
            reading,
            (
                reading.point,
                reading.unit,
                *_band(reading.cold, plan),
                *_band(reading.hot, plan),
                _where(reading, plan),
            ),
        )
        for reading in plan.readings()
    )


def _band(band: Band, plan: Plan) -> Iterator[str]:
    least, expected, most = (bare(figure, plan.job.site) for figure in band)
    yield expected
    yield f"{least}..{most}"


def _where(reading: Reading, plan: Plan) -> str:
    if reading.along is None:
        return reading.where
    site = plan.job.site
    length = print_length(millimetres(round(reading.along)), site.length_unit, site.inch_parts)
    return f"{reading.where}, {length} from the left end of its strip"


def not_known(plan: Plan, readings: Sequence[Reading]) -> Iterator[str]:
    """Say which legs no reading is known of."""
    known = {reading.leg for reading in readings}
    for leg in plan.circuits.legs:
        if leg.leg.id not in known:
            yield f"{leg.leg.id}: no readings, its volts cannot be worked out"
