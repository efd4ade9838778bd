"""How the cable from one bar to the next passes what is between, its length added up by hand."""

from typing import Any

import pytest
from cables import FLOOR, TO_BAR, WALL_B, corner_job, cut, exact, routes, ways
from jobs import obstacle, row

from pelmet.model.plan.ways.routes import Link

# From a bar's end up and back to the rear of the cabinet, and the same at the next one.
REAR = 44 + 2 * TO_BAR
# Through the floor at 1060, up inside to the top's hole at 70 out, and over to 1140.
OVER = 2 * (TO_BAR + 18 + FLOOR + (2120 - 1416) + (70 - 40)) + 80


def link(*obstacles: dict[str, Any], **how: Any) -> Link:
    """Give the one link of two framed cabinets, bars 522-1078 and 1122-1678."""
    (only,) = routes(row(600, 600, **exact(add={"obstacles": list(obstacles)}, **how))).links
    return only


@pytest.mark.parametrize(
    ("crossing", "way", "kinds"),
    [
        ("hole", 44, ["under"]),
        ("not chosen", 44, ["under"]),  # a stile is drilled unless something else is said
        ("behind", REAR, ["under", "behind", "under"]),
        ("in wall", REAR, ["under", "in wall", "under"]),
        ("over", OVER, ["under", "through", "over", "through", "under"]),
    ],
)
def test_a_link_passes_what_lies_between_in_the_chosen_way(crossing, way, kinds):
    found = link(obstacle("O1", 1090, 20, crossing=crossing))
    assert found.obstacles == ("O1",)
    assert found.crossing == ("hole" if crossing == "not chosen" else crossing)
    assert float(found.length.value) == cut(way)
    assert ways(found.cable) == kinds


def test_what_is_passed_under_is_not_drilled():
    found = link(obstacle("O1", 1090, 20, "pipe"))
    assert (found.crossing, found.obstacles) == ("under", ("O1",))
    assert [hole for way in found.cable.ways for hole in way.drillings] == []
    # Straight on along the underside, or by its rear.
    assert float(found.length.value) in (cut(44), cut(REAR))


def test_a_link_is_named_and_marked_by_its_bars():
    found = link()
    assert (found.cable.id, found.cable.leg, found.cable.run) == ("R1.1-2", "L1", "R1")
    assert (found.cable.origin, found.cable.end) == ("R1.1 right", "R1.2 left")


def test_no_cable_passes_an_obstacle_it_may_not_pass():
    found = link(obstacle("O1", 1090, 20, crossing="none"))
    assert (found.crossing, found.cable, found.length) == ("none", None, None)


@pytest.mark.parametrize(
    ("cover", "crossing", "length"),
    [
        ("open", "not chosen", None),
        ("open", "over", cut(OVER)),
        ("covered", "not chosen", cut(REAR)),  # behind it nothing shows
    ],
)
def test_nothing_is_guessed_past_an_open_hood(cover, crossing, length):
    found = link(obstacle("O1", 1090, 20, "hood", crossing=crossing) | {"cover": cover})
    assert (found.length and float(found.length.value)) == length


def test_side_panels_alone_take_a_hole():
    found = link()
    assert (found.crossing, found.obstacles) == ("hole", ())
    assert float(found.length.value) == cut(44)
    assert [hole.owner for way in found.cable.ways for hole in way.drillings] == ["A1", "A2"]


def test_a_step_in_height_lengthens_a_link():
    # Too much of a step to go straight on: by the rear, and up.
    assert float(link(A2={"bottom_height": 1520}).length.value) == cut(REAR + 120)


@pytest.mark.parametrize(
    ("first", "second", "crossing"),
    [
        ("hole", "none", "none"),
        ("not chosen", "none", "none"),
        ("hole", "over", "over"),
        ("not chosen", "hole", "hole"),
        ("behind", "in wall", "in wall"),
        ("over", "in wall", "in wall"),
        ("hole", "behind", "behind"),
        ("under", "hole", "hole"),
    ],
)
def test_the_way_past_several_things_is_the_hardest_of_theirs(first, second, crossing):
    found = link(
        obstacle("O1", 1085, 10, crossing=first), obstacle("O2", 1100, 10, crossing=second)
    )
    assert (found.crossing, found.obstacles) == (crossing, ("O1", "O2"))


def test_an_open_hood_that_nobody_chose_a_way_past_is_harder_than_all_but_none():
    hood = obstacle("O1", 1085, 10, "hood", crossing="not chosen")
    for crossing, whole in (("in wall", "not chosen"), ("none", "none")):
        found = link(hood, obstacle("O2", 1100, 10, crossing=crossing))
        assert (found.crossing, found.cable) == (whole, None)


def test_what_stands_elsewhere_is_not_passed():
    assert (
        link(
            obstacle("O1", 100, 50, crossing="none"), obstacle("O2", 2000, 50, crossing="none")
        ).obstacles
        == ()
    )


def test_a_care_zone_is_not_crossed():
    assert link(obstacle("O1", 1090, 20, "socket", crossing="none")).obstacles == ()


def test_a_link_goes_round_a_corner_along_both_walls():
    (only,) = routes(corner_job(R1={"cabinets": ["A1", "B1"]})).links
    # From the end of one bar at 1379 of 3000 to that of the other, 704.
    assert float(only.length.value) == cut(TO_BAR + (3000 - 1379 + 704) + TO_BAR)
    assert ways(only.cable) == ["under", "in wall", "under"]


@pytest.mark.parametrize(
    ("wall", "at", "between"),
    [("A", 2000, True), ("B", 300, True), ("A", 100, False), ("B", 1500, False)],
)
def test_a_link_round_a_corner_meets_what_stands_on_either_wall(wall, at, between):
    window = obstacle("O1", at, 300, "window", crossing="none") | {"wall": wall}
    job = corner_job(R1={"cabinets": ["A1", "B1"]}, add={"obstacles": [window]})
    (only,) = routes(job).links
    assert (only.length is None) == between
    assert only.obstacles == (("O1",) if between else ())


def test_bars_in_two_rooms_are_not_linked():
    rooms, walls = [{"id": "P", "name": "Invented pantry"}], [WALL_B | {"room": "P"}]
    job = corner_job(R1={"cabinets": ["A1", "B1"]}, add={"rooms": rooms, "walls": walls})
    assert [one.length for one in routes(job).links] == [None]


@pytest.mark.parametrize("name", ["height", "depth", "at", "bottom_height"])
def test_a_way_over_a_cabinet_nobody_measured_is_assumed(name):
    over = obstacle("O1", 1090, 20, crossing="over")
    assert not link(over).length.assumed
    assert link(over, A1={"assumed": [name]}).length.assumed
