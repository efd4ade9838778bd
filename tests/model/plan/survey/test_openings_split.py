"""Bars too long to buy or to carry: split where cabinets meet, checked against every way to cut."""

from decimal import Decimal
from fractions import Fraction
from itertools import combinations, pairwise
from math import ceil

import pytest
from draws import examples
from hypothesis import example, given
from hypothesis import strategies as st
from jobs import obstacle, one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.stages import plan_job

D = Decimal
ENDS = 2 * (2 + 2)  # clearance and cap at both ends of a bar


def run_of(job: Job) -> RunFit:
    return plan_job(job).fits[0]


def clears(fit: RunFit) -> list[Decimal]:
    return [Decimal(bar.opening.clear.value) for bar in fit.bars]


def flush(*widths: float, **how) -> RunFit:
    """Give the bars of a run under flush cabinets side by side from 500 on, unmeasured."""
    return run_of(row(*widths, underside="flush", **how))


# --- By hand: the longest stock is 3000, so an opening may be 3008 --------------------------------


@pytest.mark.parametrize(
    ("widths", "openings"),
    [
        ((1500, 1508), [3008]),
        # A tenth more is two bars: they part where the cabinets meet.
        ((1500, D("1508.1")), [1500, D("1508.1")]),
        # 5000: only after the first 2000 do two bars do.
        ((2000, 1500, 1500), [2000, 3000]),
        # 6000 in tenths: the two halves are the most even.
        ((600,) * 10, [3000, 3000]),
        # 4000: of the cuts at 1000, 2000 and 2500 the one at 2000 is the most even.
        ((1000, 1000, 500, 1500), [2000, 2000]),
        # One cabinet alone too wide is shared evenly; it parts from its neighbour.
        ((3500,), [1750, 1750]),
        ((600, 3500), [600, 1750, 1750]),
        ((6100,), [D("2033.3")] * 3),
    ],
    ids=str,
)
def test_an_opening_longer_than_a_bar_parts_where_cabinets_meet(widths, openings):
    fit = flush(*widths)
    assert clears(fit) == openings
    assert [bar.length.value for bar in fit.bars] == [clear - ENDS for clear in openings]


def test_where_neighbours_stand_apart_bars_part_in_the_middle_of_the_gap():
    fit = flush(2000, 2000, gap=3)
    assert [(bar.opening.left, bar.opening.right) for bar in fit.bars] == [
        (500, D("2501.5")),
        (D("2501.5"), 4503),
    ]


def test_each_part_knows_its_cabinets_and_what_its_ends_meet():
    fit = flush(2000, 1500, 1500)
    assert [bar.opening.cabinets for bar in fit.bars] == [("A1",), ("A2", "A3")]
    assert [[edge.kind for edge in bar.opening.ends] for bar in fit.bars] == [
        ["free", "joint"],
        ["joint", "free"],
    ]
    stile = obstacle("O1", 520, 20)
    first = flush(2000, 1500, 1500, add={"obstacles": [stile]}).bars[0].opening
    assert [(edge.kind, edge.about) for edge in first.ends] == [("face", "O1"), ("joint", "")]


def test_a_stile_cuts_first_and_each_side_is_split_for_itself():
    # 500 to 5500 with joints at 2500 and 4000; the stile leaves 3200 and 1780.
    fit = flush(2000, 1500, 1500, add={"obstacles": [obstacle("O1", 3700, 20)]})
    assert clears(fit) == [2000, 1200, 1780]


def test_pieces_that_were_asked_for_are_split_further_if_they_must():
    assert clears(flush(4000, 4000, R1={"pieces": 2})) == [2000] * 4


# --- What decides how long a bar may be -----------------------------------------------------------

SITE = {
    "longest_bar": "longest handled",
    "van_longest": "longest in the van",
    "stairs_longest": "longest round the stairs",
    "lift_longest": "longest in the lift",
}


@pytest.mark.parametrize("name", SITE)
def test_the_least_of_the_site_s_limits_decides(name):
    limits = dict.fromkeys(SITE, 900) | {name: 800}
    fit = run_of(one_bar(allowances=limits))
    assert (fit.longest.name, fit.longest.value, len(fit.bars)) == (SITE[name], 800, 2)


@pytest.mark.parametrize("name", SITE)
def test_a_bar_as_long_as_the_site_takes_is_left_whole(name):
    assert len(run_of(one_bar(allowances={name: 875})).bars) == 1
    assert len(run_of(one_bar(allowances={name: D("874.9")})).bars) == 2


@pytest.mark.parametrize(("stock", "bars"), [([500, 875], 1), ([875, 500], 1), ([500, 874], 2)])
def test_a_bar_comes_out_of_the_longest_stock(stock, bars):
    channels = [part("channels", "mine", stock=stock)]
    fit = run_of(one_bar(R1={"channel": "mine"}, parts={"channels": channels}))
    assert (len(fit.bars), fit.longest.name) == (bars, "longest stock")


