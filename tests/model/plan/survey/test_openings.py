"""Clear widths: measured or worked out, joined, with fillers, and what comes in at their mouth."""

from decimal import Decimal

import pytest
from jobs import one_bar, row

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.stages import plan_job

D = Decimal


def run_of(job: Job) -> RunFit:
    return plan_job(job).fits[0]


def only_bar(**how) -> Bar:
    (bar,) = run_of(one_bar(**how)).bars
    return bar


def spans(fit: RunFit) -> list[tuple[Decimal, Decimal]]:
    """Give the left and right edge of each bar's opening."""
    return [(bar.opening.left, bar.opening.right) for bar in fit.bars]


def test_the_least_reading_counts_and_stands_in_the_middle_of_its_cabinet():
    bar = only_bar(A1={"width": 900, "opening": [884, Decimal("882.5"), 883]})
    assert bar.opening.clear.value == Decimal("882.5")
    assert bar.opening.left == 500 + (900 - Decimal("882.5")) / 2
    assert bar.length.value == Decimal("874.5")


@pytest.mark.parametrize(("underside", "clear"), [("flush", 883), ("framed", 883 - 36)])
def test_without_a_reading_a_frame_takes_its_two_sides(underside, clear):
    bar = only_bar(A1={"opening": (), "underside": underside, "side_panel": 18})
    assert bar.opening.clear.value == clear


def test_a_cabinet_narrower_than_its_two_sides_has_no_opening():
    fit = run_of(one_bar(A1={"width": 30, "opening": (), "underside": "framed"}))
    assert (fit.bars, fit.too_short[0].clear.value) == ((), 0)


@pytest.mark.parametrize(
    ("second", "bars"),
    [
        ({"at": 1100}, 1), ({"at": 1103}, 1), ({"at": Decimal("1103.1")}, 2),
        ({"at": 1097}, 1), ({"at": Decimal("1096.9")}, 2),
        ({"bottom_height": 1401}, 1), ({"bottom_height": 1399}, 1),
        ({"bottom_height": Decimal("1401.1")}, 2), ({"underside": "framed"}, 2),
    ],
)  # fmt: skip
def test_one_bar_passes_under_two_cabinets_that_are_flush_level_and_close(second, bars):
    fit = run_of(row(600, 600, underside="flush", A2=second))
    assert len(fit.bars) == bars
    if bars == 1:
        assert spans(fit) == [(500, Decimal(second.get("at", 1100)) + 600)]


@pytest.mark.parametrize(
    ("allowances", "bars"),
    [({"flush_gap": 9}, 2), ({"flush_gap": 10}, 1), ({"flush_gap": 10, "flush_step": 0}, 2)],
)
def test_flush_gap_and_flush_step_are_editable(allowances, bars):
    job = row(
        600, 600, gap=10, underside="flush", A2={"bottom_height": 1401}, allowances=allowances
    )
    assert len(run_of(job).bars) == bars


def test_a_joined_opening_runs_from_the_first_clear_edge_to_the_last():
    # 600 wide with 598 clear, 800 with 797, 400 unmeasured: 1 off the left, nothing off the right.
    job = row(600, 800, 400, underside="flush", A1={"opening": [598]}, A2={"opening": [797]})
    assert spans(run_of(job)) == [(501, 500 + 1800)]


def test_framed_neighbours_are_each_their_own_opening():
    fit = run_of(row(600, 800))
    assert spans(fit) == [(518, 1082), (1118, 1882)]


def test_cabinets_are_taken_in_wall_order_however_they_are_named():
    job = row(600, 800, R1={"cabinets": ["A2", "A1", "A2"]})
    assert [bar.opening.cabinets for bar in run_of(job).bars] == [("A1",), ("A2",)]


@pytest.mark.parametrize(
    ("how", "left", "right"),
    [
        # A1 is 883 wide from 500.
        ({"opening": (), "filler_left": 20}, 480, 1383),
        ({"opening": (), "filler_right": 30}, 500, 1413),
        ({"opening": (), "filler_left": 20, "filler_right": 30}, 480, 1413),
        # A reading spans the fillers too: 930 in the middle of 480 to 1413.
        ({"opening": [930], "filler_left": 20, "filler_right": 30}, D("481.5"), D("1411.5")),
        # A frame keeps its sides: fillers are outside of them.
        ({"opening": (), "underside": "framed", "filler_left": 20}, 518, 1365),
    ],
    ids=["left", "right", "both", "a reading over both", "framed"],
)
def test_fillers_widen_what_is_flush(how, left, right):
    assert spans(run_of(one_bar(A1=how))) == [(left, right)]


def test_a_filler_between_two_cabinets_lets_one_bar_pass():
    gap = {"gap": 50, "underside": "flush"}
    assert spans(run_of(row(600, 600, **gap))) == [(500, 1100), (1150, 1750)]
    assert spans(run_of(row(600, 600, A1={"filler_right": 50}, **gap))) == [(500, 1750)]
    halves = {"A1": {"filler_right": 25}, "A2": {"filler_left": 25}}
    (bar,) = run_of(row(600, 600, **halves, **gap)).bars
    assert (bar.opening.left, bar.opening.right, bar.opening.joints) == (500, 1750, (1125,))


@pytest.mark.parametrize("field", ["filler_left", "filler_right"])
def test_a_filler_nobody_measured_leaves_its_mark(field):
    filler = {"opening": (), field: 20}
    assert only_bar(A1={**filler, "assumed": [field]}).length.assumed
    assert not only_bar(A1=filler).length.assumed


# Bar and caps are 879 long and 8 deep; under the cabinet at 1400 there are 490 to the worktop.
# Tilted to come through a mouth m it is at least the square root of 879^2 - m^2 high: 474 at
# 740 and 531 at 700. Halves of 439.5 come tilted through any of these.
@pytest.mark.parametrize(
    ("mouth", "bottom", "bars"),
    [
        (879, 1400, 1),
        (740, 1400, 1),
        (700, 1400, 2),
        (440, 1400, 2),
        (100, 1400, 2),
        # 190 to the worktop: halves would be 321 high at 300, thirds of 293 come straight in.
        (300, 1100, 3),
        # Below the height of the worktop there is none under it: down to the floor.
        (700, 900, 1),
    ],
)
def test_a_mouth_makes_as_many_bars_as_it_takes_to_come_in(mouth, bottom, bars):
    fit = run_of(one_bar(A1={"mouth": mouth, "bottom_height": bottom}))
    assert len(fit.bars) == bars
    assert sum(bar.opening.clear.value for bar in fit.bars) == pytest.approx(D(883), abs=D("0.3"))


def test_more_bars_can_be_asked_for_than_a_mouth_makes():
    assert len(run_of(one_bar(A1={"mouth": 700}, R1={"pieces": 3})).bars) == 3
    assert (
        len(run_of(one_bar(A1={"mouth": 300, "bottom_height": 1100}, R1={"pieces": 2})).bars) == 3
    )
