"""Bars that stand upright on a panel: heights instead of places along the wall."""

from decimal import Decimal
from math import ceil
from typing import Any

import pytest
from cables import FLOOR, cut, exact, routes, ways
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import Fields, obstacle, one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.ways.routes import Link

D = Decimal
# From 80 to 2280; a bar has a cap and clearance at either end: 84 to 2276, 2192 long.
PANEL = {"kind": "upright", "width": 18, "bottom_height": 80, "height": 2200, "opening": ()}


def upright(**how: Any) -> Job:
    """The one bar on an upright at 500."""
    return one_bar(A1=PANEL | how.pop("A1", {}), **how)


def run_of(job: Job) -> RunFit:
    return plan_job(job).fits[0]


def only_bar(job: Job) -> Bar:
    (bar,) = run_of(job).bars
    return bar


def two(gap: float = 582, *obstacles: Fields, **how: Any) -> Job:
    """Two uprights, at 500 and this far on."""
    panels = {"A1": PANEL, "A2": PANEL}
    return row(18, 18, gap=gap, add={"obstacles": list(obstacles)}, **panels, **how)


def test_a_bar_stands_between_the_ends_of_its_panel():
    bar = only_bar(upright())
    assert bar.upright
    assert (bar.opening.left, bar.opening.right) == (80, 2280)
    assert (bar.left, bar.right, bar.length.value) == (84, 2276, 2192)
    # (2192 - 10 - 3) / 50 is 43 and 29 to spare, at the feed's end: the lower one is the left.
    assert (bar.units.value, bar.lit.value, bar.rest.value) == (43, 2150, 29)
    assert (bar.dark_left.value, bar.dark_right.value) == (39, 3)
    assert (bar.lit_left, bar.lit_right) == (123, 2273)


def test_the_upper_end_is_the_right_one():
    bar = only_bar(upright(R1={"feed_end": "right"}))
    assert (bar.dark_left.value, bar.dark_right.value) == (3, 39)


def test_a_reading_is_a_clear_height_half_way_up_the_panel():
    bar = only_bar(upright(A1={"opening": [2164, 2165]}))
    assert (bar.opening.left, bar.opening.right) == (98, 2262)
    assert bar.length.value == 2164 - 8


def test_a_height_nobody_measured_leaves_its_mark():
    assert only_bar(upright(A1={"assumed": ["height"]})).length.assumed
    assert not only_bar(upright(A1={"assumed": ["width"]})).length.assumed


@pytest.mark.parametrize(
    ("line", "out"), [("front", 320 - 40 - D("8.5")), ("middle", 160), ("back", D("38.5")),
                      ("edge", 320 + D("8.5"))]
)  # fmt: skip
def test_it_is_in_the_middle_of_the_panel_s_thickness_and_on_the_chosen_line(line, out):
    (mount,) = plan_job(upright(R1={"line": line})).mounts
    assert (mount.from_wall.value, mount.at) == (out, 500 + 9)
    assert mount.height.value == (84 + 2276) / 2


def test_what_stands_at_the_wall_does_not_cut_it():
    stile = obstacle("O1", 400, 300)
    assert len(run_of(upright(add={"obstacles": [stile]})).bars) == 1


def test_it_is_split_when_it_is_too_long():
    fit = run_of(upright(A1={"height": 3100}))
    assert [(bar.opening.left, bar.opening.right) for bar in fit.bars] == [(80, 1630), (1630, 3180)]
    assert all(bar.upright for bar in fit.bars)


def test_an_upright_joins_no_line_of_light_under_cabinets():
    flush = {"underside": "flush", "bottom_height": 1400}
    job = row(600, 18, 600, underside="flush", A2=PANEL | {"height": 1320} | flush)
    first, panel, last = run_of(job).bars
    assert [bar.upright for bar in (first, panel, last)] == [False, True, False]
    assert (first.opening.right, last.opening.left) == (1100, 1118)


def test_it_lights_no_worktop_and_has_its_watts():
    plan = plan_job(upright())
    assert plan.lights == ()
    assert float(plan.circuits.watts["R1.1"].value) == pytest.approx(2.15 * 9.6)
    # A run with a level bar too has that one's light.
    panel = PANEL | {"id": "A2", "wall": "A", "at": 1500, "depth": 320}
    both = one_bar(add={"cabinets": [panel]}, R1={"cabinets": ["A1", "A2"]})
    (lit,), (alone,) = (plan_job(each).lights for each in (both, one_bar()))
    assert lit.cells == alone.cells
    fed = float(lit.least.inputs[0].value) / float(alone.least.inputs[0].value)  # by their volts
    # The panel keeps a little of what the wall beyond it gave back.
    assert lit.lux == pytest.approx([lux * fed for lux in alone.lux], rel=2e-3)


