"""The bundled price book, a person's own laid over it, and all that can be wrong with that."""

import tomllib
from collections.abc import Callable
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import get_args

import pytest
from pydantic import ValidationError

from pelmet.model.file.job.reading import load_prices
from pelmet.model.file.toml.faults import Fault, FileError
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.prices import (
    PriceBook,
    Trade,
    Visit,
    bundled_prices,
    overlay_prices,
    task_ids,
)
from pelmet.tui import places

D = Decimal
BUNDLED = bundled_prices()
TEXT = files("pelmet.model.job").joinpath("prices.toml").read_text("utf-8")
PARTS = [part for table in Catalogue.model_fields for part in getattr(bundled_catalogue(), table)]
CUT = '[[task]]\nid = "cut-bar"\nsays = "Cut it"\nminutes = 9\ntrade = "bench"\nvisit = "bench"\n'

Write = Callable[[str], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def written(text: str) -> Path:
        path = tmp_path / "own.toml"
        path.write_text(text, "utf-8")
        return path

    return written


@pytest.fixture
def faults(write: Write) -> Callable[[str], tuple[Fault, ...]]:
    def found(text: str) -> tuple[Fault, ...]:
        with pytest.raises(FileError) as caught:
            load_prices(write(text))
        return caught.value.faults

    return found


# --- The bundled book -----------------------------------------------------------------------------


def test_the_bundled_book_says_that_it_is_invented_and_estimated():
    head = TEXT.partition("[[")[0]
    assert "invented" in head
    assert "estimates" in head
    assert all(row.invented for row in BUNDLED.parts)


def test_every_bundled_part_has_a_bundled_price_and_nothing_else_has():
    assert [row.id for row in BUNDLED.parts] == [part.id for part in PARTS]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.id)
def test_a_bundled_price_is_the_one_that_the_bundled_catalogue_says(part):
    assert BUNDLED.part(part.id).price == part.price


def test_strip_is_sold_by_the_reel_of_the_catalogue_and_never_replaced():
    for strip in bundled_catalogue().strips:
        assert BUNDLED.part(strip.id).pack * 1000 == strip.reel
        assert not BUNDLED.part(strip.id).alternates


def test_the_bundled_file_holds_nothing_but_parts_and_tasks():
    assert set(tomllib.loads(TEXT)) == {"part", "task"}
    assert BUNDLED.model_fields_set == {"parts", "tasks"}


def test_every_task_is_asked_for_by_name_and_has_minutes():
    assert [row.id for row in BUNDLED.tasks] == list(task_ids())
    for item_id in task_ids():
        assert BUNDLED.task(item_id).id == item_id
        assert BUNDLED.task(item_id).minutes > 0
    with pytest.raises(KeyError):
        BUNDLED.task("cut-corners")
    assert BUNDLED.part("no-such-part") is None


def test_every_trade_and_visit_has_work_and_every_trade_its_own_rate():
    assert {row.trade for row in BUNDLED.tasks} == set(get_args(Trade))
    assert {row.visit for row in BUNDLED.tasks} == set(get_args(Visit))
    rates = {"fitter_per_hour": D(1), "bench_per_hour": D(2), "electrician_per_hour": D(3)}
    book = PriceBook(**rates)
    assert [book.per_hour(each) for each in ("fitter", "bench", "electrician")] == [1, 2, 3]


def test_mains_work_is_the_electricians_alone():
    electric = {row.id for row in BUNDLED.tasks if row.trade == "electrician"}
    assert electric == {item_id for item_id in task_ids() if "mains" in item_id}


def test_only_work_by_the_metre_has_a_least():
    assert {row.id for row in BUNDLED.tasks if row.least} == {"hang-bar"}
    assert BUNDLED.task("hang-bar").per == "metre"


def test_a_total_is_rounded_to_what_the_currency_can_pay_unless_said_otherwise():
    assert BUNDLED.step == D("0.01")
    assert PriceBook(currency="JPY").step == 1
    assert PriceBook(currency="KWD").step == D("0.001")
    assert PriceBook(currency="CHF", round_to=D("0.05")).step == D("0.05")
    assert PriceBook(currency="JPY", round_to=D("10")).step == 10


def test_every_figure_of_the_book_itself_says_where_it_comes_from():
    for name, field in PriceBook.model_fields.items():
        if name not in {"from_name", "terms", "parts", "tasks"}:
            assert field.title, name
            assert field.description, name
            assert field.json_schema_extra["basis"], name


# --- One's own book over it -----------------------------------------------------------------------


def test_an_empty_file_changes_nothing(write: Write):
    assert load_prices(write("")) == BUNDLED
    assert overlay_prices(BUNDLED, PriceBook()) == BUNDLED
    assert overlay_prices(BUNDLED, BUNDLED) == BUNDLED
    assert overlay_prices(PriceBook(), BUNDLED) == BUNDLED


