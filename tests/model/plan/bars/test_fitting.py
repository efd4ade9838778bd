"""Openings to bars: the arithmetic redone with fractions, and facts that hold for every bar."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from draws import examples
from hypothesis import assume, given
from hypothesis import strategies as st
from jobs import obstacle, one_bar, part, row, survey

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.stages import plan_job


@dataclass(frozen=True)
class Redone:
    """One bar worked out again, in exact fractions [mm]; places from the opening's left."""

    bar: Fraction
    units: int
    lit: Fraction
    dark: Fraction
    rest: Fraction


def redone(opening, clearance, cap, start, end, unit) -> Redone:
    """Common practice: bar = W - 2 g - 2 k, n = floor((bar - s - e) / u), lit = n u."""
    opening, clearance, cap, start, end, unit = (
        Fraction(str(value)) for value in (opening, clearance, cap, start, end, unit)
    )
    bar = opening - 2 * clearance - 2 * cap
    units = floor((bar - start - end) / unit)
    return Redone(bar, units, units * unit, bar - units * unit, bar - start - end - units * unit)


def run_of(job: Job) -> RunFit:
    return plan_job(job).fits[0]


def only_bar(**how) -> Bar:
    (bar,) = run_of(one_bar(**how)).bars
    return bar


def spans(fit: RunFit) -> list[tuple[Decimal, Decimal]]:
    """Give the left and right edge of each bar's opening."""
    return [(bar.opening.left, bar.opening.right) for bar in fit.bars]


# --- The worked example: 883 mm, clearance 2, cap 2, start 10, end 3 ---------------------------


@pytest.mark.parametrize(
    ("unit", "units", "lit", "dark", "out_of_883"), [(50, 17, 850, 25, 33), (100, 8, 800, 75, 83),
                                                     (25, 34, 850, 25, 33)]
)  # fmt: skip
def test_the_opening_of_883_gives_a_bar_of_875(unit, units, lit, dark, out_of_883):
    bar = only_bar(R1={"strip": "mine"}, parts={"strips": [part("strips", "mine", cut_unit=unit)]})
    assert (bar.length.value, bar.units.value) == (875, units)
    assert (bar.lit.value, bar.dark.value) == (lit, dark)
    assert bar.opening.clear.value - bar.lit.value == out_of_883
    again = redone(883, 2, 2, 10, 3, unit)
    assert (again.bar, again.units, again.lit, again.dark) == (875, units, lit, dark)
    assert float(bar.share.value) == pytest.approx(float(100 * again.lit / again.bar))


# 875 long from 504 to 1379; 850 lit; 25 dark: 10 at the feed end, 3 at the far end, 12 to spare.
@pytest.mark.parametrize(
    ("feed_end", "dark_rest", "lit_left", "lit_right"),
    [
        ("left", "feed end", 504 + 10 + 12, 1379 - 3),
        ("left", "far end", 504 + 10, 1379 - 3 - 12),
        ("left", "shared", 504 + 10 + 6, 1379 - 3 - 6),
        ("right", "feed end", 504 + 3, 1379 - 10 - 12),
        ("right", "far end", 504 + 3 + 12, 1379 - 10),
        ("right", "shared", 504 + 3 + 6, 1379 - 10 - 6),
    ],
)
def test_the_dark_rest_goes_to_the_end_that_was_chosen(feed_end, dark_rest, lit_left, lit_right):
    bar = only_bar(R1={"feed_end": feed_end, "dark_rest": dark_rest})
    assert (bar.left, bar.right) == (504, 1379)
    assert (bar.lit_left, bar.lit_right) == (lit_left, lit_right)
    assert (bar.dark_left.value, bar.dark_right.value) == (lit_left - 504, 1379 - lit_right)
    assert bar.rest.value == 12


# Wires come to either end, or to joints: 10 at both, 5 to spare.
@pytest.mark.parametrize("feed_end", ["both", "middle"])
@pytest.mark.parametrize(
    ("dark_rest", "lit_left", "lit_right"),
    [
        ("feed end", 504 + 10 + 5, 1379 - 10),
        ("far end", 504 + 10, 1379 - 10 - 5),
        ("shared", 504 + 10 + Decimal("2.5"), 1379 - 10 - Decimal("2.5")),
    ],
)
def test_a_run_fed_at_both_ends_keeps_the_larger_zone_dark_at_each(
    feed_end, dark_rest, lit_left, lit_right
):
    bar = only_bar(R1={"feed_end": feed_end, "dark_rest": dark_rest})
    assert (bar.lit_left, bar.lit_right, bar.rest.value) == (lit_left, lit_right, 5)


