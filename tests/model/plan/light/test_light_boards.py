"""Boards, corners and planes: whole plans against rays that are tried one by one."""

from itertools import pairwise
from math import cos, pi, radians, sin
from typing import Any

import numpy as np
import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import Fields, one_bar, row
from scipy.integrate import quad

from pelmet.model.job.job import Job
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

DULL = {"splashback_percent": 0}
BLACK = {"worktop_percent": 0, **DULL}
Solid = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


def shelf(item_id: str, bottom: float, **more: Any) -> Fields:
    """A shelf as wide as the one cabinet, 25 thick and 250 deep."""
    return {"id": item_id, "wall": "A", "kind": "shelf", "at": 500, "width": 883, "depth": 250,
            "bottom_height": bottom, "height": 25, **more}  # fmt: skip


def solid(cabinet: Any) -> Solid:
    """Where a board is: out, along, up [m]."""
    at, bottom = float(cabinet.at) / 1000, float(cabinet.bottom_height) / 1000
    return (
        (0.0, float(cabinet.depth) / 1000),
        (at, at + float(cabinet.width) / 1000),
        (bottom, bottom + float(cabinet.height) / 1000),
    )


def met(start: np.ndarray, end: np.ndarray, box: Solid) -> bool:
    """Say if the straight way from one point to another goes through a box."""
    near, far = 1e-9, 1 - 1e-9
    for at, to, (low, high) in zip(start, end, box, strict=True):
        if abs(to - at) < 1e-15:
            if not low < at < high:
                return False
            continue
        one, other = sorted(((low - at) / (to - at), (high - at) / (to - at)))
        near, far = max(near, one), min(far, other)
    return near < far


def lux(
    point: np.ndarray, ends: tuple[np.ndarray, np.ndarray], lumens: float, boxes: list[Solid]
) -> float:
    """Light a level point by a Lambert strip that looks down, past boards, piece by piece."""
    way = ends[1] - ends[0]
    length = float(np.linalg.norm(way))

    def each(at: float) -> float:
        source = ends[0] + way * at
        ray = source - point
        square = float(ray @ ray)
        seen = not any(met(point, source, box) for box in boxes)
        return float(seen) * ray[2] ** 2 / square**2

    edges = np.linspace(0, 1, 400)
    seen = [not any(met(point, ends[0] + way * at, box) for box in boxes) for at in edges]
    turns = []
    for (one, other), (low, high) in zip(pairwise(seen), pairwise(edges), strict=True):
        if one != other:  # where a board's edge crosses the way: by halving
            a, b = low, high
            for _ in range(40):
                middle = (a + b) / 2
                same = (not any(met(point, ends[0] + way * middle, box) for box in boxes)) == one
                a, b = (middle, b) if same else (a, middle)
            turns.append(a)
    marks = [0.0, *turns, 1.0]
    parts = (quad(each, *part, epsabs=1e-10)[0] for part in pairwise(marks))
    return lumens / pi * length * sum(parts)


def strips(plan: Plan) -> dict[str, tuple[tuple[np.ndarray, np.ndarray], float]]:
    """Where each level bar of wall A is lit [m], and what it gives [lm/m]."""
    found = {}
    lumens = {one.about: float(one.value) for light in plan.lights for one in light.least.inputs
              if one.name == "lumens"}  # fmt: skip
    for bar, mount in zip(plan.bars, plan.mounts, strict=True):
        out, up = float(mount.from_wall.value) / 1000, float(mount.height.value) / 1000
        ends = (np.array([out, float(at) / 1000, up]) for at in (bar.lit_left, bar.lit_right))
        found[bar.id] = (tuple(ends), lumens[bar.id])
    return found


def told(plan: Plan, run: str) -> dict[str, RunLight]:
    return {light.plane.on or light.plane.use: light for light in plan.lights if light.run == run}


def expect(plan: Plan, light: RunLight) -> None:
    """Hold direct light against rays past everything that stands on wall A."""
    boxes = [solid(each) for each in plan.job.cabinets if each.wall == "A"]
    level = light.plane.height / 1000
    for (x, y), found in zip(light.cells.points, light.lux, strict=True):
        point = np.array([x, y, level])
        law = sum(lux(point, ends, gives, boxes) for ends, gives in strips(plan).values())
        assert found == pytest.approx(law, rel=1e-6, abs=1e-6)