def test_only_what_a_file_says_is_changed(write: Write):
    book = load_prices(write('currency = "USD"\ntax_name = "sales tax"\ntax_percent = 7.25\n'))
    assert (book.currency, book.tax_name, book.tax_percent) == ("USD", "sales tax", D("7.25"))
    assert book.model_fields_set - BUNDLED.model_fields_set == {
        "currency", "tax_name", "tax_percent"
    }  # fmt: skip
    unsaid = set(PriceBook.model_fields) - {"currency", "tax_name", "tax_percent"}
    assert all(getattr(book, name) == getattr(BUNDLED, name) for name in unsaid)


def test_saying_the_default_aloud_undoes_what_the_book_below_says():
    below = PriceBook(markup_percent=D(35), valid_days=14, terms="Half in advance.")
    above = PriceBook(markup_percent=D(20))
    both = overlay_prices(below, above)
    assert (both.markup_percent, both.valid_days, both.terms) == (20, 14, "Half in advance.")


def test_ones_own_rows_replace_in_place_and_new_parts_follow(write: Write):
    own = (
        '[[part]]\nid = "mine"\nprice = 5\n\n'
        '[[part]]\nid = "surface-17"\nprice = 9.5\ncode = "A 17/2"\nlead_days = 3\n'
        "stock = [{ length = 2000, price = 18 }, { length = 3000, price = 26.40 }]\n\n" + CUT
    )
    book = load_prices(write(own))
    ids = [row.id for row in BUNDLED.parts]
    assert [row.id for row in book.parts] == [*ids, "mine"]
    bar = book.part("surface-17")
    assert (bar.price, bar.code, bar.lead_days, bar.invented) == (D("9.5"), "A 17/2", 3, False)
    assert [(row.length, row.price) for row in bar.stock] == [(2000, 18), (3000, D("26.4"))]
    assert book.part("mine").pack == book.part("mine").least == 1
    assert book.part("mine").alternates
    others = [row for row in book.parts if row.id not in ("mine", "surface-17")]
    assert others == [row for row in BUNDLED.parts if row.id != "surface-17"]
    assert [row.id for row in book.tasks] == list(task_ids())
    assert (book.task("cut-bar").minutes, book.task("cut-bar").says) == (9, "Cut it")
    assert {row.id for row in book.tasks if row not in BUNDLED.tasks} == {"cut-bar"}


def test_money_is_read_exactly_never_as_a_binary_float(write: Write):
    book = load_prices(write('fitter_per_hour = 47.1\n[[part]]\nid = "mine"\nprice = 0.1\n'))
    assert book.part("mine").price * 3 == D("0.3")
    assert book.fitter_per_hour == D("47.1")


def test_two_books_that_do_not_go_together_are_refused():
    with pytest.raises(ValidationError, match="whole multiple of 1 JPY"):
        overlay_prices(PriceBook(round_to=D("0.05")), PriceBook(currency="JPY"))


def test_a_book_cannot_be_changed():
    with pytest.raises(ValidationError):
        BUNDLED.tax_percent = D(1)


# --- What a file may not say ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "near"), [("EURO", "EUR"), ("usd", "USD"), ("GBPS", "GBP"), ("CHFR", "CHF")]
)
def test_an_unknown_currency_is_told_with_the_nearest(faults, code, near):
    (fault,) = faults(f'# mine\ncurrency = "{code}"\n')
    assert (fault.line, fault.where, fault.found) == (2, "currency", f'"{code}"')
    assert f'(did you mean "{near}"?)' in fault.says
    assert "ISO 4217" in fault.says


def test_a_currency_like_no_other_has_no_nearest(faults):
    (fault,) = faults('currency = "@@@@"\n')
    assert "did you mean" not in fault.says


def test_an_unknown_task_is_told_with_the_nearest(faults):
    (fault,) = faults(CUT.replace("cut-bar", "cut-barr"))
    assert (fault.line, fault.where) == (2, "task cut-barr, id")
    assert fault.says == 'no plan has this task (did you mean "cut-bar"?)'