def test_a_run_fed_at_both_ends_may_lose_a_unit_to_the_second_lead():
    # 868: 855 usable fed at one end, 17 units of 50; 848 fed at both, 16.
    units = [only_bar(A1={"opening": [876]}, R1={"feed_end": end}).units.value
             for end in ("left", "right", "both", "middle")]  # fmt: skip
    assert units == [17, 17, 16, 16]


@pytest.mark.parametrize(
    ("allowance", "value", "length", "units"),
    [
        ("end_clearance", 1, 877, 17),
        ("end_clearance", 12, 855, 16),
        ("cap_thickness", 0, 879, 17),
        ("cap_thickness", 12, 855, 16),
        ("start_zone", 22, 875, 17),
        ("start_zone", 23, 875, 16),
        ("end_zone", 15, 875, 17),
        ("end_zone", 16, 875, 16),
    ],
)
def test_each_allowance_moves_what_it_should(allowance, value, length, units):
    bar = only_bar(allowances={allowance: value})
    assert (bar.length.value, bar.units.value, bar.lit.value) == (length, units, units * 50)
    assert (bar.left, bar.right) == (500 + (883 - length) / 2, 1383 - (883 - length) / 2)
    far_end = value if allowance == "end_zone" else 3
    assert bar.lit_right == bar.right - far_end


def test_the_cap_is_the_channels_own_unless_an_allowance_says_otherwise():
    thick = {
        "channels": [part("channels", "mine", cap="thick")],
        "caps": [part("caps", "thick", thickness=4)],
    }
    assert only_bar(R1={"channel": "mine"}, parts=thick).length.value == 883 - 4 - 8
    said = {"cap_thickness": 1}
    assert only_bar(R1={"channel": "mine"}, parts=thick, allowances=said).length.value == 877


# --- Obstacles ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("obstacles", "openings"),
    {
        "stile in the middle": ([(920, 40)], [(500, 920), (960, 1383)]),
        "at the left edge": ([(500, 40)], [(540, 1383)]),
        "over the left edge": ([(480, 40)], [(520, 1383)]),
        "at the right edge": ([(1343, 40)], [(500, 1343)]),
        "touches the left from outside": ([(460, 40)], [(500, 1383)]),
        "touches the right from outside": ([(1383, 40)], [(500, 1383)]),
        "covers all": ([(0, 3000)], []),
        "just covers all": ([(500, 883)], []),
        "two, right one first": ([(1100, 20), (700, 20)], [(500, 700), (720, 1100), (1120, 1383)]),
        "one inside another": ([(700, 400), (800, 20)], [(500, 700), (1100, 1383)]),
        "two that overlap": ([(700, 200), (800, 200)], [(500, 700), (1000, 1383)]),
        "no width": ([(900, 0)], [(500, 900), (900, 1383)]),
        "no width, at the edges": ([(500, 0), (1383, 0)], [(500, 1383)]),
    }.values(),
)
def test_what_blocks_the_line_cuts_the_opening(obstacles, openings):
    add = {"obstacles": [obstacle(f"O{n}", *one) for n, one in enumerate(obstacles)]}
    assert spans(run_of(one_bar(add=add))) == openings


CUTS = ("stile", "partition", "hood", "window", "corner", "pipe", "fridge gap")
CARE = ("socket", "hob zone", "sink zone", "open side")


@pytest.mark.parametrize(("kind", "bars"), [*((k, 2) for k in CUTS), *((k, 1) for k in CARE)])
def test_some_kinds_cut_a_line_and_others_only_ask_for_care(kind, bars):
    assert len(run_of(one_bar(add={"obstacles": [obstacle("O1", 900, 20, kind)]})).bars) == bars


def test_an_obstacle_at_another_wall_cuts_nothing():
    wall = {"id": "B", "room": "K", "length": 3000}
    stile = obstacle("O1", 900, 20) | {"wall": "B"}
    assert len(run_of(one_bar(add={"walls": [wall], "obstacles": [stile]})).bars) == 1


