"""The cut list against the plan and the saw's own sum, and what it says of release and proof."""

from collections import Counter
from decimal import Decimal
from typing import Any

import pytest
from draws import quick
from histories import built
from hypothesis import given
from jobs import any_job, many_bars, one_bar, part, row
from papers import cautions, folder, grid, said

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.job.job import Job, Site
from pelmet.model.job.paperwork import OffCut, Ordered
from pelmet.model.order.folder import Folder
from pelmet.model.told.blocks.bars import bench_blocks
from pelmet.model.told.paper import Grid, Paper, Points
from pelmet.model.told.papers.cut_list import cut_list_paper
from pelmet.model.told.papers.sheets import paper_of

KINDS = ("channel", "diffuser", "strip", "cable")
TYPED = "=1|<b>&שלום"


def tables(found: Folder) -> dict[str, Grid]:
    """Give the tables by what is cut: channel, diffuser, strip, cable."""
    grids = [block for block in cut_list_paper(found)
             if isinstance(block, Grid) and block.name != "cut-list-tails"]  # fmt: skip
    return {each.name.removeprefix("cut-list").lstrip("-") or "channel": each for each in grids}


def text(found: Folder) -> str:
    return said(paper_of(found, "cut-list"))


def columns(table: Grid, *names: str) -> list[tuple[str, ...]]:
    """Give some columns of a table by the first word of their heads, row by row."""
    places = [next(at for at, head in enumerate(table.head) if head.startswith(name))
              for name in names]  # fmt: skip
    return [tuple(each[place] for place in places) for each in table.rows]


def mitred() -> Job:
    """Two cabinets that meet in a square corner, both bars mitred there."""
    second = {"id": "B1", "wall": "B", "at": 0, "width": 900, "depth": 320, "bottom_height": 1400}
    return one_bar(
        A={"length": 1383},
        A1={"opening": ()},
        R1={"cabinets": ["A1", "B1"], "corner": "mitre"},
        add={"walls": [{"id": "B", "room": "K", "length": 3000}], "cabinets": [second]},
    )


SPLICED = row(3208, underside="flush", R1={"over_length": "splice"},
              allowances={"longest_bar": 2000})  # fmt: skip
JOBS = {
    **{name: job for name in EXAMPLES if not (job := read_example(name)).cuts},
    "thirty": many_bars(),
    "mitred": mitred(),
    "spliced": SPLICED,
    "reels": one_bar(
        L1={"cable": "mine"}, parts={"cables": [part("cables", "mine", reels=[5000])]}
    ),
}


@pytest.mark.cross_check
@pytest.mark.parametrize("name", JOBS)
def test_what_is_printed_comes_out_of_its_stock_with_kerf_and_trims(name):
    """The saw's own sum: each piece costs its length and a kerf, each new bar two trims.

    Through a mitre at 45 degrees the kerf is longer by its share of sqrt 2 - 1, rounded up.
    """
    found = folder(JOBS[name])
    aslant = {(piece.kind, piece.name): piece.saw for piece in found.pieces}
    allowances = JOBS[name].allowances
    for kind, table in tables(found).items():
        saw = kind in ("channel", "diffuser")
        kerf, trim = (allowances.saw_kerf, allowances.bar_trim) if saw else (0, 0)
        keepable = allowances.keepable if saw else allowances.keepable_cable
        stocks: dict[str, list[tuple[str, Decimal]]] = {}
        for stock, cut, length, source in columns(table, "stock", "cut", "length", "from"):
            if stock:
                bought = Decimal(source.rpartition(" ")[2])
                stocks.setdefault(stock, [("", bought)]).append((cut, Decimal(length)))
        assert list(stocks) == [f"{'CDSW'[KINDS.index(kind)]}{n + 1}" for n in range(len(stocks))]
        for (_, bought), *pieces, (rest, left) in stocks.values():
            assert pieces
            used = sum(length + kerf + aslant.get((kind, cut), 0) for cut, length in pieces)
            spare = bought - 2 * trim - used
            # Each length printed may be up to half a millimetre short, and so may the rest.
            assert spare - Decimal("0.5") * (len(pieces) + 1) <= left <= max(spare, 0)
            assert rest == ("keep" if left >= keepable else "scrap")


