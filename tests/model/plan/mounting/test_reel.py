"""Where a piece is taken off the reel, against laying the whole reel out mark by mark."""

import random
from decimal import Decimal

import pytest

from pelmet.model.plan.mounting.reel import reel_start


def laid_out(units, unit, every, splices, keep_off):
    """Try every skip on a reel marked out in tenths of a millimetre, as all arguments are."""
    reel = range(0, every * (units * unit // every + 4), every)

    def barred(joints):
        around = range(-max(keep_off - 1, 0), max(keep_off, 1))
        return {joint + off for joint in joints for off in around}

    for skip in range(every // unit):
        start = every + skip * unit  # so that there is a joint before the piece too
        end = start + units * unit
        inside = [joint - start for joint in reel if start <= joint <= end]
        if {start, end}.isdisjoint(barred(reel)) and barred(inside).isdisjoint(splices):
            return skip, inside
    return None


@pytest.mark.cross_check
def test_the_fewest_units_are_skipped_that_laying_the_reel_out_finds():
    draw, outcomes = random.Random(5), set()
    for _ in range(1500):
        unit = draw.choice([125, 250, 500, 333, 1000])
        every = unit * draw.randint(1, 24)
        units = draw.randint(1, 60)
        splices = [draw.randint(0, units * unit) for _ in range(draw.randint(0, 4))]
        keep_off = draw.choice([0, 1, 100, 200, 350])
        expected = laid_out(units, unit, every, splices, keep_off)
        found = first(units, mm(unit), mm(every), [mm(splice) for splice in splices], mm(keep_off))
        if expected is None:
            assert found is None
        else:
            assert found == (expected[0], tuple(mm(joint) for joint in expected[1]))
        outcomes.add(None if found is None else min(found[0], 3))
    assert outcomes == {None, 1, 2, 3}


def mm(tenths):
    return Decimal(tenths) / 10


def first(*of):
    """Give the fewest units to skip and the joints then, if there is a way."""
    found = reel_start(*of)
    return found and (found.skip_units, found.joints)


def test_a_piece_goes_between_two_joints_where_it_may_not_lie_across_one():
    # 6 units of 50 with a joint every 500: from 50 or 100 on; 150 to 450 is the last between.
    inside = reel_start(6, Decimal(50), Decimal(500), across=False)
    assert (inside.skips, inside.joints) == ((1, 2, 3), ())
    assert set(inside.skips) < set(reel_start(6, Decimal(50), Decimal(500)).skips)
    # 9 are too long for it: both ends would be at joints.
    assert reel_start(9, Decimal(50), Decimal(500), across=False) == reel_start(
        9, Decimal(50), Decimal(500)
    )


def test_a_piece_is_not_cut_off_at_a_joint():
    # 17 units of 50 with a joint every 500: skipping 1, the ends are 50 on and 400 on.
    assert first(17, Decimal(50), Decimal(500)) == (1, (450,))
    # 9 units: skipping 1 ends at 500, on a joint, so 2 are skipped, and one joint is inside.
    assert first(9, Decimal(50), Decimal(500)) == (2, (400,))


def test_a_joint_moves_off_a_splice_of_the_channel():
    # Joints at 450 and 950 after skipping 1; the splice at 465 is too near, at 470 just not.
    assert first(24, Decimal(50), Decimal(500), [Decimal(470)]) == (1, (450, 950))
    assert first(24, Decimal(50), Decimal(500), [Decimal(465)]) == (2, (400, 900))


def test_there_may_be_no_way():
    assert first(5, Decimal(500), Decimal(500)) is None
    # A unit of 15 mm and joints every 30: every mark is within 20 mm of one.
    assert first(5, Decimal(15), Decimal(30)) is None
    # The splices stand wherever a joint can fall.
    everywhere = [Decimal(50) * row for row in range(24)]
    assert first(24, Decimal(50), Decimal(500), everywhere) is None


def test_a_reel_without_joints_is_begun_at_its_start():
    assert first(17, Decimal(50), None, [Decimal(100)]) == (0, ())


@pytest.mark.parametrize("every", [510, 0, -500])
def test_joints_off_the_cut_marks_are_refused(every):
    with pytest.raises(ValueError, match="not on the marks"):
        reel_start(5, Decimal(50), Decimal(every))
