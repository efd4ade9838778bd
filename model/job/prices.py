"""The price book: what parts and hours cost, and how long each task takes.

Every price is before tax. What the bundled book says is invented or an estimate; a user's own
file is laid over it, row by row.
"""

import tomllib
from collections import Counter
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Field, ValidationInfo, field_validator, model_validator
from pydantic_core import PydanticCustomError

from pelmet.model.job.items import Said
from pelmet.model.job.money import Currency, minor_unit
from pelmet.model.job.references import nearest
from pelmet.model.job.region_words import RegionWords
from pelmet.model.job.scalars import (
    Amount,
    Id,
    Minutes,
    Money,
    Name,
    Number,
    Percent,
    ShortWords,
    Size,
    Words,
)

Trade = Literal["fitter", "electrician", "bench"]
# "each visit": once for every visit to the site; "travel": the way to it, for every visit too.
Visit = Literal["survey", "bench", "first fix", "second fix", "handover", "each visit", "travel"]
Per = Literal["each", "metre"]
RoundTo = Annotated[Decimal, Number(Decimal("0.0001"), Decimal(1_000))]
Markup = Annotated[Decimal, Number(Decimal(0), Decimal(500), "%")]
_TASK_LETTERS = 40  # of an unknown task, as many are looked at to find the nearest


@cache
def _raw_book() -> dict[str, Any]:
    text = files(__package__).joinpath("prices.toml").read_text("utf-8")
    return tomllib.loads(text, parse_float=Decimal)


@cache
def task_ids() -> tuple[str, ...]:
    """Give the tasks that a plan is reckoned in: those of the bundled book."""
    return tuple(row["id"] for row in _raw_book()["task"])


def _known_task(name: str) -> str:
    if name not in task_ids():
        raise PydanticCustomError(
            "task",
            "no plan has this task{near}",
            {"near": nearest(name[:_TASK_LETTERS].lower(), task_ids())},
        )
    return name


class StockPrice(Said):
    """What one stock length of a bar costs."""

    length: Size
    price: Money


class PartPrice(Said):
    """What a part costs, and how it is sold."""

    id: Id
    price: Money = Field(description="Of a piece, or of a metre of what is sold by length")
    stock: Annotated[tuple[StockPrice, ...], Field(strict=False, max_length=20)] = Field(
        default=(), description="Of bars: stock lengths that do not cost so much a metre"
    )
    pack: Amount = Field(
        default=Decimal(1), description="Pieces, or metres, in a pack; only whole packs are sold"
    )
    least: Annotated[int, Field(ge=1, le=1000)] = Field(
        default=1, description="Fewest packs in an order"
    )
    code: ShortWords = Field(default="", description="The supplier's own number for it")
    lead_days: Annotated[int, Field(ge=0, le=365)] | None = Field(
        default=None, description="Days from order to delivery; unset when they are not known"
    )
    alternates: bool = Field(default=True, description="The supplier may send its equal")
    invented: bool = Field(default=False, description="No supplier asked this price")

    @model_validator(mode="after")
    def _lengths_stand_once(self) -> Self:
        if len({row.length for row in self.stock}) < len(self.stock):
            raise PydanticCustomError("stock", "a stock length stands twice; say it once")
        return self


class Task(Said):
    """How long one kind of work takes, who does it, and on which visit."""

    id: Annotated[str, AfterValidator(_known_task)]
    says: Name = Field(description="What it is, in words of the trade")
    minutes: Minutes = Field(description="For one person")
    per: Per = Field(default="each", description="How it is counted: each, or by the metre")
    least: Minutes = Field(
        default=Decimal(0), description="Of work by the metre: minutes for the shortest piece"
    )
    trade: Trade = Field(description="Who does it")
    visit: Visit = Field(description="When it is done")
    people: Annotated[int, Field(ge=1, le=4)] = Field(default=1, description="How many it takes")


def _figure(default: Any, title: str, description: str, basis: str = "estimate") -> Any:
    return Field(
        default=Decimal(default) if isinstance(default, int) else default,
        title=title,
        description=description,
        json_schema_extra={"basis": basis},
    )


