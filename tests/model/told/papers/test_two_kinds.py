"""What is to do and what is built: told apart on every paper, each thing once, nothing twice."""

from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from decimal import Decimal

import pytest
from fed_rooms import anything
from histories import built, sent, with_pantry
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, quick
from papers import folder, said, words

from pelmet.model.edit.building import note_built
from pelmet.model.edit.change import rebuilt
from pelmet.model.edit.giving import give_out
from pelmet.model.examples import read_example
from pelmet.model.job.built import STATUSES
from pelmet.model.job.job import Job
from pelmet.model.job.money import marked_up, minor_unit
from pelmet.model.order.folder import Folder
from pelmet.model.refusal import Refusal
from pelmet.model.told.blocks.two_kinds import AS_BUILT, TO_DO
from pelmet.model.told.blocks.wires import cables_of
from pelmet.model.told.paper import Block, Grid, Heading, Labels, SheetName
from pelmet.model.told.papers.sheets import APART, mark_of, paper_of, void_papers

KITCHEN = read_example("kitchen")
BUILT = built(KITCHEN)
MORE = with_pantry(BUILT)
DONE, ADDED = folder(BUILT), folder(MORE)
TWO_KINDS: tuple[SheetName, ...] = (
    "cut-list", "labels", "drill-list", "first-fix", "mounting", "wiring", "test-record",
)  # fmt: skip


def parts(found: Folder, name: SheetName) -> tuple[list[Block], list[Block]]:
    """Give what is to do, all of it where nothing is told apart, and what is built."""
    new: list[Block] = []
    old: list[Block] = []
    into = new
    for block in paper_of(found, name).blocks:
        into = old if block == Heading(AS_BUILT) else into
        into.append(block)
    return new, old


def names(blocks: Iterable[Block], table: str, column: int = 0) -> list[str]:
    """Give what stands in a column of the tables of a name, whichever kind they are of."""
    tables = {table, f"{table}-to-do", f"{table}-as-built"}
    return [row[column] for each in blocks if isinstance(each, Grid) and each.name in tables
            for row in each.rows]  # fmt: skip


def labels(blocks: Iterable[Block]) -> list[str]:
    return [one.large for each in blocks if isinstance(each, Labels) for one in each.each]


def pieces(blocks: Iterable[Block]) -> list[str]:
    kinds = ("cut-list", "cut-list-diffuser", "cut-list-strip", "cut-list-cable")
    cells = (cell for table in kinds for cell in names(blocks, table, 1))
    return [cell for cell in cells if cell not in ("keep", "scrap", "rest", "cut off")]


# --- An addition to what is built, and no addition ------------------------------------------------


def test_what_is_added_is_to_do_and_nothing_else_is():
    bars = {bar.id for bar in DONE.plan.bars}
    holes = {hole.id for hole in DONE.plan.holes}
    cables = {cable.id for cable in cables_of(DONE.plan)}
    told = {name: parts(ADDED, name) for name in TWO_KINDS}
    assert set(pieces(told["cut-list"][0])) == {"R5.1", "L4.1"}
    assert bars <= set(pieces(told["cut-list"][1]))
    assert labels(told["labels"][0]) == ["R5.1", "L4.1", "L4.1"]
    assert Counter(labels(told["labels"][1])) == Counter((*bars, *cables, *cables))
    assert "Nothing is left to do." in words(told["drill-list"][0])
    assert set(names(told["drill-list"][1], "drill-list")) == holes
    assert names(told["mounting"][0], "mounting") == ["R5.1"]
    assert set(names(told["mounting"][1], "mounting")) == bars
    assert names(told["wiring"][0], "wiring") == ["L4.1"]
    assert set(names(told["wiring"][1], "wiring")) == cables
    assert names(told["wiring"][0], "wiring-supplies") == []
    in_wall = names(told["first-fix"][1], "first-fix")
    assert "Nothing is left to do." in words(told["first-fix"][0])
    assert in_wall
    assert set(in_wall) <= cables


def test_what_was_cut_is_told_as_it_was_noted():
    (_, old) = parts(ADDED, "cut-list")
    text = words(old)
    assert "cut1 | R1.1 | 1389.25 | surface-17 2000 |  |  | on 2027-03-04 by Jo" in text
    assert "cut1 | rest | 597.75 | surface-17 2000 |  | kept for this job" in text
    spoilt = rebuilt(
        BUILT,
        cuts=tuple(
            cut.model_copy(update={"kept": "in the store", "batch": "B7"})
            if cut.id == "cut1" else cut
            for cut in BUILT.cuts
        ),
    )  # fmt: skip
    assert "surface-17 2000 | B7 | in the store of off-cuts" in said(
        paper_of(folder(spoilt), "cut-list")
    )


