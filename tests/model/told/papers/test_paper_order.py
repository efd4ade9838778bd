"""The order list against the lines of the order: it adds up, and only what lacks is ordered."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, part
from papers import cautions, grid, said

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.giving import Signed, note_order
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import OffCut
from pelmet.model.job.prices import PriceBook, bundled_prices, overlay_prices
from pelmet.model.measure.lengths import parse_length
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Grid, Paper
from pelmet.model.told.papers.sheets import paper_of

KITCHEN = read_example("kitchen")


def folder(job: Job, **said_prices: object) -> Folder:
    book = overlay_prices(bundled_prices(), PriceBook.model_validate(said_prices))
    return make_folder(plan_job(job), book)


def order(job: Job, **said_prices: object) -> Paper:
    return paper_of(folder(job, **said_prices), "order")


def table(found: Paper, name: str) -> Grid:
    (one,) = [each for each in found.blocks if isinstance(each, Grid) and each.name == name]
    return one


def cells(found: Paper, item_id: str, name: str = "order") -> dict[str, str]:
    """One row by the words of its head, units left out."""
    grid = table(found, name)
    (row,) = [each for each in grid.rows if each[0] == item_id]
    return dict(zip((head.partition(" [")[0] for head in grid.head), row, strict=True))


def sent(found: Folder, job: Job) -> Job:
    return note_order(job, [(each.part, each.length, each.amount)
                            for each in found.lines if each.packs])  # fmt: skip


def adds_up(found: Folder) -> None:
    paper = paper_of(found, "order")
    rows = [each for each in paper.blocks if isinstance(each, Grid) and each.name == "order"]
    for row in rows[0].rows if rows else ():
        named = dict(zip(rows[0].head, row, strict=True))
        packs, pack = map(Fraction, named["packs"].split(" x "))
        assert packs * pack == Fraction(named["amount"].removesuffix(" m"))
        if named["each [EUR]"] == "ask":
            assert named["cost [EUR]"] == "ask"
            continue
        exact = packs * pack * Fraction(named["each [EUR]"])
        cents = (Decimal(exact.numerator) / exact.denominator).quantize(
            Decimal("0.01"), ROUND_HALF_UP
        )
        assert Decimal(named["cost [EUR]"]) == cents
    if rows:
        costs = [row[rows[0].head.index("cost [EUR]")] for row in rows[0].rows]
        total = sum((Decimal(each) for each in costs if each != "ask"), Decimal(0))
        assert f"In all {total:,.2f} EUR".replace(",", " ") in said(paper)
        assert ("without what is still to be quoted" in said(paper)) == ("ask" in costs)


@pytest.mark.cross_check
@pytest.mark.parametrize("name", ["kitchen", "kitchen-with-pantry"])
def test_amounts_and_costs_add_up(name):
    adds_up(folder(read_example(name)))


@pytest.mark.cross_check
def test_lines_finer_than_a_cent_are_rounded_one_by_one_and_still_add_up():
    row = {"price": Decimal("0.0125"), "pack": 1}
    found = folder(one_bar(), part=[{"id": own, **row} for own in ("cap-17", "lever-2")])
    adds_up(found)
    assert cells(paper_of(found, "order"), "cap-17")["cost"] == "0.05"  # 4 of them


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_order_adds_up_and_has_every_line_in_one_of_its_tables(job):
    found = folder(job)
    adds_up(found)
    paper = paper_of(found, "order")
    grids = {each.name: each for each in paper.blocks if isinstance(each, Grid)}
    told = [row[0] for grid in grids.values() for row in grid.rows]
    assert sorted(told) == sorted(line.part for line in found.lines)


def test_a_line_says_all_that_the_supplier_asks():
    job = one_bar()
    (strip,) = [each for each in folder(job).lines if each.part == "white-24-10"]
    one = cells(order(job), "white-24-10")
    assert one["name"] == strip.name
    assert one["length"] == "5000"
    assert one["equal?"] == "NO"
    assert cells(order(job), "clip-17")["equal?"] == "yes"
    assert cells(order(job), "cap-17")["length"] == "-"
    assert "No equal in place of: white-24-10." in said(order(job))
    assert "Each of white-24-10: all reels of one batch." in said(order(job))
    assert "Delivery in 5 days: " in said(order(job))


def test_supplier_codes_have_a_column_once_there_is_one():
    assert "code" not in table(order(one_bar()), "order").head
    row = {"id": "cap-17", "price": 1, "code": "=7|<b>", "lead_days": 1}
    found = order(one_bar(), part=[row])
    assert cells(found, "cap-17")["code"] == "=7|<b>"
    assert cells(found, "clip-17")["code"] == "-"
    assert "Delivery in 1 day: cap-17." in said(found)


def test_what_goes_by_the_metre_says_so():
    amounts = [each["amount"] for each in (cells(order(KITCHEN), "flat-2x0.75"),
                                           cells(order(KITCHEN), "cap-17"))]  # fmt: skip
    assert amounts[0].endswith(" m")
    assert not amounts[1].endswith(" m")


def test_the_day_it_is_needed_by_or_room_for_it():
    assert "Needed by: 2027-03-01. Prices before tax." in said(order(KITCHEN))
    assert "Needed by: ____" in said(order(one_bar()))


def test_only_the_difference_is_ordered_again():
    first = folder(one_bar())
    job = sent(first, one_bar())
    assert "Nothing more is to be ordered." in said(order(job))
    wider = set_value(job, "allowances", "", "spare_clips", 60)
    again = order(wider)
    assert [row[0] for row in table(again, "order").rows] == ["clip-17"]
    before = cells(again, "clip-17", "order-before")
    (clip,) = [each for each in folder(wider).lines if each.part == "clip-17"]
    assert int(before["needed"]) == clip.needed
    assert int(before["ordered before"]) + int(before["ordered now"]) >= clip.needed
    assert before["over"] == "0"
    assert {row[0] for row in table(again, "order-before").rows} == {
        line.part for line in first.lines
    }


def test_it_says_when_and_by_whom_an_order_was_sent_where_that_was_noted():
    clip = [("joiner-17", None, Decimal(3))]
    assert "Sent" not in said(order(note_order(one_bar(), clip)))
    job = note_order(
        note_order(one_bar(), clip, Signed("2027-03-01", "Ann")), clip, Signed(by="Bo")
    )
    words = said(order(job))
    assert "Sent on 2027-03-01 by Ann." in words
    assert "Sent by Bo." in words


def test_what_was_ordered_and_is_needed_no_more_is_over():
    job = note_order(one_bar(), [("joiner-17", None, Decimal(3))])
    assert cells(order(job), "joiner-17", "order-before")["over"] == "3"


def test_own_off_cuts_are_listed_with_what_is_cut_from_them():
    own = OffCut(id="offcut1", piece="<7> שלום", part="surface-17", length=Decimal(900))
    rows = table(order(rebuilt(one_bar(), offcuts=(own,))), "order-off-cuts").rows
    assert rows == (("<7> שלום", "surface-17", "900", "-", "R1.1"),)
    short = own.model_copy(update={"length": Decimal(100)})
    (row,) = table(order(rebuilt(one_bar(), offcuts=(short,))), "order-off-cuts").rows
    assert row[-1] == "nothing"
    assert "off-cuts" not in said(order(one_bar()))


def test_invented_parts_are_minded_as_long_as_they_are_ordered():
    assert "surface-17" in cautions(order(one_bar()))
    real = next(each for each in bundled_catalogue().channels if each.id == "surface-17")
    own = rebuilt(
        one_bar(),
        catalogue=one_bar().catalogue.model_copy(
            update={"channels": (real.model_copy(update={"name": "As on the sheet"}),)}
        ),
    )
    assert "surface-17" not in cautions(order(own))
    assert "opal-17" in cautions(order(own))
    assert cautions(order(sent(folder(one_bar()), one_bar()))) == ""


def test_a_part_without_a_price_is_to_be_quoted():
    job = one_bar(parts={"strips": [part("strips", "mine")]}, R1={"strip": "mine"})
    assert cells(order(job), "mine")["each"] == "ask"
    assert "Please quote: mine." in said(order(job))
    assert "Please quote" not in said(order(one_bar()))


def test_strip_that_goes_on_from_a_known_batch_names_it():
    job = one_bar(R1={"batch": "B 7|<b>"})
    assert "white-24-10: of batch B 7|<b>, as before." in said(order(job))
    assert "as before" not in said(order(one_bar()))


def test_stock_lengths_are_in_the_unit_of_the_job():
    job = set_value(one_bar(), "site", "", "length_unit", "in")
    shown = cells(order(job), "white-24-10")["length"]
    assert float(parse_length(shown.lstrip("~"), "in")) == pytest.approx(5000, abs=0.8)
    assert "length [in]" in table(order(job), "order").head


def test_nothing_planned_is_nothing_to_order():
    assert said(order(Job())) == "There is nothing to order yet."
    assert grid(order(one_bar()), "part").name == "order"