def test_an_unknown_key_is_told_with_the_nearest(faults):
    first, second = faults('tax_percentage = 20\n[[part]]\nid = "mine"\nprice = 1\nlead_day = 3\n')
    assert 'did you mean "tax_percent"?' in first.says
    assert (second.line, second.where) == (5, "part mine, lead_day")
    assert 'did you mean "lead_days"?' in second.says


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("price", "-0.01", "out of range: from 0 to 1000000"),
        ("price", "1000000.01", "out of range"),
        ("price", "1e400", "out of range"),
        ("price", "1e999999999999999999999", "finite"),
        ("price", "9" * 5000, "no number here is that long"),
        ("price", "nan", "a finite number is wanted here"),
        ("price", "-inf", "a finite number is wanted here"),
        ("price", "0.0000001", "at most six decimals"),
        ("price", '"1.50"', "a number is wanted here"),
        ("price", "true", "a number is wanted here"),
        ("pack", "0", "out of range"),
        ("least", "0", "too small; at least 1"),
        ("least", "1.5", "a whole number is wanted here"),
        ("lead_days", "-1", "too small; at least 0"),
        ("alternates", '"yes"', "true or false is wanted here"),
        ("code", '"' + "x" * 61 + '"', "too long; at most 60 letters"),
        ("code", '"\\u001b[31m"', "control"),
        ("stock", "[{ length = 2000 }]", "missing"),
        ("stock", "[{ length = 2000, price = -1 }]", "out of range"),
    ],
)
def test_a_row_of_nonsense_is_told_at_its_line(faults, key, value, says):
    price = "" if key == "price" else "price = 1\n"
    (fault,) = faults(f'[[part]]\nid = "mine"\n{price}{key} = {value}\n')
    assert fault.line == (3 if key == "price" else 4)
    assert says in fault.says


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("tax_percent = 100.1", "out of range: from 0 % to 100 %"),
        ("tax_percent = -1", "out of range"),
        ('tax_name = ""', "too short"),
        ("markup_percent = 501", "out of range: from 0 % to 500 %"),
        ("valid_days = 0", "too small"),
        ("round_to = 0", "out of range"),
        ("round_to = 0.015", "a whole multiple of 0.01 EUR is wanted here"),
        ("fitter_per_hour = -5", "out of range"),
        ("congested_percent = nan", "finite"),
        ("currency = 978", "text is wanted here"),
        ("part = 3", "each one is a block of its own, under the line [[part]]"),
    ],
)
def test_a_figure_of_nonsense_is_told_at_its_line(faults, line, says):
    (fault,) = faults(f"# mine\n{line}\n")
    assert fault.line == 2
    assert says in fault.says


def test_a_total_cannot_be_rounded_to_what_the_currency_cannot_pay(faults, write):
    (fault,) = faults('currency = "JPY"\nround_to = 0.5\n')
    assert (fault.line, fault.where, fault.found) == (2, "round_to", "0.5")
    assert fault.says == "a whole multiple of 1 JPY is wanted here"
    assert load_prices(write('currency = "CHF"\nround_to = 0.05\n')).step == D("0.05")


def test_an_id_stands_once_and_so_does_a_stock_length(faults):
    row = '[[part]]\nid = "mine"\nprice = 1\n'
    (fault,) = faults(row + row)
    assert (fault.line, fault.where) == (5, "part mine, id")
    assert "already a part" in fault.says
    (fault,) = faults(CUT + CUT)
    assert (fault.line, fault.where) == (8, "task cut-bar, id")
    twice = "{ length = 2000, price = 1 }"
    (fault,) = faults(row + f"stock = [{twice}, {twice}]\n")
    assert (fault.where, fault.says) == ("part mine", "a stock length stands twice; say it once")


def test_a_book_made_in_code_is_held_to_the_same():
    row = {"id": "mine", "price": 1}
    with pytest.raises(ValidationError, match='part "mine" stands 3 times'):
        PriceBook.model_validate({"part": [row, row, row]})


def test_a_task_says_all_of_itself(faults):
    told = faults('[[task]]\nid = "cut-bar"\nminutes = 9\n')
    assert [fault.where for fault in told] == [
        "task cut-bar, says", "task cut-bar, trade", "task cut-bar, visit"
    ]  # fmt: skip
    (fault,) = faults(CUT.replace('trade = "bench"', 'trade = "fiter"'))
    assert fault.says.endswith('(did you mean "fitter"?)')


def test_all_faults_are_told_at_once_in_the_order_of_the_file(faults):
    told = faults(
        'currency = "EURO"\n'
        "tax_percent = 120\n"
        "nonsense = 1\n"
        '[[part]]\nid = "a"\nprice = -1\n'
        '[[part]]\nid = "a"\nprice = 2\n' + CUT.replace("= 9", "= nan")
    )
    assert [fault.line for fault in told] == [1, 2, 3, 6, 8, 13]


def test_too_many_rows_are_refused_before_each_is_looked_at(faults):
    (fault,) = faults('[[part]]\nid = "a"\nprice = 1\n' * 5001)
    assert fault.says == "too many; at most 5000"


# --- Where it is kept -----------------------------------------------------------------------------


def test_own_prices_come_from_the_variable_or_the_settings_folder(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.delenv("PELMET_PRICES", raising=False)
    assert places.user_prices() is None
    usual = own_folders / "config" / "pelmet" / "prices.toml"
    usual.parent.mkdir(parents=True)
    usual.write_text("tax_percent = 7\n")
    assert places.user_prices() == usual
    assert places.user_catalogue() is None
    monkeypatch.setenv("PELMET_PRICES", "elsewhere.toml")
    assert places.user_prices() == Path("elsewhere.toml")
