"""Every hole is in a panel that is there, with room for a drill, on a side that a hand reaches.

The plan is drawn here once more, in complex numbers: along the page, and down it as the second
part. Corners, depths and what stands how far from a corner are drawn at random.
"""

from cmath import exp
from itertools import pairwise
from math import cos, pi
from typing import NamedTuple

import pytest
from draws import examples
from hypothesis import assume, given
from hypothesis import strategies as st
from jobs import Fields, built, obstacle, row

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.plan.ways.place import Drilling, Way

LONG = 3000.0
DEEP = 320
ROOM = 200.0  # for a drill
PANEL = 18.0


def two(degrees: float, a1: Fields, b1: Fields, **how: Fields) -> Job:
    """Give a cabinet on each of two walls, the supply in the first and the run below the second."""
    cabinet = {"width": 600, "depth": DEEP, "bottom_height": 1400}
    return built(
        {
            "rooms": [{"id": "K", "name": "Invented room"}],
            "walls": [{"id": "A", "room": "K", "length": LONG, "corner_degrees": degrees},
                      {"id": "B", "room": "K", "length": LONG}],
            "cabinets": [{"id": "A1", "wall": "A", **cabinet, **a1},
                         {"id": "B1", "wall": "B", **cabinet, **b1}],
            "runs": [{"id": "R1", "cabinets": ["B1"], "leg": "L1"}],
            "supplies": [{"id": "S1", "cabinet": "A1"}],
            "legs": [{"id": "L1", "supply": "S1"}],
        },
        **how,
    )  # fmt: skip


def between(job: Job) -> list[Way]:
    """Give the ways from one cabinet to the other."""
    (net,) = plan_job(job).routes.networks.values()
    return [
        way
        for way in net.ways
        if {net.places[way.start].owner, net.places[way.end].owner} == {"A1", "B1"}
    ]


def inside(job: Job) -> list[tuple[Drilling, ...]]:
    return [way.drillings for way in between(job) if way.kind == "inside"]


# --- Round corners, by hand -----------------------------------------------------------------------


@pytest.mark.regression
@pytest.mark.parametrize("filler", [0, 45])
def test_where_the_next_cabinet_stands_against_the_first_its_side_alone_is_drilled(filler):
    # A1 goes into the corner: its right side is at wall B, where nobody can drill.
    ((hole,),) = inside(two(90, {"at": 2400}, {"at": 320 + filler}))
    assert hole[:5] == ("B1", "left side", LONG + 320 + filler, 40, 1456)
    assert (hole.hand, hole.on) == ("", "the front of A1")


@pytest.mark.regression
def test_where_the_first_stands_against_the_next_its_side_alone_is_drilled():
    ((hole,),) = inside(two(90, {"at": 2080}, {"at": 0}))
    assert hole[:5] == ("A1", "right side", 2680, 40, 1456)
    assert (hole.hand, hole.on) == ("", "the front of B1")


@pytest.mark.regression
def test_a_frame_in_a_blind_corner_is_drilled_at_its_front():
    framed = {"underside": "framed", "lip": 30}
    job = two(90, {"at": 2400, **framed}, {"at": 320, **framed})
    (under,) = [way for way in between(job) if way.kind == "under"]
    assert [hole[:4] for hole in under.drillings] == [
        ("A1", "stile", LONG - 40, DEEP),  # 40 out from wall B, as the other one is
        ("B1", "stile", LONG + 320, 40),
    ]


def test_in_the_wedge_of_a_blunt_corner_both_sides_are_drilled():
    # Fronts that meet: 320 tan(22.5) is 132.5 from the corner each.
    (holes,) = inside(two(135, {"at": 2267}, {"at": 133}))
    assert [hole[:4] for hole in holes] == [
        ("A1", "right side", 2867, 40), ("B1", "left side", LONG + 133, 40)
    ]  # fmt: skip


@pytest.mark.regression
def test_past_an_outside_corner_the_next_ones_side_stands_against_a_back():
    job = two(270, {"at": LONG + 320 - 600}, {"at": 0})
    ((hole,),) = inside(job)
    assert (hole.owner, hole.panel, hole.on) == ("B1", "left side", "the back of A1")
    assert all(lead.length for lead in plan_job(job).routes.leads)


@pytest.mark.regression
@pytest.mark.parametrize(("degrees", "at"), [(180, 2000), (270, 2100), (170, 2000), (135, 2000)])
def test_air_between_two_walls_cabinets_is_no_side_by_side(degrees, at):
    assert [way.kind for way in between(two(degrees, {"at": at}, {"at": 100}))] == ["in wall"]


def test_the_drill_list_says_that_a_hole_goes_on_through_a_blind_front():
    framed = {"underside": "framed", "lip": 5}
    found = plan_job(two(90, {"at": 2400, **framed}, {"at": 320, **framed})).holes
    (side,) = [hole for hole in found if hole.panel == "left side"]
    assert side.drilled == "from inside, on through the front of A1 if that is closed"
    assert float(side.across.value) == 0


