"""What stands of a job: what was built is taken as it is, whatever is said of it now."""

from collections.abc import Iterable, Iterator, Mapping, Set
from decimal import Decimal
from itertools import accumulate
from typing import Any, Final, NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.built import HungBar, LaidCable
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Item, Kind, Run
from pelmet.model.job.job import Job
from pelmet.model.job.piece_names import bar_of

_AS_HUNG: Final = ("line", "facing", "feed_end", "dark_rest", "fixing", "corner")
_AS_CUT: Final = ("channel", "diffuser", "strip")
_AS_FITTED: Final = ("part", "place", "cabinet")


class StandingBar(NamedTuple):
    """A bar that is cut or hangs, by its number in its run [mm].

    ``length`` is along its middle where it hangs, and along its longer edge where it is only cut;
    ``at`` is where it starts along its wall, or up from the floor, and ``lit`` the strip in it;
    both are None until it hangs.
    """

    number: int
    length: Decimal
    splices: tuple[Decimal, ...] = ()
    wall: str = ""
    at: Decimal | None = None
    lit: Decimal | None = None


class Contradiction(NamedTuple):
    """A field of a thing that is built otherwise than it is said now."""

    kind: Kind
    id: str
    field: str
    said: str
    built: str


class Standing(NamedTuple):
    """A job as it stands, its built bars by run, its laid cables by name."""

    job: Job
    bars: Mapping[str, tuple[StandingBar, ...]]
    cables: Mapping[str, LaidCable]
    contradictions: tuple[Contradiction, ...]


def what_stands(job: Job, parts: Catalogue) -> Standing:
    """Give a job with each built thing as it was built, and where that is not what is said."""
    if not (job.cuts or job.hung or job.laid or job.fitted):
        return Standing(job, {}, {}, ())
    wall_of = {cabinet.id: cabinet.wall for cabinet in job.cabinets}
    walls = {run.id: {wall_of[name] for name in run.cabinets} for run in job.runs}
    hung = grouped(job.hung, lambda each: each.run)
    pieces = _pieces(job, parts)
    laid = grouped(job.laid, lambda each: each.leg)
    found: list[Contradiction] = []

    def as_built(kind: Kind, item: Item, built: Mapping[str, Any]) -> Any:
        other = {name: value for name, value in built.items() if getattr(item, name) != value}
        for name, value in other.items():
            said = getattr(item, name)
            found.append(Contradiction(kind, item.id, name, str(said or "none"), str(value)))
        return item.model_copy(update=other) if other else item

    runs = tuple(
        as_built("run", run, _built_run(run, hung.get(run.id, ()), pieces.get(run.id, {}), job))
        for run in job.runs
    )
    for each in job.hung:
        if each.wall not in walls[each.run]:
            now = " and ".join(sorted(walls[each.run]))
            found.append(Contradiction("run", each.run, "cabinets", f"on {now}", f"on {each.wall}"))
    supplies = tuple(
        as_built("supply", each, {name: getattr(one, name) for name in _AS_FITTED})
        if (one := next((one for one in job.fitted if one.supply == each.id), None))
        else each
        for each in job.supplies
    )
    legs = tuple(
        as_built("leg", leg, {"cable": laid[leg.id][0].part}) if leg.id in laid else leg
        for leg in job.legs
    )
    return Standing(
        job.model_copy(update={"runs": runs, "supplies": supplies, "legs": legs}),
        {
            run.id: _bars(hung.get(run.id, ()), pieces.get(run.id, {}), walls[run.id])
            for run in job.runs
        },
        {each.cable: each for each in job.laid},
        tuple(dict.fromkeys(found)),
    )


# By bar and kind of part: the part, and the lengths of its pieces, left to right [mm].
_Pieces = dict[int, dict[str, tuple[str, list[Decimal]]]]


def _pieces(job: Job, parts: Catalogue) -> dict[str, _Pieces]:
    """Give by run what was cut for its bars."""
    kinds = {
        part.id: kind for kind in _AS_CUT for part in getattr(parts, f"{kind}s")
    }  # fmt: skip
    named = sorted(
        (name, length, cut.part)
        for cut in job.cuts
        if cut.part in kinds
        for name, length in zip(cut.pieces, cut.lengths, strict=False)
    )
    found: dict[str, _Pieces] = {}
    for name, length, part in named:
        run, bar = bar_of(name)
        if run:
            own = found.setdefault(run, {}).setdefault(bar, {})
            own.setdefault(kinds[part], (part, []))[1].append(length)
    return found


def _built_run(run: Run, hung: Iterable[HungBar], pieces: _Pieces, job: Job) -> dict[str, Any]:
    """Give the fields of a run as it is built, as far as it is."""
    built: dict[str, Any] = {}
    for bar in pieces.values():
        for kind, (part, _) in bar.items():
            built.setdefault(kind, part)
    for one in hung:
        said = {name: getattr(one, name) for name in _AS_HUNG}
        built.update({name: value for name, value in said.items() if value is not None})
    legs = list(dict.fromkeys(each.leg for each in job.laid if each.run == run.id))
    if legs and not set(legs) <= {run.leg, run.far_leg}:
        built["leg"] = legs[0]
    return built


def _bars(hung: Iterable[HungBar], pieces: _Pieces, walls: Set[str]) -> tuple[StandingBar, ...]:
    return tuple(sorted(_each_bar(hung, pieces, walls)))


def _each_bar(hung: Iterable[HungBar], pieces: _Pieces, walls: Set[str]) -> Iterator[StandingBar]:
    """Give a run's bars; one at a wall that none of its cabinets is on any more has no place."""
    hanging = {each.bar: each for each in hung}
    channel = {
        number: own["channel"][1] for number, own in pieces.items() if "channel" in own
    }  # fmt: skip
    for number in {*hanging, *channel}:
        lengths = channel.get(number, [])
        splices = tuple(accumulate(lengths[:-1]))
        one = hanging.get(number)
        if one and one.wall not in walls:
            yield StandingBar(number, one.length, splices, "", None, one.lit)
        elif one:
            yield StandingBar(number, one.length, splices, one.wall, one.at, one.lit)
        else:
            yield StandingBar(number, sum(lengths, Decimal(0)), splices)