def test_two_uprights_have_no_dark_in_line_between_them():
    assert run_of(two()).bands == ()


def test_two_bars_of_one_upright_have():
    (band,) = run_of(upright(R1={"pieces": 2})).bands
    # Halves of 1100: (1092 - 13) / 50 is 21 and 29 to spare. 3 + 2 x 4 + 39.
    assert band.across.value == 3 + 8 + 39


# --- Cables ---------------------------------------------------------------------------------------


# From a panel's left face, 40 out, to a bar in the middle of its thickness, 271.5 out.
TO_UPRIGHT = 9 + (271.5 - 40)


@pytest.mark.parametrize(("feed_end", "height"), [("left", 84), ("right", 2276)])
def test_a_lead_comes_from_a_cabinet_that_stands_against_the_panel(feed_end, height):
    # A1 ends at 1383, where the panel A2 starts; the supply is in the middle of A1, 1400 up.
    panel = PANEL | {"id": "A2", "wall": "A", "at": 1383, "depth": 320}
    run = {"cabinets": ["A2"], "feed_end": feed_end}
    (lead,) = routes(one_bar(**exact(add={"cabinets": [panel]}, R1=run))).leads
    # To the hole at 1343 and down, on to the panel's face, down or up that, and out.
    way = (1343 - 941.5) + 120 + FLOOR + (1383 - 1343) + abs(1400 - height) + TO_UPRIGHT
    assert float(lead.length.value) == cut(way)
    assert ways(lead) == ["inside", "through", "under", "up", "under"]


def test_a_bar_on_the_far_face_is_come_to_through_the_panel_or_round_it():
    # A shelf on each side; the supply is on the left one, the light on the right.
    shelf = {"kind": "shelf", "height": 25, "underside": "flush", "opening": ()}
    job = row(600, 18, 600, **exact(A1=shelf, A2=PANEL, A3=shelf, R1={"cabinets": ["A3"]}))
    (lead,) = routes(job).leads
    drilled = [hole.panel for way in lead.ways for hole in way.drillings]
    assert drilled.count("upright") == 1


def link(*obstacles: Fields, gap: float = 582, **how: Any) -> Link:
    (only,) = routes(two(gap, *obstacles, **how)).links
    return only


def test_two_uprights_far_apart_are_linked_in_the_wall():
    found = link(**exact())
    assert "in wall" in ways(found.cable)
    # From the top of one to the foot of the other, 600 on; by the panels' ends it is 16 more.
    least = 2 * TO_UPRIGHT + (2276 - 84) + 600
    assert cut(least) <= float(found.length.value) <= cut(least + 16)


def test_from_foot_to_foot_a_cable_does_not_go_over_the_top():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    job = row(
        18, 18, gap=582, **exact(A1=PANEL, A2=PANEL, R1={"cabinets": ["A1"]},
                                 L1={"length": 1000}, add={"runs": [second]})
    )  # fmt: skip
    branch = routes(job).leads[1]
    assert float(branch.length.value) <= cut(2 * TO_UPRIGHT + 600 + 100)


def test_a_window_between_two_uprights_is_in_the_way():
    window = obstacle("O1", 600, 400, "window", crossing="none")
    found = link(window)
    assert (found.obstacles, found.crossing, found.cable) == (("O1",), "none", None)


def test_what_stands_far_along_the_wall_is_not_between_two_bars_of_one_upright():
    # The bars part 1180 up; the stile is 1170 along, and this is the upright at 500.
    stile = obstacle("O1", 1170, 40, crossing="none")
    (found,) = routes(upright(R1={"pieces": 2}, add={"obstacles": [stile]})).links
    assert (found.obstacles, found.cable is None) == ((), False)


# --- Facts that hold for every upright ------------------------------------------------------------


@pytest.mark.property
@examples(50)
@given(
    st.integers(0, 2000),
    st.integers(80, 2900),
    st.sampled_from([25, 50, 100]),
    st.sampled_from(["left", "right"]),
    st.integers(1, 3),
)
def test_light_stands_in_bars_and_bars_on_their_panel(bottom, height, unit, feed_end, pieces):
    job = upright(
        A1={"bottom_height": bottom, "height": height},
        R1={"strip": "mine", "feed_end": feed_end, "pieces": pieces},
        parts={"strips": [part("strips", "mine", cut_unit=unit)]},
    )
    fit = run_of(job)
    assert len(fit.bars) + len(fit.too_short) == pieces
    for bar in fit.bars:
        assert bottom <= bar.opening.left <= bar.left <= bar.lit_left
        assert bar.lit_right <= bar.right <= bar.opening.right <= bottom + height
        assert bar.lit.value == unit * ((bar.length.value - 13) // unit)
    total = sum(bar.length.value for bar in fit.bars)
    assert total <= height - 8 * len(fit.bars)
    assert ceil(total) <= height