@pytest.mark.cross_check
@pytest.mark.parametrize("name", JOBS)
def test_every_piece_is_cut_once_and_is_as_long_as_its_bar(name):
    found = folder(JOBS[name])
    told = tables(found)
    bars = {bar.id: bar for bar in found.plan.bars}
    for kind in KINDS:
        cut = Counter(own for (own,) in columns(told[kind], "cut"))
        cut.pop("cut off", 0)
        rests = cut.pop("keep", 0) + cut.pop("scrap", 0)
        assert cut == Counter(piece.name for piece in found.pieces if piece.kind == kind)
        assert rests == sum(len(each.stock) for each in found.cuts if each.kind == kind)
    lengths = dict(columns(told["channel"], "cut", "length"))
    for own, bar in bars.items():
        if not bar.splices and not bar.points:
            assert 0 <= Decimal(str(bar.length.value)) - Decimal(lengths[own]) < Decimal("0.5")


def test_strip_is_told_in_units_and_where_it_lies_on_its_reel():
    found = folder(read_example("kitchen"))
    bars = {one.bar.id: one for one in found.plan.bench}
    rows = columns(tables(found)["strip"], "cut", "length", "units", "reel at", "to", "wires")
    told = {own: rest for own, *rest in rows}
    for own, one in bars.items():
        length, units, start, end, _ = told[own]
        assert one.reel is not None
        assert (int(units), Decimal(length)) == (one.bar.units.value, one.bar.lit.value)
        assert Decimal(end) - Decimal(start) == Decimal(length) == 50 * int(units)
        assert Decimal(start) % 500 / 50 in one.reel.skips
    assert {own: told[own][4] for own in bars} == {
        "R1.1": "right end", "R2.1": "left end, right end", "R2.2": "left end",
        "R3.1": "left end", "R4.1": "left end",
    }  # fmt: skip
    assert told["spare"][:2] == ["500", "10"]
    assert "stays with the client" in text(found)


def test_a_middle_feed_is_soldered_after_a_unit():
    rows = columns(tables(folder(one_bar(R1={"feed_end": "middle"})))["strip"], "cut", "wires")
    wires = dict(rows)["R1.1"]
    assert wires.startswith("after unit 8, 400 mm from its left end")


def test_strip_that_is_joined_is_told_piece_by_piece():
    short = {"strips": [part("strips", "mine", reel=600)]}
    found = folder(one_bar(R1={"strip": "mine", "strip_joints": "allowed"}, parts=short))
    rows = {own: rest for own, *rest in columns(tables(found)["strip"], "cut", "units", "wires")}
    assert rows["R1.1a"] == ["12", "left end"]
    assert rows["R1.1b"] == ["5", "joined to the piece before"]


def test_a_mitre_is_sawn_at_its_setting_and_all_else_square():
    found = folder(mitred())
    for kind in ("channel", "diffuser"):
        ends = {own: rest for own, *rest in columns(tables(found)[kind], "cut", "left", "right")}
        assert ends["R1.1"] == ["square", "45 deg"]
        assert ends["R1.2"] == ["45 deg", "square"]
    # The lines are 271.5 out: from 504 to where they cross, 1383 - 271.5, is 607.5; half a face
    # of 17 more and less.
    assert dict(columns(tables(found)["channel"], "cut", "length"))["R1.1"] == "616"
    assert "R1.1 is mitred" in text(found)
    assert "wall edge 616 mm, room edge 599 mm" in text(found)
    site = Site(length_unit="in", inch_parts=32)
    inches = folder(mitred().model_copy(update={"site": site}))
    # 24.252 in and 23.583 in, which is nearer to 23 19/32.
    edges = "wall edge 24 1/4 in, room edge 23 9/16 in"
    assert edges in text(inches)
    said_of_bars = [each.texts for each in bench_blocks(inches.plan) if isinstance(each, Points)]
    assert any(edges in words for texts in said_of_bars for words in texts)
    assert "mitred" not in text(folder(one_bar()))