def test_no_bar_is_longer_than_the_longest():
    for limit in (400, 437, 438, 875):
        fit = run_of(one_bar(allowances={"longest_bar": limit}))
        assert all(bar.length.value <= limit for bar in fit.bars)


# --- Every way to cut -----------------------------------------------------------------------------


def best(widths: list[Decimal], limit: Decimal) -> tuple[int, Fraction]:
    """Try every set of joints: the fewest bars, then the longest of them as short as can be."""
    marks = [sum(widths[:count], D(0)) for count in range(len(widths) + 1)]
    found = []
    for count in range(len(widths)):
        for cuts in combinations(marks[1:-1], count):
            bars = []
            for left, right in pairwise([marks[0], *cuts, marks[-1]]):
                number = ceil(Fraction(right - left) / Fraction(limit))
                if number > 1 and any(left < mark < right for mark in marks):
                    break  # cabinets are parted where they meet, not in their middles
                bars += [Fraction(right - left) / number] * number
            else:
                found.append((len(bars), max(bars)))
    return min(found)


WIDTHS = st.lists(
    st.sampled_from([300, 450, 600, 883, 1200, 2400]).map(Decimal)
    | st.decimals(100, 4000, places=1),
    min_size=1,
    max_size=7,
)


@pytest.mark.cross_check
@pytest.mark.property
@examples(50)
@given(WIDTHS, st.integers(500, 3000))
def test_the_fewest_bars_and_of_those_the_most_even(widths, longest):
    fit = flush(*widths, allowances={"longest_bar": longest, "start_zone": 0, "end_zone": 0})
    if len(fit.bars) == 1 and sum(widths) <= longest + ENDS:
        return
    number, longest_of_them = best(widths, D(longest + ENDS))
    assert len(fit.bars) + len(fit.too_short) == number
    openings = [*fit.bars, *fit.too_short]
    whole = [Fraction(each.clear.value) for each in (getattr(o, "opening", o) for o in openings)]
    # Those that are shared are cut down to the tenth.
    assert 0 <= longest_of_them - max(whole) < Fraction(1, 10)
    assert all(bar.length.value <= longest for bar in fit.bars)


@pytest.mark.property
@examples(50)
@given(WIDTHS, st.integers(500, 3000))
def test_bars_part_at_joints_or_inside_one_cabinet_alone(widths, longest):
    fit = flush(*widths, allowances={"longest_bar": longest})
    marks = {500 + sum(widths[:count], D(0)) for count in range(len(widths) + 1)}
    for bar in fit.bars:
        if bar.opening.left not in marks or bar.opening.right not in marks:
            (alone,) = bar.opening.cabinets
            assert widths[int(alone[1:]) - 1] > longest + ENDS


# --- Spliced on site ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "splices"),
    [
        (3008, ()),
        # A bar of 3001 is joined in its middle, to the millimetre.
        (3009, (1500,)),
        (6008, (3000,)),
        (6010, (2001, 4001)),
        (12_000, (2998, 5996, 8994)),
    ],
)
def test_a_spliced_bar_stays_whole_and_its_channel_is_joined_evenly(width, splices):
    fit = flush(1000, width - 1000, R1={"over_length": "splice"})
    (bar,) = fit.bars
    assert bar.length.value == width - ENDS
    assert bar.splices == splices


@pytest.mark.property
@examples(50)
@given(st.decimals(900, 9000, places=1), st.decimals(300, 3000, places=3))
@example(D("6006.7"), D("2999.375"))  # rounding must not make a piece too long
def test_no_piece_of_a_spliced_channel_is_longer_than_the_longest(width, longest):
    run, limit = {"over_length": "splice"}, {"longest_bar": longest}
    (bar,) = flush(width, R1=run, allowances=limit).bars
    pieces = [right - left for left, right in pairwise((0, *bar.splices, bar.length.value))]
    assert max(pieces) <= longest
    assert len(pieces) == ceil(Fraction(bar.length.value) / Fraction(longest))
    even = bar.length.value / len(pieces)
    assert all(abs(at - row * even) <= D("0.5") for row, at in enumerate(bar.splices, 1))


def test_a_split_bar_has_no_splices():
    assert [bar.splices for bar in flush(2000, 2000).bars] == [(), ()]


@pytest.mark.regression
@pytest.mark.parametrize(
    ("bottom", "window", "bars"),
    [
        (1400, {}, 2),  # as windows usually are: from 150 to 1150 above the worktop
        (2200, {}, 1),
        (1400, {"bottom_height": 1000, "height": 399}, 1),
        (1400, {"bottom_height": 1000, "height": 401}, 2),
        (1400, {"bottom_height": 1400, "height": 300}, 1),
        (1400, {"bottom_height": 1399, "height": 300}, 2),
    ],
)
def test_a_window_cuts_only_what_is_as_high_as_it(bottom, window, bars):
    glass = obstacle("O1", 850, 200, "window", crossing="over", **window)
    plan = plan_job(one_bar(A1={"bottom_height": bottom}, add={"obstacles": [glass]}))
    assert len(plan.bars) == bars
