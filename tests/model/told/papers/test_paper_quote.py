"""The quote: it adds up to the last coin, twice over, and says what is not in it."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, one_bar, part, row
from papers import grid, said

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook, bundled_prices, overlay_prices
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Heading, Paper
from pelmet.model.told.papers.sheets import paper_of

KITCHEN = read_example("kitchen")
OFFICE = Heading("How it is made up: office copy, keep back")


def folder(job: Job, **said_prices: object) -> Folder:
    book = overlay_prices(bundled_prices(), PriceBook.model_validate(said_prices))
    return make_folder(plan_job(job), book)


def quote(job: Job, **said_prices: object) -> Paper:
    return paper_of(folder(job, **said_prices), "quote")


def amount(cell: str) -> Decimal:
    return Decimal("".join(cell.split(" ")[:-1]))


def adds_up(found: Paper, tax: str = "VAT") -> None:
    """Both the client's lines and the office's come to the same net and the same total."""
    client = [(says, amount(cell)) for says, cell in grid(found, "for").rows]
    office = [(says, amount(cell)) for says, _, cell in grid(found, "made up of").rows]
    for lines in (client, office):
        names = [says for says, _ in lines]
        at = names.index("Net")
        assert sum(cost for _, cost in lines[:at]) == lines[at][1]
        assert sum(cost for _, cost in lines[at:-1]) == lines[-1][1]
        assert names[at + 1].startswith(tax)
        assert names[-1] == "Total"
    assert dict(client)["Net"] == dict(office)["Net"]
    assert client[-1] == office[-1]


@pytest.mark.cross_check
@pytest.mark.parametrize(
    "prices",
    [
        {},
        {"currency": "JPY", "fitter_per_hour": 6123, "bench_per_hour": 5557},
        {"currency": "CHF", "round_to": "0.05", "markup_percent": 33, "tax_percent": "8.1"},
        {"currency": "KWD", "markup_percent": 0, "contingency_percent": 0},
        {"fitter_per_hour": 0, "bench_per_hour": 0, "electrician_per_hour": 0},
        {"bench_per_hour": 0, "tax_percent": 0, "round_to": 10},
    ],
)
def test_it_adds_up_to_the_last_coin(prices):
    if "round_to" in prices:
        prices = prices | {"round_to": Decimal(str(prices["round_to"]))}
    if "tax_percent" in prices:
        prices = prices | {"tax_percent": Decimal(str(prices["tax_percent"]))}
    adds_up(quote(KITCHEN, **prices))


@pytest.mark.property
@QUICK
@given(any_job(), st.integers(0, 99_999))
def test_any_job_adds_up(job, cents):
    rate = Decimal(cents) / 100
    found = folder(job, fitter_per_hour=rate, bench_per_hour=rate / 2)
    paper = paper_of(found, "quote")
    if found.plan.bars:
        adds_up(paper)
    else:
        assert said(paper) == "There is nothing to quote yet: no bar is planned."


def test_tax_and_rounding_stand_by_name_percent_and_rule():
    found = quote(one_bar(), tax_name="TVA | <b>", tax_percent=Decimal("5.5"),
                  round_to=Decimal("0.05"))  # fmt: skip
    names = [each[0] for each in grid(found, "for").rows]
    assert "TVA | <b> 5.5 %" in names
    assert "Each line is rounded to 0.01 EUR, the total to 0.05 EUR;" in said(found)
    assert "Each line is rounded to 0.01 EUR; a half" in said(quote(one_bar()))
    total = dict(grid(found, "for").rows)["Total"]
    assert amount(total) % Decimal("0.05") == 0


def test_mark_up_is_for_the_office_alone():
    found = quote(one_bar())
    at = found.blocks.index(OFFICE)
    client = found._replace(blocks=found.blocks[:at])
    assert "ark-up" not in said(client)
    assert "Mark-up on it | 20 %" in said(found)
    (_, bought), (_, markup) = [
        (each[0], amount(each[2])) for each in grid(found, "made up of").rows[:2]
    ]
    assert markup == pytest.approx(bought / 5, abs=Decimal("0.02"))  # each group is rounded


def test_hours_are_those_of_the_work_by_visit_and_mains_work_apart():
    found = folder(KITCHEN)
    words = said(paper_of(found, "quote"))
    for visit in ("survey", "bench", "first fix", "second fix", "handover", "travel"):
        own = [each for each in found.work if each.visit == visit]
        minutes = sum(each.minutes for each in own if each.task.trade != "electrician")
        assert f"{visit} {minutes / 60:.1f} h" in words
    assert "mains work in the second fix 1.0 h" in words
    assert "They are estimates." in words


def test_people_and_visits():
    assert "Visits: second fix; at most 1 person at a time." in said(quote(one_bar()))
    assert "Visits: first fix, second fix;" in said(quote(KITCHEN))
    long = row(1200, 1200, underside="flush")
    assert "at most 2 people at a time." in said(quote(long))


def test_invented_prices_are_counted_until_they_are_asked_for():
    found = folder(one_bar())
    count = len(found.quote.invented)
    assert count > 1
    assert f"Prices of {count} parts are invented" in said(paper_of(found, "quote"))
    first, *others = found.quote.invented
    own = [{"id": each, "price": 1} for each in others]
    assert "Prices of 1 part is invented" in said(quote(one_bar(), part=own))
    assert "invented" not in said(quote(one_bar(), part=[*own, {"id": first, "price": 1}]))


def test_parts_without_a_price_and_work_that_is_not_priced_are_not_in_it():
    job = one_bar(parts={"strips": [part("strips", "mine")]}, R1={"strip": "mine"})
    assert "Parts without a price: mine." in said(quote(job))
    assert "without a price" not in said(quote(one_bar()))
    assert "Permits" in said(quote(job))
    assert "\nMains work.\n" in said(quote(one_bar(), electrician_per_hour=0))
    assert "New circuits" in said(quote(one_bar()))


def test_whose_quote_it_is_for_whom_and_how_long_it_stands():
    job = set_value(one_bar(), "site", "", "client", "A & <b>")
    words = said(quote(job, from_name="שלום | Co", terms="Half now.", valid_days=14))
    assert "For: A & <b>   From: שלום | Co" in words
    assert "It stands for 14 days." in words
    assert "Half now." in words


def test_assumed_lengths_are_told_with_the_price():
    assert "Some lengths are assumed" in said(quote(one_bar(A1={"assumed": ["opening"]})))
    assert "assumed" not in said(quote(one_bar()))


def test_options_are_the_same_as_on_the_approval():
    found = folder(KITCHEN)
    first, second = (grid(paper_of(found, name), "option") for name in ("quote", "approval"))
    assert first.rows == second.rows
    assert first.name != second.name