# --- In a row, and above each other ---------------------------------------------------------------


@pytest.mark.regression
@pytest.mark.parametrize("gap", [0, 20])
def test_each_side_is_drilled_where_it_is(gap):
    stile = obstacle("O1", 1300, 20, crossing="over")
    job = row(600, 600, A2={"at": 1100 + gap}, add={"obstacles": [stile]},
              R1={"cabinets": ["A2"], "feed_end": "right"})  # fmt: skip
    (net,) = plan_job(job).routes.networks.values()
    (sides,) = [
        way.drillings for way in net.ways if len(way.drillings) > 1 and way.kind == "inside"
    ]
    assert [(hole.owner, hole.along) for hole in sides] == [("A1", 1100), ("A2", 1100 + gap)]


# Between panels of 18: 236 is 200 within.
@pytest.mark.parametrize(
    ("widths", "hands"),
    [
        ((236, 236), ("", "")),
        ((235, 236), ("A2", "")),
        ((600, 150), ("", "A1")),
        ((150, 150), None),
    ],
)
def test_a_narrow_cabinet_is_drilled_from_its_neighbour_or_not_at_all(widths, hands):
    (net,) = plan_job(row(*widths)).routes.networks.values()
    found = [way.drillings for way in net.ways if way.kind == "inside" and len(way.drillings) == 2]
    assert [tuple(hole.hand for hole in holes) for holes in found] == ([hands] if hands else [])


@pytest.mark.regression
@pytest.mark.parametrize(
    ("widths", "drilled", "flagged"),
    [
        ((600, 600), ["from the side that shows"] * 2, False),
        ((150, 600), ["from under A2", "from the side that shows"], False),
        ((150, 150), ["before it is hung"] * 2, True),
    ],
)
def test_a_link_through_narrow_frames_is_drilled_from_the_wider_or_before_they_hang(
    widths, drilled, flagged
):
    found = plan_job(row(*widths, gap=20)).holes
    stiles = [hole for hole in found if hole.panel == "stile"]
    assert [hole.drilled for hole in stiles] == drilled
    assert [float(hole.across.value) for hole in stiles] == [widths[0], 0]
    assert any("has no room" in flag for hole in stiles for flag in hole.flags) == flagged


def test_where_no_drill_gets_in_between_a_cable_goes_in_the_wall():
    shelf = {"kind": "shelf", "height": 25, "bottom_height": 1410, "width": 150}
    (net,) = plan_job(row(150, 150, A2=shelf)).routes.networks.values()
    ends = ((net.places[way.start].owner, net.places[way.end].owner, way) for way in net.ways)
    found = [way.kind for one, other, way in ends if {one, other} == {"A1", "A2"}]
    assert found == ["in wall"]


def above(bottom: int, height: int, **how: Fields) -> list[Hole]:
    """Give the holes in the floor of a cabinet over A1, whose top is at 2120, that feeds A1."""
    upper = {"id": "T1", "wall": "A", "at": 500, "width": 600, "depth": 320,
             "bottom_height": bottom, "height": height}  # fmt: skip
    found = plan_job(row(600, add={"cabinets": [upper]}, S1={"cabinet": "T1"}, **how)).holes
    return [hole for hole in found if (hole.owner, hole.panel) == ("T1", "floor")]


@pytest.mark.regression
@pytest.mark.parametrize(
    ("bottom", "height", "drilled", "flags"),
    [
        (2120, 400, "from inside", 0),  # it stands on A1
        (2320, 200, "from below", 0),
        (2319, 400, "from inside", 0),
        (2120, 231, "before it is hung", 1),  # 199 within
        (2120, 232, "from inside", 0),
    ],
)
def test_a_floor_is_drilled_from_where_there_is_room(bottom, height, drilled, flags):
    (hole,) = above(bottom, height)
    assert (hole.drilled, len(hole.flags)) == (drilled, flags)


def test_a_drills_room_is_an_allowance():
    assert above(2319, 400, allowances={"drill_room": 150})[0].drilled == "from below"


# --- Random corners -------------------------------------------------------------------------------


class Boxed(NamedTuple):
    """A cabinet on the plan: the corner of its left side at the wall, along it, and out of it."""

    at: complex
    along: complex
    out: complex

    @property
    def corners(self) -> list[complex]:
        return [self.at, self.at + self.along, self.at + self.along + self.out, self.at + self.out]

    def holds(self, point: complex) -> bool:
        return all(
            -0.01 <= ((point - self.at) * side.conjugate()).real <= abs(side) ** 2 + 0.01
            for side in (self.along, self.out)
        )


