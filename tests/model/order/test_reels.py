"""Strip on its reel: where each piece lies, against the maker's joints laid out mark by mark."""

from decimal import Decimal
from itertools import permutations

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, one_bar, part, row

from pelmet.model.edit.building import note_built
from pelmet.model.job.catalogue import find_part
from pelmet.model.job.job import Job
from pelmet.model.order.cuts import PartCut
from pelmet.model.order.cutting.terms import Stock
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.order.on_hand import on_hand
from pelmet.model.order.pieces import Piece
from pelmet.model.order.reels import Length, cut_reels, first_start
from pelmet.model.plan.stages import plan_job

D = Decimal


def folder(job: Job) -> Folder:
    return make_folder(plan_job(job))


def piece(name: str, length: int, starts: tuple[int, ...] = ()) -> Piece:
    own = tuple(map(D, starts))
    return Piece("strip", "mine", name, D(length), "R1", "K", assumed=False, starts=own)


def strips(found: Folder) -> list[PartCut]:
    return [cut for cut in found.cuts if cut.kind == "strip"]


def wrong(found: Folder) -> list[str]:
    """Walk along every reel and say what is cut where it may not be."""
    plan = found.plan
    bench = {one.bar.id: one for one in plan.bench}
    keep_off, faults = plan.job.allowances.joint_keep_off, []
    for part_cut in strips(found):
        strip = find_part(plan.parts.strips, part_cut.part)
        lengths = {each.name: each.length for each in part_cut.pieces}
        begins = dict(on_hand(plan.job, part_cut.part).begins)
        for (stock, cut), places in zip(part_cut.cuts, part_cut.places, strict=True):
            at = D(0)
            for name, start in zip(cut.pieces, places, strict=True):
                if start < at:
                    faults.append(f"{name} overlaps")
                at = start + lengths[name]
                every = strip.factory_joint_every if strip else None
                began = begins.get(stock.name, D(0) if not stock.name else None)
                one = bench.get(name)
                if every is None or began is None or one is None or one.reel is None:
                    continue
                if one.reel.skips[0] * strip.cut_unit + lengths[name] > strip.reel:
                    continue  # it goes on no reel but from its very start
                first, last = began + start, began + at
                joints = [D(n) * every for n in range(int(last // every) + 2)]
                if any(abs(joint - end) < keep_off for joint in joints for end in (first, last)):
                    faults.append(f"an end of {name} is at a joint")
                inside = [joint for joint in joints if first < joint < last]
                if inside and not one.reel.joints and not strip.across_joints:
                    faults.append(f"{name} lies across {inside}")
            if stock.length < at or stock.length - at != cut.left:
                faults.append(f"{cut.stock} does not add up")
    return faults


@pytest.mark.property
@QUICK
@given(any_job())
def test_whatever_the_job_strip_is_cut_where_the_joints_allow_it(job):
    assert wrong(folder(job)) == []


@pytest.mark.property
@examples(25)
@given(
    st.lists(st.integers(250, 1100), min_size=1, max_size=6),
    st.sampled_from([300, 500, 750, 1000, 2500]),
    st.booleans(),
    st.sampled_from([1500, 3000, 5000]),
)
def test_many_bars_of_one_strip_are_cut_where_its_joints_allow_it(widths, every, across, reel):
    mine = part("strips", "mine", factory_joint_every=every, across_joints=across, reel=reel)
    found = folder(row(*widths, R1={"strip": "mine"}, parts={"strips": [mine]}))
    assert wrong(found) == []


@pytest.mark.cross_check
@examples(40)
@given(
    st.lists(st.tuples(st.integers(2, 9), st.integers(1, 3)), min_size=1, max_size=4),
    st.integers(4, 6),
)
def test_the_fewest_reels_are_found_by_trying_every_order(sizes, joint):
    """Units of 50, a joint every few of them; a piece starts so many units after one."""
    pieces = [piece(f"p{n}", 50 * units, (50 * skip,)) for n, (units, skip) in enumerate(sizes)]
    reel, every = D(1000), D(50 * joint)
    stock = Stock("new", reel, D(10))
    found, _ = cut_reels([stock], pieces, {"new": Length(reel, D(0))}, every, D(0))
    fewest = min(reels_for(order, reel, every) for order in permutations(pieces))
    assert not found.unmet
    assert found.bound <= 10 * fewest <= found.cost
    if found.proven:
        assert len(found.cuts) == fewest


def reels_for(order: tuple[Piece, ...], reel: Decimal, every: Decimal) -> int:
    """Cut pieces in this order, each as soon as it may, a new reel where one has no room."""
    reels, at = 1, D(0)
    for each in order:
        start = first_start(at, each, Length(reel, D(0)), every)
        if start + each.length > reel:
            reels, start = reels + 1, each.starts[0]
        at = start + each.length
    return reels


@pytest.mark.regression
def test_what_is_cut_off_for_a_joint_counts_and_may_take_one_reel_more():
    # Two of 900 on a reel of 2000 with a joint every 1000; each starts 50 after one and ends 50
    # before the next. One of 1900 would go end to end, but not between joints.
    both = [piece("a", 900, (50,)), piece("b", 900, (50,))]
    lengths = {"new": Length(D(2000), D(0))}
    found, places = cut_reels([Stock("new", D(2000), D(10))], both, lengths, D(1000), D(0))
    assert (found.cost, found.proven, places) == (10, True, ((50, 1050),))
    third = [*both, piece("c", 150)]
    found, _ = cut_reels([Stock("new", D(2000), D(10))], third, lengths, D(1000), D(0))
    # End to end all three are 1950 long and go on one reel; between the joints they do not.
    assert (found.cost, found.bound, found.proven) == (20, 10, False)


@pytest.mark.regression
def test_a_piece_lies_across_no_joint_unless_the_part_says_that_it_may():
    def across(**strip: object) -> list[Decimal]:
        mine = part("strips", "mine", factory_joint_every=1000, **strip)
        found = folder(row(500, 500, 500, R1={"strip": "mine"}, parts={"strips": [mine]}))
        (cut,) = strips(found)
        lengths = {each.name: each.length for each in cut.pieces if each.run}
        return [
            start
            for each, places in zip(cut.cutting.cuts, cut.places, strict=True)
            for name, start in zip(each.pieces, places, strict=True)
            if name in lengths and start // 1000 != (start + lengths[name]) // 1000
        ]

    assert across() == []
    assert across(across_joints=True) != []


def test_the_rest_of_a_reel_goes_on_where_it_was_cut():
    job = row(700, 700, add={"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]},
              R1={"cabinets": ["A1"]})  # fmt: skip
    built = note_built(folder(job), ["R1"], "cut", rests="kept")
    found = folder(built)
    (rest,) = [cut for cut in built.cuts if cut.part == "white-24-10"]
    begins = dict(on_hand(built, "white-24-10").begins)
    assert begins == {rest.id: rest.stock - rest.rest}
    assert wrong(found) == []
    assert [stock.source for cut in strips(found) for stock in cut.stock] == ["rest"]


def test_strip_whose_joints_nobody_noted_is_cut_end_to_end():
    mine = part("strips", "mine")
    found = folder(one_bar(R1={"strip": "mine"}, parts={"strips": [mine]}))
    (cut,) = strips(found)
    assert set(cut.before.values()) == {0}