def test_a_spliced_bar_is_square_where_its_pieces_meet():
    rows = columns(tables(folder(SPLICED))["channel"], "cut", "length", "left", "right")
    own = sorted(each for each in rows if each[0].startswith("R1.1"))
    assert [each[0] for each in own] == ["R1.1a", "R1.1b"]
    assert sum(Decimal(each[1]) for each in own) == 3200
    assert {each[2:] for each in own} == {("square", "square")}


def test_where_stock_comes_from_is_said():
    ordered = Ordered(id="o1", part="opal-17", length=Decimal(2000), amount=Decimal(1))
    piece = OffCut(id="cut1", piece=TYPED, part="surface-17", length=Decimal(880))
    reel = OffCut(id="cut2", piece="", part="white-24-10", length=Decimal(1000), batch="B7")
    found = folder(rebuilt(one_bar(), ordered=(ordered,), offcuts=(piece, reel)))
    told = tables(found)
    assert columns(told["channel"], "from")[0] == (f"surface-17 off-cut cut1 880, marked {TYPED}",)
    assert columns(told["diffuser"], "from")[0] == ("opal-17 ordered 2000",)
    sources = [source for (source,) in columns(told["strip"], "from")]
    assert sources == [
        "white-24-10 off-cut cut2 1000, batch B7", "white-24-10 off-cut cut2 1000, batch B7",
        "white-24-10 bought 5000", "white-24-10 bought 5000",
    ]  # fmt: skip
    # An off-cut of 880 is trimmed already: 880 - 875 - 3.
    assert columns(told["channel"], "cut", "length")[1] == ("scrap", "2")


def test_cable_by_the_metre_comes_out_of_no_stock_piece():
    rows = columns(tables(folder(one_bar()))["cable"], "stock", "cut", "from")
    assert rows == [("", "L1.1", "flat-2x0.75 by the metre")]
    reeled = columns(tables(folder(JOBS["reels"]))["cable"], "stock", "cut", "from")
    assert [each[:2] for each in reeled] == [("W1", "L1.1"), ("W1", "keep")]


def test_cable_out_of_an_off_cut_is_not_cut_by_the_metre_too():
    piece = OffCut(id="cut1", piece="c1", part="flat-2x0.75", length=Decimal(2000))
    job = row(600, 600, R1={"cabinets": ["A1"]}, add={
        "legs": [{"id": "L2", "supply": "S1"}], "runs": [{"id": "R2", "cabinets": ["A2"],
                                                          "leg": "L2"}]})  # fmt: skip
    found = folder(rebuilt(job, offcuts=(piece,)))
    rows = columns(tables(found)["cable"], "stock", "cut")
    assert sorted(own for _, own in rows) == ["L1.1", "L2.1", "scrap"]
    assert [stock for stock, _ in rows] == ["W1", "W1", ""]
    assert "not in this list" not in text(found)


def test_a_rest_of_strip_is_kept_from_another_length_on_than_one_of_channel():
    def rest(kind: str, own: str, **sizes: Any) -> str:
        parts = {f"{kind}s": [part(f"{kind}s", "mine", **sizes)]}
        rows = columns(tables(folder(one_bar(R1={kind: "mine"}, parts=parts)))[kind], "cut")
        return next(each for (each,) in rows if each in ("keep", "scrap"))

    # 850 lit and 500 spare leave 400 and 1000; 875, two trims and a kerf leave 299 and 300.
    assert rest("strip", "mine", reel=1750) == "scrap"
    assert rest("strip", "mine", reel=2350) == "keep"
    assert rest("channel", "mine", stock=[875 + 13 + 299]) == "scrap"
    assert rest("channel", "mine", stock=[875 + 13 + 300]) == "keep"


def test_what_no_stock_takes_is_named_and_not_cut():
    short = {"strips": [part("strips", "mine", reel=600)]}
    found = folder(one_bar(R1={"strip": "mine"}, parts=short))
    assert "R1.1, 850 mm of mine, is not in this list" in text(found)
    assert "R1.1" not in {own for (own,) in columns(tables(found)["strip"], "cut")}
    assert "not in this list" not in text(folder(one_bar()))