# --- Boards in between ----------------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize(
    "board",
    [
        shelf("A2", 1100),
        shelf("A2", 1100, at=700, width=300),
        shelf("A2", 1150, at=100, width=700, depth=180, height=100),
        shelf("A2", 1300, at=1383, width=400, depth=320, height=700, kind="wall cabinet"),
        shelf("A2", 920, at=900, width=20, depth=320, height=470),
    ],
)  # fmt: skip
def test_light_past_a_board_is_that_of_the_rays_that_pass_it(board):
    plan = plan_job(one_bar(K=BLACK, A1={"lip": 0}, add={"cabinets": [board]}))
    for light in plan.lights:
        expect(plan, light)


@pytest.mark.cross_check
def test_boards_that_hide_the_same_part_hide_it_once():
    boards = [shelf("A2", 1100, width=500), shelf("A3", 1200, at=700, width=400),
              shelf("A4", 1000, at=600, width=100, depth=100)]  # fmt: skip
    plan = plan_job(one_bar(K=BLACK, A1={"lip": 0}, add={"cabinets": boards}))
    for light in plan.lights:
        expect(plan, light)


def shelves(count: int = 3, **how: Any) -> Job:
    """Shelves over each other, a run under each."""
    boards = [shelf(f"S{row}", 1900 - 330 * row, depth=300) for row in range(count)]
    runs = [{"id": f"R{row + 2}", "cabinets": [f"S{row}"], "leg": None} for row in range(count)]
    return one_bar(drop=["A1", "R1", "S1", "L1"],
                   add={"cabinets": boards, "runs": runs}, **how)  # fmt: skip


@pytest.mark.regression
def test_each_of_three_shelves_lights_what_lies_below_it():
    plan = plan_job(shelves(K=BLACK))
    planes = [(light.run, light.plane.use, light.plane.on) for light in plan.lights]
    assert planes == [("R2", "shelf", "S1"), ("R3", "shelf", "S2"), ("R4", "worktop", "")]
    first, second, last = plan.lights
    assert first.plane.height == 1900 - 330 + 25
    assert first.plane.depth == 300
    assert last.plane.height == 910
    for light in plan.lights:
        expect(plan, light)
    # Equal bays: what hangs higher adds what passes before the shelf's edge, no more.
    assert float(second.average.value) == pytest.approx(float(first.average.value), rel=0.05)


@pytest.mark.regression
def test_a_shelf_without_light_shades_the_worktop_and_is_lit_itself():
    bare = one_bar(K=BLACK, A1={"lip": 0})
    (open_,) = plan_job(bare).lights
    found = told(plan_job(one_bar(K=BLACK, A1={"lip": 0},
                                  add={"cabinets": [shelf("A2", 1100)]})), "R1")  # fmt: skip
    assert found.keys() == {"A2", "worktop"}
    assert float(found["worktop"].average.value) < 0.7 * float(open_.average.value)
    assert float(found["A2"].average.value) > float(open_.average.value)  # it lies nearer


@pytest.mark.property
@examples(15)
@given(st.integers(920, 1340), st.integers(0, 1400), st.integers(20, 1500), st.integers(20, 600))
def test_a_board_never_adds_direct_light_to_what_lies_under_it(bottom, at, width, depth):
    job = one_bar(K=BLACK, A1={"lip": 0})
    (open_,) = plan_job(job).lights
    board = shelf("A2", bottom, at=at, width=width, depth=depth)
    plan = plan_job(one_bar(K=BLACK, A1={"lip": 0}, add={"cabinets": [board]}))
    for light in plan.lights:
        if light.plane.use == "worktop":
            assert light.lux == tuple(
                pytest.approx(min(one, before), abs=1e-9)
                for one, before in zip(light.lux, open_.lux, strict=True)
            )


def test_a_board_lower_than_what_it_could_shade_changes_nothing():
    (plain,) = plan_job(one_bar()).lights
    base = shelf("B1", 100, height=770, kind="wall cabinet", depth=560)
    (found,) = plan_job(one_bar(add={"cabinets": [base]})).lights
    assert found.lux == plain.lux


# --- Other walls ----------------------------------------------------------------------------------


