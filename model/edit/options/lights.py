"""What would light what is below a run better: where it hangs, how it faces, strip, cover."""

from collections.abc import Iterator, Sequence
from typing import Any, Final, NamedTuple, get_args

from pelmet.model.edit.options.cost import cost_of
from pelmet.model.edit.options.option import Option, Search, in_order, try_plan, with_fields
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.fits import cover_of, goes_on
from pelmet.model.job.items import Facing, Line, Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel, Strip
from pelmet.model.plan.finding import Finding, Level, said
from pelmet.model.plan.light.wanted import judge_light
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.measures import lengths_said
from pelmet.model.plan.mounting.mounts import STRAIGHT_DOWN, throw_degrees
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

LACKING: Final = frozenset({"too-dark", "uneven"})
"""Findings that another line, facing, strip or diffuser may put right."""
_GRAVE: Final[tuple[Level, ...]] = ("stop", "warn")

Rank = tuple[int, float, float]
_Found = dict[tuple[Level, str, str], Finding]


class _Trial(NamedTuple):
    """A choice that was planned whole: the fields it sets, and how good it came out."""

    rank: Rank
    fields: dict[str, Any]
    option: Option


def light_options(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try every line and facing for a run, then other strips and diffusers at the best of them.

    A facing that its channel cannot be fixed to takes the narrowest channel whose steepest throw
    it is: a flatter one glares more and lights less below. Those that give the light the room's
    work asks for, and bring nothing at stop or warn, come first, the cheapest first; then the
    others, the most light first; last what brings a stop.
    """
    run = next((each for each in job.runs if each.id == item_id), None)
    if run is None:
        return
    now = plan_job(job, parts)
    before = _Before(job, parts, run, now, cost_of(now), _found(now))
    found: list[_Trial] = []

    def tried(fields: dict[str, Any]) -> tuple[Option, ...]:
        one = _try(before, fields)
        if one:
            found.append(one)
        return in_order((each.rank, each.option) for each in found)

    yield from map(tried, _directions(run, now))
    if lit_by(now, item_id):
        # Where light lacks nothing, other strips and covers are tried as it hangs.
        here = _rank(before, now)
        best = min(found, key=lambda one: one.rank, default=None)
        fields = best.fields if best and here[0] and best.rank < here else {}
        yield from map(tried, _parts(run, now, fields))


def lacks_light(plan: Plan, item_id: str) -> bool:
    """Tell whether what a run lights gets too little light, or too uneven."""
    return any(each.about == item_id and each.code in LACKING for each in plan.findings)


def lit_by(plan: Plan, item_id: str) -> tuple[RunLight, ...]:
    """Give the light of a run, on each plane that it lights."""
    return tuple(light for light in plan.lights if light.run == item_id)


def light_words(lights_of_run: Sequence[RunLight]) -> str:
    """Say the light of a run, on the worst of what it lights: average, least and evenness."""
    if not lights_of_run:
        return "no light on what is used there"
    least = min(float(light.least.value) for light in lights_of_run)
    even = min(float(light.evenness.value) for light in lights_of_run)
    return f"{_average(lights_of_run):.0f} lx on average, {least:.0f} least, {even:.2f} even"


class _Before(NamedTuple):
    """How things are now."""

    job: Job
    parts: Catalogue
    run: Run
    plan: Plan
    spent: float
    found: _Found


def _try(before: _Before, fields: dict[str, Any]) -> _Trial | None:
    item_id = before.run.id
    job = with_fields(before.job, "run", item_id, fields)
    plan = try_plan(job, before.parts)
    if plan is None:
        return None
    choice = ", ".join(f"{field}: {value}" for field, value in fields.items())
    more = cost_of(plan) - before.spent
    gives = f"{light_words(lit_by(plan, item_id))}, costs {more:+z.2f}"
    less = _darkens(before, plan)
    darker = (f"the least-lit spot gets {less:.0f} % less than now",) if less else ()
    rank, here = _rank(before, plan), _rank(before, before.plan)
    nearer = () if rank < here or not here[0] else ("no nearer to what is wanted than as it is",)
    reasons = (
        *nearer,
        *_verdict(plan, item_id),
        *darker,
        *_known(before, plan, fields),
        *_news(before, plan),
    )
    return _Trial(rank, fields, Option(choice, gives, reasons, job))


def _rank(before: _Before, plan: Plan) -> Rank:
    """Order what was tried: good light and no harm by cost, the others by light, harm last.

    What darkens the least-lit spot noticeably comes after what does not, whatever it saves.
    """
    own = lit_by(plan, before.run.id)
    brought = {level for level, *_ in _found(plan).keys() - before.found.keys()}
    more, average = cost_of(plan) - before.spent, _average(own)
    if not _short(plan, own) and brought.isdisjoint(_GRAVE):
        return (1 if _darkens(before, plan) else 0), more, -average
    return (3 if "stop" in brought else 2), -average, more


def _darkens(before: _Before, plan: Plan) -> float:
    """Give how much less the least-lit spot gets than now [%], if that can be noticed, else 0."""
    was, now = (
        min((float(light.least.value) for light in lit_by(each, before.run.id)), default=0.0)
        for each in (before.plan, plan)
    )
    less = 100 * (1 - now / was) if was else 0.0
    return less if less >= float(before.job.allowances.light_step) else 0.0


# --- What is tried --------------------------------------------------------------------------------


def _directions(run: Run, plan: Plan) -> Iterator[dict[str, Any]]:
    """Every line and facing but those of now, with the channel that a facing needs."""
    parts = plan.parts
    strip, own = find_part(parts.strips, run.strip), find_part(parts.channels, run.channel)
    if strip is None or own is None:
        return
    cabinets = [each for each in plan.job.cabinets if each.id in run.cabinets]
    shelves = all(each.kind in ("shelf", "movable shelf", "upright") for each in cabinets)
    lines = [line for line in get_args(Line) if line != "edge" or shelves]
    for facing in get_args(Facing):
        channel = _channel(own, parts.channels, strip, facing)
        if channel is None:
            continue
        for line in lines:
            fields = {"line": line, "facing": facing, "channel": channel.id}
            changed = {name: value for name, value in fields.items() if getattr(run, name) != value}
            if changed:
                yield changed


def _channel(
    own: Channel, known: Sequence[Channel], strip: Strip, facing: Facing
) -> Channel | None:
    """Give the channel for a facing: the run's own if it can, else the narrowest that can."""
    degrees, _ = throw_degrees(facing)
    if degrees in own.throws:
        return own
    return _narrowest(known, strip, degrees)


def _narrowest(known: Sequence[Channel], strip: Strip, degrees: int) -> Channel | None:
    able = [each for each in known if degrees == max(each.throws) and _takes(each, strip)]
    return min(able, key=lambda each: each.face, default=None)


def _takes(channel: Channel, strip: Strip) -> bool:
    cool = strip.watts_per_metre <= channel.watts_limit_per_metre
    return cool and strip.width <= channel.floor


def _parts(run: Run, plan: Plan, fields: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Other strips of the same volts and channels, other covers that spread light, and both.

    A strip too wide or too hot for the channel takes the narrowest that it fits.
    """
    parts = plan.parts
    strip = find_part(parts.strips, run.strip)
    channel = find_part(parts.channels, fields.get("channel", run.channel))
    if strip is None or channel is None:
        return
    degrees, _ = throw_degrees(fields.get("facing", run.facing))
    for cover in _covers(run, channel, parts):
        yield {**fields, "diffuser": cover}
    for other in parts.strips:
        if other.id == strip.id or other.volts != strip.volts or other.channels != strip.channels:
            continue
        room = channel if _takes(channel, other) else _narrowest(parts.channels, other, degrees)
        if room is None:
            continue
        takes = {} if room is channel else {"channel": room.id}
        found = {**fields, **takes, "strip": other.id}
        yield found
        for cover in _covers(run, room, parts):
            yield {**found, "diffuser": cover}


def _covers(run: Run, channel: Channel, parts: Catalogue) -> Iterator[str]:
    """Give the covers that spread light and go on a channel, but the one that is taken anyway."""
    now = cover_of(parts, run.model_copy(update={"channel": channel.id}))
    for each in parts.diffusers:
        if each != now and not each.clear and goes_on(each, channel):
            yield each.id


# --- What is said of it ---------------------------------------------------------------------------


def _average(lights_of_run: Sequence[RunLight]) -> float:
    return min((float(light.average.value) for light in lights_of_run), default=0.0)


def _short(plan: Plan, lights_of_run: Sequence[RunLight]) -> tuple[str, ...]:
    """Say what the light below a run is short of."""
    rooms = {room.id: room for room in plan.job.rooms}
    found = []
    for light in lights_of_run:
        judged = judge_light(light, rooms[light.room], plan.job.allowances)
        if not judged.enough:
            found.append(f"under {said(judged.wanted.lux)} lx")
        if not judged.even:
            found.append(f"under {said(judged.wanted.evenness)} even")
    return tuple(dict.fromkeys(found))


def _verdict(plan: Plan, item_id: str) -> tuple[str, ...]:
    own = lit_by(plan, item_id)
    if not own:
        return ()
    short = _short(plan, own)
    return (" and ".join(short) if short else "enough light for the work there, and even enough",)


def _known(before: _Before, plan: Plan, fields: dict[str, Any]) -> Iterator[str]:
    """Give the trade's reasons for a line and a facing, and what another strip lights."""
    words = plan.job.site.words
    if "line" in fields:
        yield from map(words.said, _LINES[fields["line"]])
    if "facing" in fields:
        channel = next(
            each
            for each in plan.parts.channels
            if each.id == fields.get("channel", before.run.channel)
        )
        degrees, side = throw_degrees(fields["facing"])
        yield from map(words.said, _facing(degrees, side, channel.throws))
    if "strip" in fields:
        was, lit = _lit_mm(before.plan, before.run.id), _lit_mm(plan, before.run.id)
        if was != lit:
            lights, lit_before = lengths_said(plan.job.site, lit, was)
            yield f"lit {lights} in place of {lit_before}"


# Common practice; the light stage reckons the lux beside it.
_LINES: dict[Line, tuple[str, ...]] = {
    "front": (
        "lights the {worktop} where hands are",
        "a front rail hides it from someone standing",
    ),
    "middle": ("a compromise: even on the top, seen from a low seat",),
    "back": ("lights the {splashback} and shows its faults", "leaves the front of the top darker"),
    "edge": ("lights what stands in front of the shelf", "seen by everybody: take a good diffuser"),
}


def _facing(degrees: int, side: int, throws: Sequence[int]) -> tuple[str, ...]:
    if degrees == STRAIGHT_DOWN:
        return ("throws nothing at people across the room",)
    where = "on the {splashback}" if side < 0 else "towards whoever looks in from the room"
    if len(throws) == 1:
        return (f"throws {where}",)
    glare = (
        "the steepest of its ways: glares less off the {worktop}"
        if degrees == max(throws)
        else "a flatter one of its ways: glares more off the {worktop}"
    )
    return (f"throws {where}", glare)


def _lit_mm(plan: Plan, item_id: str) -> float:
    fit = next(each for each in plan.fits if each.run.id == item_id)
    return sum(float(bar.lit.value) for bar in fit.bars)


def _news(before: _Before, plan: Plan) -> Iterator[str]:
    """Say which findings go and which come, the gravest first."""
    found = _found(plan)
    for words, ones, others in (
        ("puts right", before.found, found),
        ("brings", found, before.found),
    ):
        news = [_named(each, before.run.id) for key, each in ones.items() if key not in others]
        news.sort(key=lambda each: each.endswith(")"))  # the run's own first
        if news:
            yield f"{words}: {', '.join(dict.fromkeys(news))}"


def _named(finding: Finding, item_id: str) -> str:
    words = finding.code.replace("-", " ")
    return words if finding.about == item_id else f"{words} ({finding.about})"


def _found(plan: Plan) -> _Found:
    return {(each.level, each.code, each.about): each for each in plan.findings}