@pytest.mark.parametrize("name", TWO_KINDS)
def test_of_what_is_all_built_nothing_is_to_do(name):
    new, old = parts(DONE, name)
    assert f"{TO_DO}\nNothing is left to" in words(new)
    assert not any(isinstance(each, Grid) and each.name != "" for each in new)
    assert old


def test_of_what_is_all_built_nothing_is_to_order_or_to_pay():
    assert "Nothing more is to be ordered." in said(paper_of(DONE, "order"))
    assert not any(line.packs or line.over for line in DONE.lines)
    assert DONE.change
    assert (DONE.change.work, DONE.change.quote.total) == ((), 0)
    assert "Nothing is left to be ordered or done" in said(paper_of(DONE, "quote"))


@pytest.mark.parametrize("name", APART)
def test_where_nothing_is_built_nothing_is_told_apart(name):
    found = folder(with_pantry(KITCHEN))
    paper = paper_of(found, name)
    assert paper.blocks == paper_of(found, name, "as one").blocks
    assert paper.blocks == paper_of(found, name, "to do").blocks


@pytest.mark.parametrize("name", APART)
def test_only_what_is_to_do_is_the_same_without_what_is_built(name):
    alone = paper_of(ADDED, name, "to do")
    text = said(alone)
    assert AS_BUILT not in text
    assert "Ordered before" not in text
    assert alone.file == f"{name}-to-do"
    if name in TWO_KINDS and name not in ("wiring", "first-fix"):  # these end in what is of both
        assert list(alone.blocks) == parts(ADDED, name)[0]


# --- Proving --------------------------------------------------------------------------------------


def test_what_hangs_on_the_same_supply_is_proved_again_and_why_is_said():
    text = words(parts(ADDED, "test-record")[0])
    assert "L1 L2 L3: tested again, on S1, which now feeds R5 too." in text
    assert "R5.1, from where people stand and sit" in text
    assert "mains side" not in text.split("To do: dead")[1]


def test_what_is_on_another_supply_stands_as_proved():
    job = rebuilt(
        MORE,
        supplies=(*MORE.supplies, MORE.supplies[0].model_copy(update={"id": "S2"})),
        legs=tuple(
            leg.model_copy(update={"supply": "S2"}) if leg.id == "L4" else leg for leg in MORE.legs
        ),
    )
    new, old = parts(folder(job), "test-record")
    points = names(new, "test-record")
    assert points[:2] == ["S2 unloaded", "S2 loaded"]
    assert all(point.startswith(("S2", "L4", "R5")) for point in points)
    assert "L1 L2 L3: proved, and not to be read again." in words(old)
    assert "R1 R2 R3 R4: proved on 2027-03-04 by Jo" in words(old)
    assert not set(points) & set(names(old, "readings"))
    assert "S2: mains side tested" in words(new)


def test_a_run_on_a_leg_that_is_proved_has_the_leg_proved_again_until_it_is_too():
    onto = rebuilt(
        MORE,
        legs=tuple(leg for leg in MORE.legs if leg.id != "L4"),
        runs=tuple(
            run.model_copy(update={"leg": "L1"}) if run.id == "R5" else run for run in MORE.runs
        ),
    )
    for status in ("measured", "wired", "proved"):
        job = note_built(folder(onto), ["R5"], status) if status != "measured" else onto
        text = words(parts(folder(job), "test-record")[0])
        assert ("L1: tested again, it now feeds R5 too." in text) is (status != "proved")
        assert ("L2 L3: tested again, on S1, which now feeds R5 too." in text) is (
            status != "proved"
        )


def test_a_kitchen_that_is_wired_and_not_proved_is_proved_as_ever():
    wired = folder(built(KITCHEN, "wired"))
    record = paper_of(wired, "test-record").blocks
    assert Heading(TO_DO) not in record
    assert Heading("Dead") in record


# --- Price of a change ----------------------------------------------------------------------------