def cornered(degrees: float = 90, **how: Any) -> Job:
    """A cabinet right of the middle of wall A, another on wall B after the corner."""
    base = {"id": "B1", "wall": "B", "at": 400, "width": 600, "opening": [600], "depth": 320,
            "bottom_height": 1400}  # fmt: skip
    extra = {
        "walls": [{"id": "B", "room": "K", "length": 2000}],
        "cabinets": [base],
        "runs": [{"id": "R2", "cabinets": ["B1"], "leg": "L1"}],
    }
    return one_bar(A={"length": 1700, "corner_degrees": degrees}, add=extra, **how)


@pytest.mark.regression
@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", [90, 135, 120, 180])
def test_bars_round_a_corner_add_what_their_rays_bring(degrees):
    plan = plan_job(cornered(degrees, K=BLACK, A1={"lip": 0}))
    turn = radians(180 - degrees)
    # Along wall B, and out of it, as seen from wall A (out, along).
    along, out = np.array([sin(turn), cos(turn)]), np.array([cos(turn), -sin(turn)])
    corner = np.array([0.0, 1.7])
    (own, gives), (other, brings) = strips(plan).values()
    placed = tuple(np.array([*(corner + along * end[1] + out * end[0]), end[2]]) for end in other)
    (light,) = (each for each in plan.lights if each.run == "R1")
    for (x, y), found in zip(light.cells.points, light.lux, strict=True):
        point = np.array([x, y, 0.91])
        law = lux(point, own, gives, []) + lux(point, placed, brings, [])
        assert found == pytest.approx(law, rel=1e-6)


@pytest.mark.property
def test_walls_are_opaque_round_an_outside_corner():
    """Nothing comes through a wall: of a bar behind it only what passes the corner."""
    plan = plan_job(cornered(270, K={**BLACK, "worktop_depth": 900}, A1={"lip": 0}))
    (light,) = (each for each in plan.lights if each.run == "R1")
    (own, gives), (other, brings) = strips(plan).values()
    # Wall B goes away from the room at the corner: along it is -out, out of it is +along.
    placed = tuple(np.array([-end[1], 1.7 + end[0], end[2]]) for end in other)
    wall_a: Solid = ((-0.001, 0.0), (0.0, 1.7), (-9, 9))
    wall_b: Solid = ((-2.0, 0.0), (1.699, 1.7), (-9, 9))
    for (x, y), found in zip(light.cells.points, light.lux, strict=True):
        point = np.array([x, y, 0.91])
        law = lux(point, own, gives, []) + lux(point, placed, brings, [wall_a, wall_b])
        assert found == pytest.approx(law, rel=1e-6, abs=1e-9)


def test_a_wall_three_corners_away_does_not_count():
    walls = [{"id": name, "room": "K", "length": 3000} for name in "BCD"]
    cabinet = {"id": "D1", "wall": "D", "at": 500, "width": 600, "opening": [600], "depth": 320,
               "bottom_height": 1400}  # fmt: skip
    extra = {"walls": walls, "cabinets": [cabinet],
             "runs": [{"id": "R2", "cabinets": ["D1"], "leg": None}]}  # fmt: skip
    open_chain = {"A": {"length": 2900}}
    job = one_bar(add=extra, **open_chain)
    alone = one_bar(**open_chain)
    (light,) = (each for each in plan_job(job).lights if each.run == "R1")
    assert light.lux == plan_job(alone).lights[0].lux


# --- What is in use -------------------------------------------------------------------------------


def test_where_there_is_no_worktop_nothing_is_told_of_one():
    for use, planes in (
        ("shelf", []),
        ("floor", [("floor", 0.0)]),
        ("worktop", [("worktop", 910)]),
    ):
        plan = plan_job(one_bar(K={"in_use": use}))
        assert [(light.plane.use, light.plane.height) for light in plan.lights] == planes


def test_a_wall_says_otherwise_than_its_room_and_a_cabinet_than_its_wall():
    tall = row(600, 600, A={"in_use": "floor"}, A2={"in_use": "worktop"})
    found = plan_job(tall).lights
    assert [light.plane.use for light in found] == ["floor", "worktop"]
    assert found[0].plane.right == found[1].plane.left