def test_the_stile_of_a_face_frame_makes_two_bars_of_one_cabinet():
    # 845 clear in 883, a stile of 40 in the middle: 402.5 each side; 394.5 bar, 350 lit.
    job = one_bar(
        A1={"opening": [845], "underside": "framed"},
        add={"obstacles": [obstacle("O1", Decimal("921.5"), 40)]},
    )
    fit = run_of(job)
    again = redone("402.5", 2, 2, 10, 3, 50)
    assert [bar.length.value for bar in fit.bars] == [again.bar] * 2
    assert [bar.lit.value for bar in fit.bars] == [again.lit] * 2 == [350, 350]
    # Dark between the lit parts, by the stile's rule: stile + 2 (clearance + cap) + residues.
    dark = fit.bars[1].lit_left - fit.bars[0].lit_right
    assert dark == 40 + 2 * (2 + 2) + 3 + (10 + again.rest)
    (band,) = fit.bands
    assert (band.left_bar, band.right_bar, band.across.value) == ("R1.1", "R1.2", dark)


@pytest.mark.parametrize(
    ("thing", "mark", "left", "right"),
    [("O1", "at", True, True), ("O1", "width", False, True), ("A1", "at", True, True),
     ("A1", "opening", True, True), ("A1", "depth", False, False)],
)  # fmt: skip
def test_bars_beside_a_stile_are_as_sure_as_the_readings_they_stand_on(thing, mark, left, right):
    stile = {"obstacles": [obstacle("O1", 900, 40)]}
    fit = run_of(one_bar(add=stile, **{thing: {"assumed": [mark]}}))
    assert [bar.length.assumed for bar in fit.bars] == [left, right]


def test_a_joined_opening_does_not_stand_on_the_cabinet_in_its_middle():
    job = row(600, 600, 600, underside="flush", A2={"assumed": ["width"]})
    assert [bar.length.assumed for bar in run_of(job).bars] == [False]
    sure = row(600, 600, underside="flush", A2={"assumed": ["width"]})
    assert [bar.length.assumed for bar in run_of(sure).bars] == [True]


@pytest.mark.parametrize("clear", [70, "70.999999"])
def test_an_opening_that_takes_no_whole_unit_gets_no_bar(clear):
    # 50 + 10 + 3 + 8 = 71 mm is the least that takes one unit.
    fit = run_of(one_bar(A1={"opening": [Decimal(clear)]}))
    assert (fit.bars, [opening.clear.value for opening in fit.too_short]) == ((), [Decimal(clear)])


def test_an_opening_of_exactly_one_unit_gets_a_bar():
    bar = only_bar(A1={"opening": [71]})
    assert (bar.units.value, bar.lit.value, bar.rest.value) == (1, 50, 0)


# --- Several bars an opening -------------------------------------------------------------------


@pytest.mark.parametrize("pieces", [2, 3, 4, 5, 6])
def test_an_opening_shared_between_bars_gives_equal_ones_to_the_tenth(pieces):
    fit = run_of(one_bar(A1={"width": 2000, "opening": [2000]}, R1={"pieces": pieces}))
    each = Fraction(floor(Fraction(2000, pieces) * 10), 10)
    assert [Fraction(bar.opening.clear.value) for bar in fit.bars] == [each] * pieces
    assert spans(fit)[0][0] == 500
    assert 2500 - spans(fit)[-1][1] < Decimal("0.1") * pieces
    again = redone(each, 2, 2, 10, 3, 50)
    assert [(bar.length.value, bar.units.value) for bar in fit.bars] == [
        (Decimal(again.bar.numerator) / again.bar.denominator, again.units)
    ] * pieces


def test_pieces_share_each_opening_of_a_run():
    fit = run_of(row(600, 800, R1={"pieces": 2}))
    assert [bar.id for bar in fit.bars] == ["R1.1", "R1.2", "R1.3", "R1.4"]
    assert spans(fit) == [(518, 800), (800, 1082), (1118, 1500), (1500, 1882)]


# --- Missing parts, several walls --------------------------------------------------------------


@pytest.mark.parametrize("field", ["channel", "strip"])
@pytest.mark.parametrize("allowances", [{}, {"cap_thickness": 2}])
def test_a_run_of_an_unknown_part_gets_no_bars(field, allowances):
    assert run_of(one_bar(R1={field: "no-such-part"}, allowances=allowances)).bars == ()


