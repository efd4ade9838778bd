"""Where bars round a corner of the room come to lie, by vectors.

The vectors are complex numbers: wall A goes along the real line to its end at 3000, the imaginary
part is out into the room, and wall B goes on from there, turned by what the corner is off straight.
"""

import cmath
import math

import pytest
from corners import LENGTH, MEETINGS, corner, pair, run_of

from pelmet.model.job.job import Job

FACE = 17
CAP, CLEARANCE, GAP = 2, 2, 3
TENTH = 0.1 + 1e-6  # places round a corner are kept to the tenth
INSIDE = (60, 75, 90, 100, 120, 135, 150)
OUTSIDE = (210, 225, 240, 270, 300)


class Vectors:
    """Points of the plan from places along the two walls and out from them."""

    def __init__(self, job: Job) -> None:
        degrees = float(job.walls[0].corner_degrees)
        self.along_b = cmath.exp(1j * math.radians(180 - degrees))
        # A front line's middle is 40 + 17 / 2 behind the front of its own wall's cabinet.
        self.out_a, self.out_b = (float(cabinet.depth) - 48.5 for cabinet in job.cabinets)

    def on_a(self, at: float, out: float) -> complex:
        return complex(at, out)

    def on_b(self, at: float, out: float) -> complex:
        return LENGTH + self.along_b * complex(at, out)

    def off_b(self, point: complex) -> tuple[float, float]:
        """Give a point as its place along wall B and out from it."""
        turned = (point - LENGTH) / self.along_b
        return turned.real, turned.imag


# --- Vectors: where bars come to lie --------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", [*INSIDE, *OUTSIDE])
@pytest.mark.parametrize("depths", [(320, 320), (320, 280), (280, 350)])
def test_mitred_bars_end_where_their_middles_cross_and_their_edges_meet(degrees, depths):
    job = corner(degrees, "mitre", A1={"depth": depths[0]}, B1={"depth": depths[1]})
    before, after = pair(job)
    plan = Vectors(job)
    far = [TENTH / abs(math.sin(math.radians(degrees)))] * 2
    end = plan.on_a(float(before.right), plan.out_a)
    start = plan.on_b(float(after.left), plan.out_b)
    assert abs(end - start) <= sum(far)
    for row, side in enumerate((-1, 1)):  # the wall's edge, the room's edge
        tip = plan.on_a(float(before.left) + float(before.points[row].value),
                        plan.out_a + side * FACE / 2)  # fmt: skip
        other = plan.on_b(float(after.right) - float(after.points[row].value),
                          plan.out_b + side * FACE / 2)  # fmt: skip
        assert abs(tip - other) <= sum(far)
    assert before.points[degrees > 180].value > before.length.value


@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", [*INSIDE, *OUTSIDE])
@pytest.mark.parametrize("depths", [(320, 320), (320, 280), (280, 350)])
@pytest.mark.parametrize("passes", ["first", "second"])
def test_a_butted_bar_stays_the_gap_off_the_one_that_passes(degrees, depths, passes):
    job = corner(degrees, f"{passes} passes", A1={"depth": depths[0]}, B1={"depth": depths[1]})
    before, after = pair(job)
    plan = Vectors(job)
    sides = (-1, 1)
    if passes == "first":
        ends = [plan.on_b(float(after.left) - CAP, plan.out_b + side * FACE / 2) for side in sides]
        outs = [end.imag - plan.out_a for end in ends]
    else:
        ends = [plan.on_a(float(before.right) + CAP, plan.out_a + side * FACE / 2)
                for side in sides]  # fmt: skip
        outs = [plan.off_b(end)[1] - plan.out_b for end in ends]
    gaps = [(out if degrees < 180 else -out) - FACE / 2 for out in outs]
    assert GAP - 1e-6 <= min(gaps) <= GAP + TENTH


@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", INSIDE)
@pytest.mark.parametrize("passes", ["first", "second"])
def test_inside_a_bar_that_passes_stops_short_of_the_other_wall(degrees, passes):
    job = corner(degrees, f"{passes} passes")
    before, after = pair(job)
    plan = Vectors(job)
    off = []
    for side in (-1, 1):
        if passes == "first":
            along = float(before.right) + CAP + CLEARANCE
            off.append(plan.off_b(plan.on_a(along, plan.out_a + side * FACE / 2))[1])
        else:
            along = float(after.left) - CAP - CLEARANCE
            off.append(plan.on_b(along, plan.out_b + side * FACE / 2).imag)
    # With its cap and its clearance it just touches, or ends at its own cabinet's end.
    assert min(off) >= -1e-6
    own = before.opening.right == LENGTH if passes == "first" else after.opening.left == 0
    assert own or min(off) <= TENTH


@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", OUTSIDE)
@pytest.mark.parametrize("passes", ["first", "second"])
def test_outside_a_bar_that_passes_goes_to_the_room_s_edge_of_the_other(degrees, passes):
    job = corner(degrees, f"{passes} passes")
    before, after = pair(job)
    plan = Vectors(job)
    beyond = []
    for side in (-1, 1):
        if passes == "first":
            along = float(before.right) + CAP + CLEARANCE
            beyond.append(plan.off_b(plan.on_a(along, plan.out_a + side * FACE / 2))[1])
        else:
            along = float(after.left) - CAP - CLEARANCE
            beyond.append(plan.on_b(along, plan.out_b + side * FACE / 2).imag)
    edge = (plan.out_b if passes == "first" else plan.out_a) + FACE / 2
    assert edge - TENTH <= max(beyond) <= edge + 1e-6


# --- Dark round the corner ------------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", [90, 120, 135, 225, 270])
@pytest.mark.parametrize("meeting", MEETINGS)
def test_the_dark_round_a_corner_is_from_light_over_the_crossing_to_light(degrees, meeting):
    job = corner(degrees, meeting)
    before, after = pair(job)
    plan = Vectors(job)
    # The crossing of the lines, as a second method: A's line solved for its place out from B.
    cosine, sine = plan.along_b.real, plan.along_b.imag
    on_b = (plan.out_a - plan.out_b * cosine) / sine
    on_a = plan.on_b(on_b, plan.out_b).real
    # Light that goes on past the crossing leaves nothing dark on its own line.
    dark = max(on_a - float(before.lit_right), 0) + max(float(after.lit_left) - on_b, 0)
    (band,) = run_of(job).bands
    assert (band.left_bar, band.right_bar) == (before.id, after.id)
    assert float(band.across.value) == pytest.approx(dark, abs=0.2)
