"""What has to be cut, and from which stock: against the plan, and the saw's own sum."""

from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given
from jobs import QUICK, any_job, built, many_bars, one_bar, part, row
from jobs import planned as plan_of

from pelmet.model.edit.change import rebuilt
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import OffCut, Ordered
from pelmet.model.order.cuts import PartCut
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.order.pieces import SPARE, pieces_of
from pelmet.model.plan.stages import plan_job

EXAMPLES = ("kitchen", "kitchen-with-pantry")


def folder(job: Job) -> Folder:
    return make_folder(plan_job(job))


def cut_of(found: Folder, kind: str, item_id: str) -> PartCut:
    (one,) = [cut for cut in found.cuts if (cut.kind, cut.part) == (kind, item_id)]
    return one


def drawn(job: Job, *pieces: tuple[str, str, int, str]) -> Job:
    """Draw off-cuts for a job: name, part, length and batch of each."""
    return rebuilt(job, offcuts=tuple(
        OffCut(id=f"piece{at}", piece=name, part=own, length=Decimal(length), batch=batch)
        for at, (name, own, length, batch) in enumerate(pieces)
    ))  # fmt: skip


@pytest.mark.cross_check
@pytest.mark.parametrize("example", EXAMPLES)
def test_every_bar_is_cut_once_of_each_part_and_fits_its_stock_by_hand(example):
    plan = plan_job(read_example(example))
    found = make_folder(plan)
    bars = Counter(bar.id for bar in plan.bars)
    lengths = {bar.id: Decimal(str(bar.length.value)) for bar in plan.bars}
    kerf, trim = plan.job.allowances.saw_kerf, plan.job.allowances.bar_trim
    for kind in ("channel", "diffuser", "strip"):
        cut = [name for one in found.cuts if one.kind == kind
               for _, each in one.cuts for name in each.pieces if name != SPARE]  # fmt: skip
        assert Counter(cut) == bars
    for one in found.cuts:
        if one.kind == "channel":
            for stock, each in one.cuts:
                used = sum(lengths[name] + kerf for name in each.pieces) - kerf
                assert used <= stock.length - 2 * trim
                assert each.left == max(stock.length - 2 * trim - used - kerf, 0)


def test_a_bar_of_883_is_875_of_channel_850_of_strip_and_its_diffuser():
    pieces = {(piece.kind, piece.name): piece.length for piece in pieces_of(plan_of())}
    assert pieces["channel", "R1.1"] == 875
    # 850 lit; the reel's joint comes every 500, so a cut is kept 20 off it.
    assert pieces["strip", "R1.1"] >= 850
    assert (pieces["strip", "R1.1"] - 850) % 50 == 0
    assert pieces["strip", SPARE] == 500
    assert 870 < pieces["diffuser", "R1.1"] <= 875


def test_a_spliced_bar_is_cut_in_lettered_pieces_that_add_up_to_it():
    job = row(3208, underside="flush", R1={"over_length": "splice"})
    plan = plan_job(job)
    (bar,) = [bar for bar in plan.bars if bar.splices]
    for kind in ("channel",):
        own = [piece for piece in pieces_of(plan) if piece.kind == kind]
        assert [piece.name for piece in own][:2] == [f"{bar.id}a", f"{bar.id}b"]
        assert sum(piece.length for piece in own) == Decimal(str(bar.length.value))


def test_strip_longer_than_its_reel_is_cut_only_where_joints_are_allowed():
    short = {"strips": [part("strips", "mine", reel=600)]}
    stopped = folder(one_bar(R1={"strip": "mine"}, parts=short))
    assert [each.code for each in stopped.plan.findings if each.level == "stop"] == [
        "strip-longer-than-reel",
        "stock-short",
    ]
    joined = folder(one_bar(R1={"strip": "mine", "strip_joints": "allowed"}, parts=short))
    assert not [each for each in joined.plan.findings if each.level == "stop"]
    own = [piece for piece in joined.pieces if piece.kind == "strip" and piece.run]
    assert [piece.length for piece in own] == [600, 250]


def test_an_off_cut_that_does_takes_the_place_of_a_bought_bar():
    found = folder(drawn(one_bar(), ("c1", "surface-17", 880, ""), ("c2", "surface-17", 870, "")))
    cut = cut_of(found, "channel", "surface-17")
    assert [(stock.source, stock.name) for stock, _ in cut.cuts] == [("off-cut", "piece0")]
    assert not [line for line in found.lines if line.part == "surface-17"]
    # Of 880 are left 880 - 875 - 3; it was trimmed when it was cut first.
    assert cut.cutting.cuts[0].left == 2


def test_strip_of_another_batch_goes_into_a_room_whole_or_not_at_all():
    two = ("white-24-10",)
    job = one_bar(R1={"pieces": 2})
    lit = [piece.length for piece in folder(job).pieces if piece.kind == "strip" and piece.run]
    assert len(lit) == 2
    one = drawn(job, ("c1", two[0], int(max(lit)), "B1"))
    assert {stock.source for stock, _ in cut_of(folder(one), "strip", two[0]).cuts} == {"bought"}
    mixed = drawn(job, ("c1", two[0], 2000, "B1"), ("c2", two[0], 400, "B2"))
    sources = [stock.source for stock, _ in cut_of(folder(mixed), "strip", two[0]).cuts]
    assert sources == ["off-cut"]  # the long one is enough, for the spare piece too