def test_a_run_over_two_walls_goes_in_the_order_of_the_walls():
    walls = [{"id": wall, "room": "K", "length": 3000} for wall in ("B", "A")]
    job = one_bar(
        drop=["A"],
        add={"walls": walls, "cabinets": [{"id": "B1", "wall": "B", "at": 900, "width": 600,
                                           "depth": 320, "bottom_height": 1400}]},
        R1={"cabinets": ["A1", "B1"]},
    )  # fmt: skip
    assert [(bar.wall, bar.opening.left) for bar in run_of(job).bars] == [("B", 900), ("A", 500)]


# --- Facts that hold for every run ---------------------------------------------------------------


@pytest.mark.property
@examples(50)
@given(survey())
def test_every_bar_obeys_the_rule_worked_out_in_fractions(job):
    unit = job.catalogue.strips[0].cut_unit
    said = job.allowances
    zones = (said.end_clearance, said.cap_thickness, said.start_zone, said.end_zone)
    fit = run_of(job)
    for bar in fit.bars:
        again = redone(bar.opening.clear.value, *zones, unit)
        ours = (bar.length, bar.units, bar.lit, bar.dark, bar.rest)
        theirs = (again.bar, again.units, again.lit, again.dark, again.rest)
        assert [Fraction(figure.value) for figure in ours] == [*theirs]
        # One more unit would not fit; at least one does.
        assert again.units >= 1
        assert again.lit + Fraction(unit) > again.bar - Fraction(said.start_zone + said.end_zone)
    for opening in fit.too_short:
        assert redone(opening.clear.value, *zones, unit).units < 1


@pytest.mark.property
@examples(50)
@given(survey())
def test_light_lies_in_bars_bars_in_openings_and_no_two_bars_meet(job):
    fit = run_of(job)
    said = job.allowances
    least_end = min(said.start_zone, said.end_zone)
    for bar in fit.bars:
        assert bar.opening.left <= bar.left < bar.right <= bar.opening.right
        assert bar.left + least_end <= bar.lit_left < bar.lit_right <= bar.right - least_end
        feed = bar.lit_left - bar.left if fit.run.feed_end == "left" else bar.right - bar.lit_right
        assert feed >= said.start_zone
        assert bar.lit_left - bar.left == bar.dark_left.value
        assert bar.right - bar.lit_right == bar.dark_right.value
        assert bar.dark_left.value + bar.dark_right.value == bar.dark.value
        assert bar.length.value <= fit.longest.value
    for band, one, other in zip(fit.bands, fit.bars[:-1], fit.bars[1:], strict=True):
        assert (band.left_bar, band.right_bar) == (one.id, other.id)
        assert band.across.value == other.lit_left - one.lit_right
    for one, next_one in zip(fit.bars, fit.bars[1:], strict=False):
        assert one.opening.right <= next_one.opening.left
        assert one.right <= next_one.left
    for bar in fit.bars:
        for stile in job.obstacles:
            assert stile.at >= bar.right or stile.at + stile.width <= bar.left


def light_of(job: Job) -> Decimal:
    return sum((Decimal(bar.lit.value) for bar in run_of(job).bars), Decimal(0))


@pytest.mark.property
@examples(50)
@given(survey(), st.integers(0, 6000), st.integers(0, 80))
def test_a_stile_more_never_gives_more_light(job, at, width):
    # A run that is cut for its length may be cut better by a stile, so these are left out.
    cut = {bar.opening.clear.formula_id for bar in run_of(job).bars}
    assume(job.runs[0].pieces == 1 and "split opening" not in cut)
    stile = obstacle("O9", at, width)
    tables = job.model_dump()
    tables["obstacles"] = [*tables["obstacles"], stile]
    assert light_of(Job.model_validate(tables)) <= light_of(job)


@pytest.mark.property
@examples(50)
@given(survey())
def test_the_feed_end_and_the_dark_rest_move_light_but_change_no_bar(job):
    def bars(**choice):
        run = job.runs[0].model_copy(update=choice)
        return run_of(job.model_copy(update={"runs": (run,)})).bars

    whole = bars()
    for feed_end in ("left", "right"):
        for rest in ("feed end", "far end", "shared"):
            again = bars(feed_end=feed_end, dark_rest=rest)
            assert [(bar.left, bar.length, bar.lit) for bar in again] == [
                (bar.left, bar.length, bar.lit) for bar in whole
            ]
