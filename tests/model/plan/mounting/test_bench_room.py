"""The room a bar needs: to grow with its diffuser when hot, and to come in to its place."""

from decimal import Decimal
from fractions import Fraction
from math import ceil, cos, floor, isclose, pi, sin

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import obstacle, one_bar, part, row
from test_bench import bar_of, bench, channel, corner, ready

D = Decimal


# --- Heat -----------------------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(("hottest", "grows"), [(40, D("1.4")), (60, D("2.8"))])
def test_3_m_of_aluminium_grow_as_the_handbook_says(hottest, grows):
    # EN 1999-1-1:2007, 3.2.5: 23e-6 a kelvin. At 20 C when cut: 1.4 mm at 20 K more, 2.8 at 40.
    one = bar_of(3000, allowances={"hottest_celsius": hottest})
    assert round(one.growth.value, 1) == grows
    assert one.clearance_needed.value == one.growth.value / 2


def test_a_bar_that_gets_no_warmer_grows_by_nothing():
    one = bar_of(3000, allowances={"hottest_celsius": 20, "coldest_celsius": 20})
    assert (one.growth.value, one.clearance_needed.value) == (0, 0)
    assert (one.diffuser.value, one.diffuser_gap_cold.value) == (3000, 0)
    assert bar_of(3000, allowances={"hottest_celsius": 10}).growth.value == 0


@pytest.mark.cross_check
@examples(50)
@given(
    st.integers(300, 3000),
    st.integers(0, 120),
    st.integers(0, 120),
    st.integers(-20, 20),
    st.integers(20, 120),
)
def test_a_diffuser_is_the_longest_that_is_never_longer_than_its_bar(
    length, metal, plastic, coldest, hottest
):
    one = bar_of(
        length,
        R1={"channel": "mine", "diffuser": "mine"},
        parts={
            "channels": [part("channels", "mine", expansion=metal)],
            "diffusers": [part("diffusers", "mine", expansion=plastic)],
        },
        allowances={"coldest_celsius": coldest, "hottest_celsius": hottest},
    )

    def at(celsius: int, long: Fraction, millionths: int) -> Fraction:
        return long * (1 + Fraction(millionths * (celsius - 20), 1_000_000))

    def fits(diffuser: Fraction) -> bool:
        return all(
            at(celsius, diffuser, plastic) <= at(celsius, Fraction(length), metal)
            for celsius in (20, hottest)
        )

    cut = Fraction(one.diffuser.value)
    assert cut * 2 == floor(cut * 2)
    assert fits(cut)
    assert not fits(cut + Fraction(1, 2))
    gap = at(coldest, Fraction(length), metal) - at(coldest, cut, plastic)
    assert Fraction(one.diffuser_gap_cold.value) == gap


def test_a_diffuser_that_is_in_no_catalogue_is_not_cut():
    one = ready(R1={"diffuser": "no"})
    assert (one.diffuser, one.diffuser_gap_cold) == (None, None)


# --- The way in -----------------------------------------------------------------------------------


def test_a_bar_goes_in_with_its_caps_on():
    one = ready()
    assert one.with_caps.value == 875 + 2 * 2
    assert (one.way.way, one.way.spare) == ("straight", 4)


@pytest.mark.cross_check
@pytest.mark.parametrize("length", [120, 300, 879])
@pytest.mark.parametrize("depth", [8, 18, 60])
def test_the_room_to_tilt_is_found_by_turning_a_bar(length, depth):
    one = bar_of(length - 4, **channel(depth=depth))
    steps = (pi / 2 * step / 200_000 for step in range(200_001))
    widest = max(length * cos(angle) + depth * sin(angle) for angle in steps)
    assert isclose(one.tilt_room.value, widest - length, abs_tol=1e-6)


def test_the_narrowest_way_in_over_a_bar_counts():
    (one,) = bench(row(600, 600, underside="flush", A1={"mouth": 1300}, A2={"mouth": 1190}))
    assert one.with_caps.value == 1196
    assert (one.way.way, one.way.decided_by) == ("tilted", "clear width")
    wide, narrow = ({"mouth": 1300}, {"mouth": 1200})
    (level,) = bench(row(600, 600, underside="flush", A1=wide, A2=narrow))
    assert (level.way.way, level.way.spare) == ("straight", 4)


def height_turned(length: float, depth: float, mouth: float) -> float:
    """Turn a bar up from level until it is as narrow as the mouth; give its height then [mm]."""
    angle = 0.0
    while length * cos(angle) + depth * sin(angle) > mouth:
        angle += 1e-5
    return length * sin(angle) + depth * cos(angle)


@pytest.mark.cross_check
def test_the_room_to_bring_a_bar_in_is_down_to_the_worktop():
    def way(bottom: int, top: int = 910) -> tuple[str, float]:
        job = one_bar(A1={"mouth": 800, "bottom_height": bottom}, K={"worktop_height": top})
        (one,) = bench(job)
        assert one.way.way == "tilted"
        return one.way.decided_by, one.way.spare

    high = height_turned(879, 8, 800)
    low = ceil(910 + high)
    decided, spare = way(low)
    assert decided == "room below"
    assert spare == pytest.approx(low - 910 - high, abs=0.02)
    assert way(low, top=909)[1] == pytest.approx(spare + 1)
    assert way(low + 10) == ("clear width", 4)
    # Nothing but the floor is under a cabinet that hangs below the worktop.
    assert way(800) == ("clear width", 4)


def test_only_faces_at_both_ends_keep_a_bar_from_swinging_up():
    tight = {"end_clearance": 0}
    framed = {"underside": "framed"}
    assert not ready(A1=framed, allowances=tight).swings
    assert ready(A1=framed).swings
    assert ready(allowances=tight).swings
    assert ready(A1={**framed, "lip": 0}, allowances=tight).swings
    pipe = {"obstacles": [obstacle("O1", 500, 10, "pipe")]}
    assert ready(allowances=tight, add=pipe).swings
    assert [one.swings for one in bench(one_bar(R1={"pieces": 2}, allowances=tight))] == [True] * 2
    # Between the side of a bar round the corner and the next bar in line.
    turned = bench(corner("first passes", pieces=2, end_clearance=0, corner_gap=0))
    assert [one.swings for one in turned] == [True, True, False, True]


def test_a_bar_between_a_face_and_its_neighbour_swings_by_the_neighbours_depth():
    job = one_bar(
        A1={"underside": "framed"}, R1={"pieces": 2}, allowances={"end_clearance": D("0.01")}
    )
    for one in bench(job):
        # 437.48 long; sqrt(437.48^2 + 8^2) takes 0.073 more, and it has 3 clearances.
        assert not one.swings
    wider = one_bar(
        A1={"underside": "framed"}, R1={"pieces": 2}, allowances={"end_clearance": D("0.025")}
    )
    assert all(one.swings for one in bench(wider))


def test_a_mitred_bar_is_as_long_as_its_longer_edge():
    job = corner("mitre")
    first, second = bench(job)
    for one in (first, second):
        edges = [float(point.value) for point in one.bar.points]
        assert len(edges) == 2
        # A square corner: the edges are a face apart; one end has a cap of 2.
        assert max(edges) - min(edges) == pytest.approx(17)
        assert one.with_caps.value == pytest.approx(max(edges) + 2)
        assert one.way.way == "straight"
        assert one.swings