class PriceBook(Said):
    """Prices, rates and times. Which fields a person has said is in ``model_fields_set``."""

    currency: Currency = _figure(
        "EUR", "Currency", "Of every price here: a code of ISO 4217", "invented"
    )
    tax_name: Name = _figure("VAT", "Tax", "What the tax on a sale is called", "the region")
    tax_percent: Percent = _figure(
        20, "Tax, percent", "Added to all that is sold", "invented: put in the rate of the place"
    )
    markup_percent: Markup = _figure(
        20,
        "Mark-up",
        "Added to what material costs, a share of the cost: price = cost * (100 + mark-up) / 100",
    )
    contingency_percent: Percent = _figure(
        10,
        "Contingency",
        "Added to labour and material for what nobody foresaw",
        "common practice, 10 to 15 %",
    )
    round_to: RoundTo | None = _figure(
        None,
        "Round to",
        "What the total is rounded to; unset, the currency's minor unit",
        "the currency",
    )
    valid_days: Annotated[int, Field(ge=1, le=365)] = Field(
        default=30,
        title="Valid days",
        description="How long a quote stands",
        json_schema_extra={"basis": "common practice"},
    )
    from_name: ShortWords = Field(
        default="", title="From", description="Who quotes, as it stands on the quote"
    )
    terms: Words = Field(default="", title="Terms", description="What a quote says at its end")
    fitter_per_hour: Money = _figure(50, "Fitter an hour", "On site, before tax")
    bench_per_hour: Money = _figure(50, "Bench an hour", "In the workshop, before tax")
    electrician_per_hour: Money = _figure(65, "Electrician an hour", "On site, before tax")
    congested_percent: Percent = _figure(
        0,
        "Congested",
        "Added to minutes on site where rooms are lived in or full",
        "estimate: nothing; 20 to 50 % where it is so",
    )
    parts: Annotated[tuple[PartPrice, ...], Field(strict=False)] = Field(
        default=(), alias="part", max_length=5000
    )
    tasks: Annotated[tuple[Task, ...], Field(strict=False)] = Field(
        default=(), alias="task", max_length=200
    )

    @field_validator("round_to", mode="after")
    @classmethod
    def _is_payable(cls, step: Decimal | None, info: ValidationInfo) -> Decimal | None:
        currency = info.data.get("currency")  # nothing when it was refused
        if step is not None and currency and step % minor_unit(currency):
            raise PydanticCustomError(
                "round_to",
                "a whole multiple of {unit} {currency} is wanted here",
                {"unit": str(minor_unit(currency)), "currency": currency},
            )
        return step

    @model_validator(mode="after")
    def _ids_stand_once(self) -> Self:
        for kind, rows in (("part", self.parts), ("task", self.tasks)):
            (item_id, times), *_ = Counter(row.id for row in rows).most_common(1) or [("", 0)]
            if times > 1:
                raise PydanticCustomError(
                    "part_id",
                    '{kind} "{id}" stands {times} times; say it once',
                    {"kind": kind, "id": item_id, "times": times},
                )
        return self

    @property
    def step(self) -> Decimal:
        """What the total is rounded to, in the currency of the book."""
        return minor_unit(self.currency) if self.round_to is None else self.round_to

    def tax_called(self, words: RegionWords) -> str:
        """What the tax is called: as somebody said, else as in the region of a job."""
        return self.tax_name if "tax_name" in self.model_fields_set else words.tax

    def part(self, item_id: str) -> PartPrice | None:
        """Give the row of a part, or nothing."""
        return next((row for row in self.parts if row.id == item_id), None)

    def task(self, item_id: str) -> Task:
        """Give the row of a task; ``KeyError`` if the book has none."""
        for row in self.tasks:
            if row.id == item_id:
                return row
        raise KeyError(item_id)

    def per_hour(self, trade: Trade) -> Decimal:
        """Give what an hour of a trade costs, before tax."""
        rates: dict[Trade, Decimal] = {
            "fitter": self.fitter_per_hour,
            "bench": self.bench_per_hour,
            "electrician": self.electrician_per_hour,
        }
        return rates[trade]


def overlay_prices(base: PriceBook, own: PriceBook) -> PriceBook:
    """Lay one book over another: what ``own`` says holds, the rest stays.

    The row of the same part or task is replaced in its place, and new rows follow. Raises
    pydantic's ``ValidationError`` if the two do not go together: a ``round_to`` of the base that
    the currency of ``own`` cannot pay.
    """
    said = {name: getattr(base, name) for name in base.model_fields_set}
    said |= {name: getattr(own, name) for name in own.model_fields_set}
    for table in ("parts", "tasks"):
        rows = {row.id: row for book in (base, own) for row in getattr(book, table)}
        said[table] = tuple(rows.values())
    return PriceBook.model_validate(said)


@cache
def bundled_prices() -> PriceBook:
    """Give the book that ships with the program: prices invented, times estimated."""
    return PriceBook.model_validate(_raw_book())