def overlap(one: list[complex], other: list[complex]) -> bool:
    """Whether two convex shapes share more than their rims: no line parts them."""
    sides = [b - a for shape in (one, other) for a, b in pairwise([*shape, shape[0]])]
    for side in sides:
        normal = side * 1j / abs(side)
        spans = [[(point * normal.conjugate()).real for point in shape] for shape in (one, other)]
        if max(spans[0]) <= min(spans[1]) + 0.1 or max(spans[1]) <= min(spans[0]) + 0.1:
            return False
    return True


def boxes(job: Job) -> tuple[dict[str, Boxed], list[list[complex]]]:
    """Give the cabinets and the walls of such a room on the plan."""
    turn = exp(1j * pi * (180 - float(job.walls[0].corner_degrees)) / 180)
    lines = {"A": (0j, 1 + 0j), "B": (LONG + 0j, turn)}
    found = {}
    for each in job.cabinets:
        start, along = lines[each.wall]
        found[each.id] = Boxed(start + along * float(each.at), along * float(each.width),
                               along * 1j * float(each.depth))  # fmt: skip
    return found, [[start, start + along * LONG] for start, along in lines.values()]


@st.composite
def corners(draw: st.DrawFn) -> Job:
    """Draw two cabinets near a corner that stand where they can stand."""
    degrees = draw(st.sampled_from([60, 75, 90, 90, 105, 120, 135, 150, 170, 180, 200, 270, 270]))
    deep = [draw(st.sampled_from([250, 320, 400])) for _ in "AB"]
    back = draw(
        st.sampled_from([0, 0, 45, 100, 132, 185, 320, 365, 400, *(-each for each in deep)])
    )
    on = draw(st.sampled_from([0, 0, 20, 133, 185, 320, 365, 400, 420]))
    fields: list[Fields] = [
        {"width": draw(st.sampled_from([150, 230, 300, 600, 900])),
         "depth": deep[number],
         "bottom_height": 1400 + draw(st.sampled_from([0, 0, 0, 20, 60, 700])),
         "kind": draw(st.sampled_from(["wall cabinet", "wall cabinet", "open unit", "shelf"])),
         "underside": draw(st.sampled_from(["flush", "framed"])),
         "lip": draw(st.sampled_from([0, 30])),
         "back_set_in": draw(st.sampled_from([0, 0, 20]))}
        for number in (0, 1)
    ]  # fmt: skip
    for each in fields:
        each["height"] = 25 if each["kind"] == "shelf" else draw(st.sampled_from([240, 720]))
    at = LONG - back - fields[0]["width"]
    job = two(degrees, {"at": at, **fields[0]}, {"at": on, **fields[1]})
    stand, walls = boxes(job)
    assume(not overlap(stand["A1"].corners, stand["B1"].corners))
    assume(not any(overlap(each.corners, wall) for each in stand.values() for wall in walls))
    return job


@pytest.mark.property
@examples(400)
@given(corners())
def test_every_hole_near_a_corner_can_be_drilled(job):
    stand, walls = boxes(job)
    cabinets = {each.id: each for each in job.cabinets}
    for way in between(job):
        for hole in way.drillings:
            own = cabinets[hole.owner]
            before = 0 if own.wall == "A" else LONG
            across = hole.along - before - float(own.at)
            width, depth = float(own.width), float(own.depth)
            box = stand[hole.owner]
            at = box.at + box.along / width * across + box.out / depth * hole.out
            # In a panel that is there,
            front = hole.panel == "stile" and abs(hole.out - depth) < 0.01
            assert 0 < hole.out <= depth
            assert (
                (0 < across < width) if front else min(across, width - across) == pytest.approx(0)
            )
            if hole.panel != "stile":
                assert own.bottom_height < hole.height < own.bottom_height + own.height
                assert own.kind != "shelf"
                assert hole.out > float(own.back_set_in)
            # through which the drill comes out where no wall is,
            ahead = box.out / depth if front else box.along / width * (1 if across > 1 else -1)
            beyond = [at - ahead, at + 25 * ahead]
            assert not any(overlap(beyond, wall) for wall in walls)
            # and with a drill's room to it, in a cabinet or below one.
            hand = stand[hole.hand or hole.owner]
            back = ahead if hole.hand else -ahead
            wanted = ROOM + (PANEL if hole.panel != "stile" else 0)
            askew = hand.along / abs(hand.along)
            ways = [back, *(each for each in (askew, -askew, askew * 1j, -askew * 1j)
                            if hole.hand and (each / back).real > cos(36 * pi / 180))]  # fmt: skip
            assert any(
                hand.holds(at + each * gap) and hand.holds(at + each * (gap + wanted) * 0.999)
                for gap in range(61)
                for each in ways
            ), hole


@pytest.mark.property
@examples(200)
@given(corners())
def test_a_corner_always_leaves_some_way(job):
    """Where a drill has no room there is another way, if in the wall."""
    plan = plan_job(job)
    assert all(lead.length for lead in plan.routes.leads)