@pytest.mark.cross_check
def test_clothes_on_a_rail_are_lit_as_by_rays_that_meet_them():
    plan = plan_job(one_bar(K={**BLACK, "in_use": "hanging"}, A1={"lip": 0}))
    (light,) = plan.lights
    ((own, gives),) = strips(plan).values()
    assert (light.plane.upright, light.plane.out, light.plane.height) == (True, 160, 1392)
    # So near to them the light is told as the mean over each cell.
    nodes, weights = np.polynomial.legendre.leggauss(16)
    deep, wide = 2 * light.cells.xs[0], light.cells.ys[1] - light.cells.ys[0]
    for (down, along), found in zip(light.cells.points, light.lux, strict=True):
        z = (down + deep / 2 * nodes)[:, None, None]
        y = (along + wide / 2 * nodes)[None, :, None]
        half = (own[1][1] - own[0][1]) / 2
        at = own[0][1] + half * (1 + np.polynomial.legendre.leggauss(64)[0])
        out = own[0][0] - 0.16
        each = z * out / (out**2 + z**2 + (at - y) ** 2) ** 2
        along_it = half * (each @ np.polynomial.legendre.leggauss(64)[1])
        mean = weights @ along_it @ weights / 4
        assert found == pytest.approx(gives / pi * mean, rel=1e-5)


@pytest.mark.cross_check
@pytest.mark.parametrize("use", ["hanging", "shelf"])
def test_uprights_light_what_they_face(use):
    panel = {"wall": "A", "kind": "upright", "width": 18, "depth": 560, "bottom_height": 100,
             "height": 1900, "in_use": use}  # fmt: skip
    panels = [{"id": f"U{row}", "at": 500 + 782 * row, **panel} for row in range(2)]
    board = shelf("A2", 900, at=518, width=764, depth=300)
    job = one_bar(drop=["A1"], K=BLACK, add={"cabinets": [*panels, board]},
                  R1={"cabinets": ["U0", "U1"]}, S1={"cabinet": "U0"})  # fmt: skip
    plan = plan_job(job)
    (light,) = plan.lights
    assert light.plane.upright
    out = light.plane.out / 1000
    assert out == {"hanging": 0.28, "shelf": 0.3}[use]
    boxes = [solid(each) for each in plan.job.cabinets if each.kind == "shelf"]
    lumens = {one.about: float(one.value) for one in light.least.inputs if one.name == "lumens"}
    for (down, y), found in list(zip(light.cells.points, light.lux, strict=True))[::5]:
        point = np.array([out, y, light.plane.height / 1000 - down])
        law = 0.0
        for bar, mount in zip(plan.bars, plan.mounts, strict=True):
            x, at = float(mount.from_wall.value) / 1000, float(mount.at) / 1000

            def each(z: float, x: float = x, at: float = at, point: np.ndarray = point) -> float:
                source = np.array([x, at, z])
                ray = source - point
                seen = not any(met(point, source, box) for box in boxes)
                return float(seen) * ray[0] ** 2 / float(ray @ ray) ** 2

            ends = float(bar.lit_left) / 1000, float(bar.lit_right) / 1000
            law += lumens[bar.id] / pi * quad(each, *ends, epsabs=1e-7, limit=400)[0]
        assert found == pytest.approx(law, rel=2e-3, abs=1e-6)


# --- Windows --------------------------------------------------------------------------------------


@pytest.mark.regression
def test_a_window_gives_nothing_back_over_its_own_height():
    glass = {"id": "O1", "wall": "A", "kind": "window", "at": 0, "width": 3000}

    def bounced(**window: Any) -> float:
        job = one_bar(A1={"bottom_height": 1500}, add={"obstacles": [{**glass, **window}]})
        (light,) = plan_job(job).lights
        return sum(light.bounced)

    (plain,) = plan_job(one_bar(A1={"bottom_height": 1500})).lights
    whole = sum(plain.bounced)
    assert bounced(bottom_height=1600, height=900) == pytest.approx(whole)
    assert bounced(bottom_height=200, height=700) == pytest.approx(whole)
    assert bounced(bottom_height=910, height=590) == pytest.approx(0, abs=1e-9)
    low, high = bounced(bottom_height=910, height=290), bounced(bottom_height=1200, height=300)
    assert 0 < low < whole
    assert 0 < high < whole
    # Its halves together keep off what it keeps off whole, but for what they light each other.
    assert whole - low + whole - high == pytest.approx(whole, rel=0.1)