def test_the_price_of_a_change_is_of_what_is_ordered_now_and_of_work_that_is_new():
    assert ADDED.change
    work, quote = ADDED.change
    unit = minor_unit(quote.currency)
    exact = sum((line.cost or Decimal(0) for line in ADDED.lines), Decimal(0))
    assert quote.bought == exact
    material = sum((each.amount for each in quote.material), Decimal(0))
    assert abs(material - marked_up(exact, ADDED.prices.markup_percent, unit)) < Decimal("0.05")
    assert {each.visit for each in work} == {"survey", "bench", "second fix", "handover", "travel"}
    counted = {each.task.id: each.amount for each in work}
    assert counted["cut-bar"] == counted["set-up"] == counted["clean-up"] == 1
    assert counted["commission-leg"] == 4  # all legs of the supply
    assert not {"drill-hole", "mount-supply", "mains-connect", "fish-in-wall"} & set(counted)
    assert quote.mains == ()
    assert quote.total < ADDED.quote.total


def test_the_whole_stands_below_the_change_as_it_was_quoted_at_first():
    text = said(paper_of(ADDED, "quote"))
    assert text.index("What is still to come") < text.index("All of it, built and to come")
    first = folder(with_pantry(KITCHEN)).quote
    assert [each.says for each in first.labour] == [each.says for each in ADDED.quote.labour]
    assert folder(KITCHEN).change is None
    assert "All of it" not in said(paper_of(folder(KITCHEN), "quote"))


def test_what_was_ordered_is_not_called_over_by_what_is_added():
    assert not [line.part for line in ADDED.lines if line.over]
    assert not [each for each in ADDED.plan.findings if each.code == "ordered-too-much"]
    text = said(paper_of(ADDED, "order"))
    assert text.index("cap-17 | End cap 17 mm") < text.index("Ordered before")


def test_doing_what_papers_say_does_not_make_them_void():
    measured = {
        table: tuple(each.model_copy(update={"assumed": ()}) for each in getattr(KITCHEN, table))
        for table in ("walls", "cabinets", "obstacles")
    }
    job = sent(rebuilt(KITCHEN, **measured))  # else what is built is assumed no more
    held = folder(job)
    marks = {name: mark_of(held, name) for name in TWO_KINDS if name != "cut-list"}
    given_out = give_out(job, marks)
    done = note_built(folder(given_out), [run.id for run in job.runs], "proved")
    assert void_papers(folder(done)) == ()
    assert "mounting" in void_papers(folder(with_pantry(done)))


# --- Any job --------------------------------------------------------------------------------------


def once(job: Job) -> None:
    found = folder(job)
    plan = found.plan

    def told(name: SheetName, table: str) -> list[str]:
        return [each for part in parts(found, name) for each in names(part, table)]

    def parted(name: SheetName, table: str, built_ones: set[str]) -> None:
        new, old = parts(found, name)
        assert set(names(new, table)).isdisjoint(built_ones) or not old
        assert set(names(old, table)) <= built_ones

    cables = cables_of(plan)
    assert Counter(told("drill-list", "drill-list")) == Counter(hole.id for hole in plan.holes)
    parted("drill-list", "drill-list", {hole.id for hole in plan.holes if hole.there})
    assert Counter(told("mounting", "mounting")) == Counter(bar.id for bar in plan.bars)
    parted("mounting", "mounting", {bar.id for bar in plan.bars if bar.hangs})
    assert Counter(told("wiring", "wiring")) == Counter(cable.id for cable in cables)
    parted("wiring", "wiring", {cable.id for cable in cables if cable.laid})
    both = [each for part in parts(found, "labels") for each in labels(part)]
    ids = [cable.id for cable in cables]
    both = [each for each in both if not each.endswith((" fuse", " block"))]
    assert Counter(both) == Counter((*(bar.id for bar in plan.bars), *ids, *ids))
    unmet = Counter(want.name for cut in found.cuts for want in cut.cutting.unmet)
    new, old = parts(found, "cut-list")
    if any(piece.cut for piece in found.pieces):
        assert Counter(pieces(old)) == Counter(p.name for p in found.pieces if p.cut)
    to_cut = Counter(piece.name for piece in found.pieces if not piece.cut)
    listed = Counter(pieces(new))
    assert listed <= to_cut
    assert to_cut - listed <= unmet


@pytest.mark.property
@quick(40)
@given(st.one_of(any_job(), anything()), st.data())
def test_any_piece_hole_bar_and_cable_stands_once_in_one_of_the_two_parts(job, data):
    plain = rebuilt(job, cuts=(), hung=(), drilled=(), laid=(), fitted=(), diary=())
    runs = [run.id for run in plain.runs]
    for _ in range(2):
        some = [run for run in runs if data.draw(st.booleans())]
        status = data.draw(st.sampled_from(STATUSES))
        with suppress(Refusal):  # what hangs off its wall has no place that can be noted
            plain = note_built(folder(plain), some, status)
    once(plain)