def test_kerf_and_trim_are_said_once():
    words = text(folder(JOBS["thirty"]))
    assert words.count("kerf") == words.count("trimmed by") == 1
    assert "kerf of 3 mm" in words
    assert "trimmed by 5 mm" in words


def test_the_proof_has_cost_bound_and_gap():
    found = folder(one_bar())
    (channel, *others) = found.cuts
    assert "surface-17: proven least. Cost 8.00 EUR, bound 8.00 EUR, gap 0.0 %." in text(found)
    open_still = channel._replace(cutting=channel.cutting._replace(bound=Decimal(6)))
    words = text(found._replace(cuts=(open_still, *others)))
    assert "not proven least" in words
    assert "Cost 8.00 EUR, bound 6.00 EUR, gap 25.0 %." in words
    priceless = {"channels": [part("channels", "mine", stock=[900, 3000])]}
    words = text(folder(one_bar(R1={"channel": "mine"}, parts=priceless)))
    assert "mine: proven least in length, no price. Cost 900 mm, bound 900 mm" in words


def test_the_head_says_whether_it_is_released():
    free = folder(one_bar())
    assert text(free).startswith("Released to cutting.\n")
    held = one_bar(A1={"assumed": ["opening"]})
    words = text(folder(held))
    assert words.startswith("Not released: do not cut yet.")
    assert all(reason in words for reason in folder(held).release.reasons)
    anyway = folder(set_value(held, "site", "", "cut_anyway", TYPED))
    words = text(anyway)
    assert words.startswith(f"Released to cutting anyway: {TYPED}\n")
    assert all(reason in words for reason in anyway.release.reasons)
    rows = columns(tables(anyway)["channel"], "cut", "assumed")
    assert rows[0] == ("R1.1", "assumed")
    assert columns(tables(free)["channel"], "assumed")[0] == ("",)


def test_a_run_that_is_said_to_be_cut_and_of_which_nothing_is_noted_is_named():
    says = "R1: cut, as the status says, and nothing of it is noted"
    assert says not in text(folder(one_bar(R1={"status": "ordered"})))
    assert says in text(folder(one_bar(R1={"status": "cut"})))
    assert says not in text(folder(built(one_bar(), "cut")))


def test_cautions_come_with_the_work():
    words = cautions(paper_of(folder(one_bar()), "cut-list"))
    for word in ("Clamp", "aluminium", "Deburr", "ventilation", "sleeve", "coiled reel"):
        assert word in words
    nothing = Paper("cut-list", "", "", "", "", cut_list_paper(folder(Job())))
    assert cautions(nothing) == ""
    assert said(nothing) == "There is nothing to cut."


def test_lengths_are_in_the_unit_of_the_job():
    job = one_bar(A1={"width": 889, "opening": [889]})
    inches = Job.model_validate(job.model_dump(by_alias=True) | {"job": {"length_unit": "in"}})
    found = folder(inches)
    assert columns(tables(found)["channel"], "cut", "length")[0] == ("R1.1", "34 5/8")  # 881 mm
    assert "[in]" in tables(found)["channel"].head[2]
    assert "to 1/16 in, rounded down, those of cables up" in text(found)
    stock = columns(tables(found)["channel"], "from")[0][0].partition("bought ")[2]
    assert stock == "39 3/8"  # 1000 mm
    assert stock in {row[2] for row in grid(paper_of(found, "order"), "part").rows}
    assert "to 0.5 mm, rounded down" in text(folder(job))


@pytest.mark.property
@quick(20)
@given(any_job())
def test_any_job_is_told_whole(job):
    found = folder(job)
    told = tables(found)
    for kind in KINDS:
        unmet = Counter(want.name for cut in found.cuts if cut.kind == kind
                        for want in cut.cutting.unmet for _ in range(want.count))  # fmt: skip
        listed = (
            Counter(own for (own,) in columns(told[kind], "cut")) if kind in told else Counter()
        )
        del listed["keep"], listed["scrap"], listed["cut off"]
        assert listed + unmet == Counter(
            piece.name for piece in found.pieces if piece.kind == kind
        ) or (kind == "cable" and not unmet - listed)
