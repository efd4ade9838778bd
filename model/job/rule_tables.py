"""Tables that go with the rules: cords, breakers, colours, and what to ask the licensed person."""

from decimal import Decimal
from functools import cache
from typing import Annotated, Literal

from pydantic import Field

from pelmet.model.job.feeds import Breaker, RuleId
from pelmet.model.job.rules import Region, SourcedRow, raw_tables, rules_of
from pelmet.model.job.scalars import Amps, Limit, SquareMillimetres

Gauge = Annotated[int, Field(ge=10, le=28)]
Circuit = Literal["mains", "direct current"]
Conductor = Literal["live", "neutral", "earth", "+", "-"]
# What in a job makes something a question.
When = Literal[
    "supply",
    "plug in cabinet",
    "plugged in",
    "not plugged in",
    "in wall",
    "hard-wired",
    "near sink",
    "closet",
    "several supplies on one circuit",
    "cord through cabinet",
]
# The fields of a supply that can hold an answer.
AnswerField = Literal["connection", "circuit", "breaker", "protection", "isolator"]


class CordAmps(SourcedRow):
    """What a flexible cord of one size may carry; its size is either mm2 or AWG."""

    mm2: SquareMillimetres | None = None
    awg: Gauge | None = None
    amps: Amps


class Overcurrent(SourcedRow):
    """The most that may protect a small copper conductor."""

    awg: Gauge
    amps: Amps


class BreakerRow(SourcedRow):
    """A breaker: its rating, and how many supplies it takes in percent of what a C16 takes."""

    breaker: Breaker
    amps: Amps
    share: Limit | None = None


class Colour(SourcedRow):
    """The colour of one conductor; of the lead of a supply that goes on it; and of its screw.

    Leads come in the colours of one region or another; which screw each goes under is common
    practice, where screws have colours.
    """

    circuit: Circuit
    conductor: Conductor
    colour: str = Field(min_length=1)
    lead: str = ""
    screw: str = ""
    note: str = ""


class LicensedQuestion(SourcedRow):
    """A question for the licensed person, and what in a job raises it.

    ``answered_by`` names the fields of a supply that hold the answer.
    """

    id: RuleId
    when: When
    asks: str = Field(pattern=r"\?$")
    answered_by: Annotated[tuple[AnswerField, ...], Field(strict=False)] = ()


@cache
def cords() -> tuple[CordAmps, ...]:
    """Give the amps of every cord listed."""
    return tuple(CordAmps.model_validate(row) for row in raw_tables()["ampacity"])


@cache
def overcurrents() -> tuple[Overcurrent, ...]:
    """Give every limit on what protects a small conductor."""
    return tuple(Overcurrent.model_validate(row) for row in raw_tables()["overcurrent"])


@cache
def breakers() -> tuple[BreakerRow, ...]:
    """Give every breaker listed."""
    return tuple(BreakerRow.model_validate(row) for row in raw_tables()["breaker"])


@cache
def every_colour() -> tuple[Colour, ...]:
    """Give every colour of every region."""
    return tuple(Colour.model_validate(row) for row in raw_tables()["colour"])


@cache
def every_question() -> tuple[LicensedQuestion, ...]:
    """Give every question of every region; one id may have a row for each region."""
    return tuple(LicensedQuestion.model_validate(row) for row in raw_tables()["question"])


def overcurrent_amps(region: Region, awg: int) -> Decimal | None:
    """Give the most that may protect a copper conductor of this gauge [A]; nothing if not listed.

    Source: that of the row, NEC 240.4(D).
    """
    return next(
        (row.amps for row in overcurrents() if region in row.regions and row.awg == awg), None
    )


def breaker_amps(breaker: Breaker) -> Decimal | None:
    """Give a breaker's rating [A]; nothing if it is not known."""
    return next((row.amps for row in breakers() if row.breaker == breaker), None)


def breaker_share(breaker: Breaker) -> Decimal | None:
    """Give how many supplies a breaker takes, in percent of what a C16 takes; nothing if unlisted.

    Source: the breaker table of a luminaire manual.
    """
    return next((row.share for row in breakers() if row.breaker == breaker), None)


def colours(region: Region) -> tuple[Colour, ...]:
    """Give the colours of conductors in a region, mains first."""
    return tuple(row for row in every_colour() if region in row.regions)


def questions_of(region: Region) -> tuple[LicensedQuestion, ...]:
    """Give the questions that a region has for the licensed person."""
    return tuple(row for row in every_question() if region in row.regions)


def override_ids(region: Region) -> tuple[str, ...]:
    """Give what an override can name: a region's rules, and the questions it answers."""
    rules = (each.id for each in rules_of(region))
    return (*rules, *(each.id for each in questions_of(region)))
