"""The running power budget: one line that always fits, in pieces that can be coloured."""

from collections.abc import Iterator, Sequence
from typing import Final, Literal, NamedTuple

from pelmet.model.plan.finding import LEVELS, Finding, Level, said
from pelmet.model.plan.result import Plan
from pelmet.model.told.words import WIDTH, shortened

Role = Literal["plain", "stop", "warn", "ask", "good"]

_WATTS_CODES: Final = frozenset(
    {"no-supply", "supply-overloaded", "supply-too-hot", "over-class-2"}
)
_VOLTS_CODES: Final = frozenset(
    {
        "volts-low",
        "mixed-volts",
        "no-way-past",
        "lead-unknown",
        "no-solution",
        "not-converged",
        "outputs-joined",
    }
)
_LIGHT_CODES: Final = frozenset({"too-dark", "light-under-worktop"})
_NOTICEABLE_WATTS: Final = 0.05  # less prints as nothing


class Segment(NamedTuple):
    """A piece of a line and what it means."""

    text: str
    role: Role = "plain"


class _Measure(NamedTuple):
    """One measure of the budget, told at three lengths."""

    role: Role
    long: str
    middle: str
    short: str


def budget_segments(
    plan: Plan, width: int = WIDTH, findings: Sequence[Finding] | None = None
) -> tuple[Segment, ...]:
    """Give the pieces of the budget line, in the longest form that fits into ``width``.

    ``findings`` are all that are counted, where they are more than the plan's.
    """
    form: tuple[Segment, ...] = ()
    for form in _forms(plan, plan.findings if findings is None else findings):
        if sum(len(segment.text) for segment in form) <= width:
            return form
    return _clipped(form, width)


def _forms(plan: Plan, findings: Sequence[Finding]) -> Iterator[tuple[Segment, ...]]:
    """The same line from its longest form to its shortest; the findings never go."""
    measures = [one for one in (_watts(plan), _volts(plan), _light(plan)) if one]
    long = [Segment(one.long, one.role) for one in measures]
    middle = [Segment(one.middle, one.role) for one in measures]
    short = [Segment(one.short, one.role) for one in measures]
    every, found = _counts(findings, every=True), _counts(findings, every=False)
    yield _joined(long, every, " | ")
    yield _joined(long, every, "  ")
    yield _joined(middle, every, "  ")
    yield _joined(middle, found, "  ")
    while short:
        yield _joined(short, found, "  ")
        short = short[:-1]
    yield found


def _joined(
    measures: list[Segment], counts: tuple[Segment, ...], between: str
) -> tuple[Segment, ...]:
    parted = [piece for one in measures for piece in (one, Segment(between))]
    return (*parted, *counts)


def _clipped(form: tuple[Segment, ...], width: int) -> tuple[Segment, ...]:
    kept: list[Segment] = []
    for segment in form:
        room = width - sum(len(one.text) for one in kept)
        if room > 0:
            kept.append(Segment(shortened(segment.text, room), segment.role))
    return tuple(kept)


def _watts(plan: Plan) -> _Measure:
    circuits = plan.circuits
    if not plan.bars:
        text = "no bars" if plan.job.runs else "no runs"
        return _Measure("plain", text, text, text)
    role = _role(plan, _WATTS_CODES)
    total = float(circuits.total.value)
    if not plan.supplies:
        text = f"{said(total)} W, no supply"
        return _Measure(role, text, text, "no supply")
    known = [supply for supply in plan.supplies if supply.usable]
    load = sum(float(supply.load.value) for supply in plan.supplies)
    usable = sum(float(supply.usable.value) for supply in known if supply.usable)
    if not known:
        text = f"{said(load)} W, supply unknown"
        return _Measure(_graver(role, "ask"), text, text, f"{said(load)} W")
    extras = _extras(plan, total - load)
    middle = f"{said(load)} of {said(usable)} W"
    return _Measure(role, ", ".join([middle, *extras]), middle, f"{said(load)}/{said(usable)} W")


def _extras(plan: Plan, unfed: float) -> list[str]:
    """What the sum over all supplies hides."""
    supplies = plan.supplies
    several = len(supplies) > 1
    over = [one.supply for one in supplies if one.left and float(one.left.value) < 0]
    unknown = [one.supply for one in supplies if one.usable is None]
    words = [f"{name} over" if several else "over" for name in over]
    words += [f"{name} unknown" for name in unknown]
    if unfed > _NOTICEABLE_WATTS:
        words.append(f"{said(unfed)} W not fed")
    return words


def _volts(plan: Plan) -> _Measure | None:
    if not plan.bars:
        return None
    role = _role(plan, _VOLTS_CODES)
    if not any(leg.runs for leg in plan.circuits.legs):
        return _Measure(_graver(role, "ask"), "no leg", "no leg", "no leg")
    for leg in plan.circuits.legs:
        if any(not bar.above_least for bar in leg.bars):
            text = f"volts too low, {leg.leg.id}"
            return _Measure(role, text, text, "volts too low")
    worst = plan.worst_leg
    if worst is None or worst.worst is None or worst.drop is None:
        text = "volts unknown"
        return _Measure(_graver(role, "ask"), text, text, text)
    volts = f"{float(worst.worst.value):.2f} V"
    drop = f"{float(worst.drop.value):.1f} % down"
    return _Measure(role, f"{volts}, {drop}, {worst.leg.id}", f"{volts} {worst.leg.id}", volts)


def _light(plan: Plan) -> _Measure | None:
    if not plan.bars:
        return None
    role = _role(plan, _LIGHT_CODES)
    least = plan.least_lit
    if least is None:
        return _Measure(_graver(role, "ask"), "light unknown", "light unknown", "light unknown")
    lux = f"{float(least.least.value):.0f} lx"
    return _Measure(role, f"{lux} {least.run}", f"{lux} {least.run}", lux)


def _counts(findings: Sequence[Finding], *, every: bool) -> tuple[Segment, ...]:
    counts = [(level, sum(one.level == level for one in findings)) for level in LEVELS]
    shown = [(level, count) for level, count in counts if every or count]
    if not shown:
        return (Segment("no findings", "good"),)
    pieces: list[Segment] = []
    for level, count in shown:
        space = " " if pieces else ""
        pieces.append(Segment(f"{space}{count} {level}", level if count else "plain"))
    return tuple(pieces)


def _role(plan: Plan, codes: frozenset[str]) -> Role:
    """The gravest level of these findings; good when there is none."""
    levels = {finding.level for finding in plan.findings if finding.code in codes}
    return next((level for level in LEVELS if level in levels), "good")


def _graver(role: Role, least: Level) -> Role:
    return least if role == "good" else role
