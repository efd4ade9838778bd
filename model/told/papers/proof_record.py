"""The test record: what is tested in which order, what is right, and room to write it down."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple, Self

from pelmet.model.grouped import grouped
from pelmet.model.job.built import past
from pelmet.model.job.catalogue import find_part
from pelmet.model.job.job import Site
from pelmet.model.order.left import proving
from pelmet.model.order.status import runs_on
from pelmet.model.plan.circuit.readings import Band, Reading
from pelmet.model.plan.circuit.sources import label_words
from pelmet.model.plan.measures import celsius_said
from pelmet.model.plan.result import Plan
from pelmet.model.told.blocks.two_kinds import Telling, as_built, done_words, to_do
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words, points

_DEAD_HEAD = ("before it is switched on", "right", "found")
_AFTER_HEAD = ("once it is hot", "right", "found")
_SPARE = ""  # a cell that is written in by hand
_COARSE = 0.01  # [V or A] a band that is narrower asks for one more digit
_NOTES = (
    "Measure with every leg on and at full; only the unloaded supply has its legs off.",
    "On a PWM dimmer a meter reads about duty x volts, so below full it tells nothing.",
    "Cold: just switched on. Hot: after half an hour at full.",
)


def proof_record_paper(plan: Plan, telling: Telling = "apart") -> tuple[Block, ...]:
    """Give every test point from the supply outwards, with what a meter should read.

    Where anything was proved, only what was not, or what a change has touched, is tested.
    """
    readings = plan.readings()
    if not readings:
        return _NO_READING
    cautions = cautions_on(plan, "test-record")
    legs, proved = proving(plan)
    if telling == "as one" or not (proved or any(legs.values())):
        return (*cautions, *_tests(readings, _Tested.all_of(plan)))
    tested = _Tested.of(plan, legs)
    again = points(_again(legs))
    asked = [each for each in readings if tested.asks(each)]
    stands = [each for each in readings if each not in asked]
    return (
        *cautions,
        *to_do((*again, *_tests(asked, tested)) if legs else (), "Nothing is left to test."),
        *(as_built(_proved(stands, plan, proved)) if proved and telling == "apart" else ()),
    )


def _again(legs: Mapping[str, str]) -> Iterator[str]:
    """Say why legs that were proved are tested again, once for those it is the same for."""
    whys = grouped([leg for leg, why in legs.items() if why], legs.__getitem__)
    return (f"{' '.join(own)}: tested again, {why}." for why, own in whys.items())


class _Tested(NamedTuple):
    """What of a plan is tested: legs, their supplies, bars; ``mains`` are supplies not tested yet.

    ``bars`` is nothing where all of them are looked at.
    """

    plan: Plan
    legs: Collection[str]
    supplies: Collection[str]
    mains: Collection[str]
    bars: Collection[str] | None

    @classmethod
    def all_of(cls, plan: Plan) -> Self:
        supplies = [each.id for each in plan.job.supplies]
        return cls(plan, [leg.id for leg in plan.job.legs], supplies, supplies, None)

    @classmethod
    def of(cls, plan: Plan, legs: Mapping[str, str]) -> Self:
        job = plan.job
        supply = {leg.id: leg.supply for leg in job.legs}
        own = {supply[leg] for leg in legs}
        before = {supply[leg] for leg, why in legs.items() if why}
        fitted = {each.supply for each in job.fitted}
        bars = [
            bar.id
            for fit in plan.fits
            for bar in fit.bars
            if not (bar.hangs and past(fit.run, "proved"))
        ]
        return cls(plan, legs, own, own - (before & fitted), bars)

    def asks(self, reading: Reading) -> bool:
        """Tell whether a point is read."""
        return reading.about in self.supplies if reading.leg is None else reading.leg in self.legs


def _tests(readings: Sequence[Reading], tested: _Tested) -> Iterator[Block]:
    yield Heading("Dead")
    yield Grid(_DEAD_HEAD, tuple(_dead(tested)))
    yield Heading("Live, from the supply outwards")
    yield from _reading_blocks(readings, tested.plan, tested.legs, room=True)
    yield Heading("After half an hour at full")
    yield Grid(_AFTER_HEAD, tuple(_after(tested)))
    yield Blanks(("Instruments, and when calibrated", "Tested by", "Date", "Left to do"))


def _proved(readings: Sequence[Reading], plan: Plan, legs: Collection[str]) -> Iterator[Block]:
    """Tell what stands as proved, by whom and when, and what was right there."""
    yield Words(f"{' '.join(legs)}: proved, and not to be read again.")
    on = {run.id for run in runs_on(plan.job, set(legs))}
    last = {each.run: each for each in plan.job.diary if each.status == "proved"}
    yield from points(done_words("proved", [(run, one) for run, one in last.items() if run in on]))
    yield from _reading_blocks(readings, plan, legs, room=False)


_NO_READING: Final = (Words("There is no reading to expect yet: no leg is worked out."),)


def reading_blocks(plan: Plan, *, room: bool = False) -> Iterable[Block]:
    """Tell what a meter should read at every point, and how it is measured.

    With ``room`` there are columns to write down what was found.
    """
    readings = plan.readings()
    legs = [leg.id for leg in plan.job.legs]
    return _reading_blocks(readings, plan, legs, room=room) if readings else _NO_READING


def _reading_blocks(
    readings: Sequence[Reading], plan: Plan, asked: Collection[str], *, room: bool
) -> Iterator[Block]:
    known = {reading.leg for reading in readings}
    legs = (each.leg.id for each in plan.circuits.legs if each.leg.id not in known)
    found, spare = (("found",), (_SPARE,)) if room else ((), ())
    unknown = (
        f"{leg}: no readings, its volts cannot be worked out" for leg in legs if leg in asked
    )
    yield Points((*_NOTES, *unknown))
    yield Grid(
        ("point", "", "cold", *found, "hot", *found, "where"),
        tuple(
            (
                each.point,
                each.unit,
                _within(each.cold),
                *spare,
                _within(each.hot),
                *spare,
                _where(each, plan.job.site),
            )
            for each in readings
        ),
        frozenset({2, 4} if room else {2, 3}),
        name="test-record" if room else "readings",
        large=frozenset({0}),
    )


def _where(reading: Reading, site: Site) -> str:
    assumed = "; assumed" if reading.hot.expected.assumed else ""
    if reading.along is None:
        return reading.where + assumed
    along = length_text(round(reading.along), site)
    return f"{reading.where}, {along} from the left end of its strip{assumed}"


def _dead(tested: _Tested) -> Iterator[tuple[str, str, str]]:
    for leg in (leg for leg in tested.plan.job.legs if leg.id in tested.legs):
        yield f"{leg.id}: + to -, with the strip off", "no short", _SPARE
        yield f"{leg.id}: + and - to the channel, each core", "open", _SPARE
        yield f"{leg.id}: polarity at every bar, + on +", "right", _SPARE
    side = tested.plan.job.site.words.said("{of_mains} side")
    for supply in (each for each in tested.plan.job.supplies if each.id in tested.mains):
        part = find_part(tested.plan.parts.supplies, supply.part)
        if part:
            yield f"{supply.id}: output, by its label", label_words(part), _SPARE
        yield f"{supply.id}: {side} tested by a licensed person", "signed", _SPARE


def _within(band: Band) -> str:
    """Print what is expected, and how far off is still right, so fine that it says something."""
    least, expected, most = (float(figure.value) for figure in band)
    off = (most - least) / 2
    digits = 2 if off >= _COARSE else 3
    return f"{expected:.{digits}f} +-{off:.{digits}f}"


def _after(tested: _Tested) -> Iterator[tuple[str, str, str]]:
    plan = tested.plan
    most = celsius_said(70, plan.job.site, "degrees C")
    for supply in plan.job.supplies:
        if supply.id in tested.supplies:
            yield f"{supply.id}: case", f"within its label's tc; {most} if none", _SPARE
    for load in plan.controls.dimmers:
        if load.supply in tested.supplies:
            about = load.zone or load.supply
            yield f"{load.part.id} of {about}: dimmed up and down", "no flicker, no buzz", _SPARE
    for zone in plan.controls.zones:
        if zone.switch and (tested.bars is None or not set(tested.legs).isdisjoint(zone.legs)):
            yield f"{zone.zone.name} by {zone.switch.id}", "only its own light", _SPARE
    bars = "each bar" if tested.bars is None else " ".join(tested.bars)
    if bars:
        yield f"{bars}, from where people stand and sit", "no dots, no gap, one white", _SPARE
