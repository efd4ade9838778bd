"""What a job makes a question for the licensed person: each asked once, until it is answered.

The answer stands in a field of the supply, or in an override under the question's id.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from typing import NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Supply
from pelmet.model.job.items import Kind
from pelmet.model.job.region_words import RegionWords
from pelmet.model.job.rule_tables import (
    AnswerField,
    LicensedQuestion,
    When,
    breaker_share,
    questions_of,
)
from pelmet.model.plan.checks.rules import some_ids
from pelmet.model.plan.circuit.sources import is_class_2
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.rules import rule_source
from pelmet.model.plan.survey.openings import stands_over

_UNANSWERED = ("", "not known")
_AT_A_CABINET = ("in cabinet", "on top of cabinet", "in plinth")


class Topic(NamedTuple):
    """A thing that a question is about, and the field where its answer or its cause is."""

    kind: Kind
    id: str
    field: str


def open_questions(plan: Plan) -> Iterator[Finding]:
    """A condition of a question holds, and nobody has answered it."""
    answered = {override.rule for override in plan.job.overrides}
    for question in questions_of(plan.job.site.region):
        if question.id in answered:
            continue
        things = list(_unanswered(plan, question, CONDITIONS[question.when](plan)))
        if things:
            yield _finding(question, things, plan.job.site.words)


def _unanswered(plan: Plan, question: LicensedQuestion, things: Iterable[Topic]) -> Iterator[Topic]:
    """Leave out the supplies that hold the answer, and point at the first field that does not."""
    if not question.answered_by:
        yield from things
        return
    supplies = {supply.id: supply for supply in plan.job.supplies}
    for thing in things:
        blank = [
            field
            for field in question.answered_by
            if getattr(supplies[thing.id], field) in _UNANSWERED
        ]
        if blank:
            yield thing._replace(field=blank[0])


def _finding(question: LicensedQuestion, things: list[Topic], words: RegionWords) -> Finding:
    first = things[0]
    return Finding(
        "ask",
        question.id,
        first.kind,
        first.id,
        first.field,
        f"{some_ids([thing.id for thing in things])}: {question.asks}",
        "ask the licensed person, and put the answer "
        + (
            f"under {_titles(question.answered_by, words)}"
            if question.answered_by
            else f"into an override of {question.id}, as its reason"
        ),
        rule_source(question),
    )


def _titles(fields: tuple[AnswerField, ...], words: RegionWords) -> str:
    return ", ".join(words.said(str(Supply.model_fields[field].title)) for field in fields)


def _supplies(plan: Plan) -> Iterator[Topic]:
    for supply in plan.job.supplies:
        yield Topic("supply", supply.id, "connection")


def _connected(plan: Plan, *, plugged: bool) -> Iterator[Topic]:
    """Give the supplies that are plugged in somewhere, or the others: wired, or nobody knows."""
    for supply in plan.job.supplies:
        if (supply.connection == "plug") == plugged:
            yield Topic("supply", supply.id, "connection")


def _plugged_in(plan: Plan) -> Iterator[Topic]:
    for supply in plan.job.supplies:
        if supply.connection == "plug" and supply.place in _AT_A_CABINET:
            yield Topic("supply", supply.id, "connection")


def _hard_wired(plan: Plan) -> Iterator[Topic]:
    for supply in plan.job.supplies:
        if supply.connection == "hard-wired":
            yield Topic("supply", supply.id, "connection")


def _in_wall(plan: Plan) -> Iterator[Topic]:
    return _legs(plan, plan.routes.legs_in_walls)


def _near_sink(plan: Plan) -> Iterator[Topic]:
    sinks = [each for each in plan.job.obstacles if each.kind == "sink zone"]
    if not sinks:
        return
    homes = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    for supply in plan.job.supplies:
        home = homes.get(supply.cabinet or "")
        if home and supply.place in _AT_A_CABINET and any(stands_over(home, one) for one in sinks):
            yield Topic("supply", supply.id, "cabinet")


def _in_closet(plan: Plan) -> Iterator[Topic]:
    """Light that hangs as it does in a closet: on an upright, or under a shelf that moves."""
    uprights = {
        cabinet.id for cabinet in plan.job.cabinets if cabinet.kind in ("upright", "movable shelf")
    }
    for run in plan.job.runs if uprights else ():
        if uprights.intersection(run.cabinets):
            yield Topic("run", run.id, "cabinets")


def _sharing_a_circuit(plan: Plan) -> Iterator[Topic]:
    """Supplies on one circuit, unless the count that its breaker takes is known of each."""
    named = [supply for supply in plan.job.supplies if supply.circuit.strip()]
    on_it = Counter(_circuit(supply) for supply in named)
    for supply in named:
        part = find_part(plan.parts.supplies, supply.part)
        counted = part and part.on_c16 and breaker_share(supply.breaker)
        if on_it[_circuit(supply)] > 1 and not counted:
            yield Topic("supply", supply.id, "breaker")


def _circuit(supply: Supply) -> str:
    return " ".join(supply.circuit.casefold().split())


def _through_cabinets(plan: Plan) -> Iterator[Topic]:
    """Supplies plugged in at a cabinet, and legs through holes that are no Class 2 wiring."""
    yield from _plugged_in(plan)
    limited = {
        supply.id: is_class_2(part)
        for supply in plan.job.supplies
        if (part := find_part(plan.parts.supplies, supply.part))
    }
    other = {leg.id for leg in plan.job.legs if not limited.get(leg.supply)}
    for thing in _legs(plan, plan.routes.legs_through_holes):
        if thing.id in other:
            yield thing._replace(field="cable")


def _legs(plan: Plan, found: Set[str | None]) -> Iterator[Topic]:
    for leg in plan.job.legs:
        if leg.id in found:
            yield Topic("leg", leg.id, "avoid")


CONDITIONS: Mapping[When, Callable[[Plan], Iterable[Topic]]] = {
    "supply": _supplies,
    "plug in cabinet": _plugged_in,
    "plugged in": lambda plan: _connected(plan, plugged=True),
    "not plugged in": lambda plan: _connected(plan, plugged=False),
    "in wall": _in_wall,
    "hard-wired": _hard_wired,
    "near sink": _near_sink,
    "closet": _in_closet,
    "several supplies on one circuit": _sharing_a_circuit,
    "cord through cabinet": _through_cabinets,
}

CHECKS = (open_questions,)
