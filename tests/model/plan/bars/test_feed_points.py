"""Where a run is fed in its middle: the mark that parts its light most evenly, at any cut unit."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import one_bar, part

from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.stages import plan_job


def fit_of(opening: int, unit: str, pieces: int) -> RunFit:
    """Fit bars of one opening, fed in their middle; the strip is cut every ``unit`` mm."""
    strip = part("strips", "mine", cut_unit=Decimal(unit))
    cabinet = {"width": opening, "opening": [opening]}
    run = {"strip": "mine", "feed_end": "middle", "pieces": pieces}
    job = one_bar(A={"length": 20_000}, A1=cabinet, R1=run, parts={"strips": [strip]})
    return plan_job(job).fits[0]


@pytest.mark.property
@given(
    st.integers(120, 4000), st.sampled_from(["12.5", "50", "100", "333.333333"]), st.integers(1, 4)
)
def test_no_mark_parts_the_light_more_evenly(opening, unit, pieces):
    """Every cut mark and every joint between bars is tried here."""
    fit = fit_of(opening, unit, pieces)
    if not fit.bars:
        return
    lit = [Decimal(bar.lit.value) for bar in fit.bars]
    marks = [
        (abs(sum(lit[:row]) + lit[row] * unit_ / int(bar.units.value) - sum(lit) / 2), row, unit_)
        for row, bar in enumerate(fit.bars)
        for unit_ in range(0 if row else 1, int(bar.units.value))
    ]
    (point,) = feed_points_of(fit)
    row = next(at for at, bar in enumerate(fit.bars) if bar.id == point.bar)
    assert (row, point.units) == (min(marks)[1:] if marks else (0, 0))


def test_a_strip_cut_anywhere_is_parted_at_once():
    """Cut units of a millionth of a millimetre: 855 million of them are not listed.

    An 883 mm opening takes a bar of 875; where wires may come to either end 10 mm stay dark there.
    """
    (point,) = feed_points_of(fit_of(883, "0.000001", 1))
    assert point.units * Decimal("0.000001") == (Decimal(875) - 20) / 2