def test_an_off_cut_of_strip_goes_into_one_room_alone():
    # 850 lit in each of two rooms; the off-cut is long enough for either, not for both.
    cabinet = {"id": "B1", "wall": "B", "at": 500, "width": 883, "opening": [883], "depth": 320,
               "bottom_height": 1400}  # fmt: skip
    second = {
        "rooms": [{"id": "K2", "name": "Pantry"}],
        "walls": [{"id": "B", "room": "K2", "length": 3000}],
        "cabinets": [cabinet],
        "runs": [{"id": "R2", "cabinets": ["B1"], "leg": "L1"}],
    }
    job = drawn(one_bar(add=second), ("c1", "white-24-10", 900, "B1"))
    cut = cut_of(folder(job), "strip", "white-24-10")
    assert Counter(stock.name for stock, _ in cut.cuts if stock.source == "off-cut") == {
        "piece0": 1
    }
    rooms = {piece.name: piece.room for piece in cut.pieces}
    (first,) = [one.pieces for stock, one in cut.cuts if stock.source == "off-cut"]
    assert [rooms[name] for name in first] == ["K"]


def test_the_spare_piece_is_of_the_off_cuts_batch_where_that_is_long_enough():
    (lit,) = [piece.length for piece in folder(one_bar()).pieces
              if piece.kind == "strip" and piece.run]  # fmt: skip
    long = drawn(one_bar(), ("c1", "white-24-10", int(lit) + 500, "B1"))
    assert {stock.source for stock in cut_of(folder(long), "strip", "white-24-10").stock} == {
        "off-cut"
    }
    short = drawn(one_bar(), ("c1", "white-24-10", int(lit) + 499, "B1"))
    assert [stock.source for stock in cut_of(folder(short), "strip", "white-24-10").stock] == [
        "off-cut", "bought",
    ]  # fmt: skip


def test_what_was_ordered_is_cut_before_anything_is_bought():
    job = rebuilt(read_example("kitchen"), ordered=(
        Ordered(id="order1", part="surface-17", length=Decimal(3000), amount=Decimal(1)),
    ))  # fmt: skip
    found = cut_of(folder(job), "channel", "surface-17")
    assert Counter(stock.source for stock, _ in found.cuts)["ordered"] == 1


def test_cable_is_bought_by_the_metre_or_cut_from_reels():
    assert not [cut for cut in folder(one_bar()).cuts if cut.kind == "cable"]
    reel = part("cables", "mine", reels=[10000, 25000])
    found = folder(one_bar(L1={"cable": "mine"}, parts={"cables": [reel]}))
    (cut,) = [cut for cut in found.cuts if cut.kind == "cable"]
    assert cut.bought() == {Decimal(10000): 1}


def test_thirty_bars_are_cut_with_a_proof():
    found = folder(many_bars())
    assert all(cut.cutting.proven for cut in found.cuts)
    assert {cut.proof for cut in found.cuts} == {"proven least"}


def test_without_a_price_the_least_length_is_taken_and_said_to_be_so():
    own = {"channels": [part("channels", "mine", stock=[900, 3000])]}
    cut = cut_of(folder(one_bar(R1={"channel": "mine"}, parts=own)), "channel", "mine")
    assert cut.bought() == {Decimal(900): 1}
    assert cut.proof == "proven least in length, no price"


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_is_cut_ordered_priced_and_timed(job):
    found = folder(job)
    names = Counter((piece.kind, piece.part, piece.name) for piece in found.pieces)
    assert max(names.values(), default=1) == 1
    for cut in found.cuts:
        served = Counter(name for _, each in cut.cuts for name in each.pieces)
        unmet = Counter({want.name: want.count for want in cut.cutting.unmet})
        assert served + unmet == Counter(piece.name for piece in cut.pieces)
    assert found.quote.total == found.quote.net + found.quote.tax + found.quote.rounding


def test_a_bar_in_more_pieces_than_there_are_letters_has_a_name_for_each():
    job = row(6000, R1={"over_length": "splice"}, allowances={"longest_bar": 200})
    names = [piece.name for piece in folder(job).pieces if piece.kind == "channel"]
    assert len(set(names)) == len(names) > 26
    assert "R1.1z" in names
    assert "R1.1aa" in names


@pytest.mark.cross_check
def test_a_mitre_takes_more_of_the_stock_than_a_square_cut():
    """A blade of 3 mm goes through at 45 degrees over 3 sqrt 2 = 4.243 mm: 1.3 more, rounded up."""
    job = built({
        "rooms": [{"id": "K", "name": "Kitchen"}],
        "walls": [{"id": own, "room": "K", "length": 1000} for own in "AB"],
        "cabinets": [
            {"id": "A1", "wall": "A", "at": 0, "width": 1000, "depth": 320, "bottom_height": 1400},
            {"id": "B1", "wall": "B", "at": 320, "width": 600, "depth": 320, "bottom_height": 1400},
        ],
        "runs": [{"id": "R1", "cabinets": ["A1", "B1"], "corner": "mitre"}],
    })  # fmt: skip
    found = folder(job)
    channels = [piece for piece in found.pieces if piece.kind == "channel"]
    assert [piece.saw for piece in channels] == [Decimal("1.3"), Decimal("1.3")]
    (cut,) = [each for each in found.cuts if each.kind == "channel"]
    used = sum(piece.length + piece.saw for piece in channels) + 2 * 3
    assert (
        sum(each.left for _, each in cut.cuts)
        == sum(stock.length - 10 for stock in cut.stock) - used
    )
