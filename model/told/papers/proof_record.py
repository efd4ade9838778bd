"""The test record: what is tested in which order, what is right, and room to write it down."""

from collections.abc import Iterator

from pelmet.model.job.job import Site
from pelmet.model.plan.circuit.readings import Band, Reading
from pelmet.model.plan.result import Plan
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words

_DEAD_HEAD = ("before it is switched on", "right", "found")
_AFTER_HEAD = ("once it is hot", "right", "found")
_SPARE = ""  # a cell that is written in by hand
_COARSE = 0.01  # [V or A] a band that is narrower asks for one more digit
_NOTES = (
    "Measure with every leg on and at full; only the unloaded supply has its legs off.",
    "On a PWM dimmer a meter reads about duty x volts, so below full it tells nothing.",
    "Cold: just switched on. Hot: after half an hour at full.",
)


def proof_record_paper(plan: Plan) -> tuple[Block, ...]:
    """Give every test point from the supply outwards, with what a meter should read."""
    live = tuple(reading_blocks(plan, room=True))
    if len(live) == 1:  # the words that there is none
        return live
    return (
        *cautions_on(plan, "test-record"),
        Heading("Dead"),
        Grid(_DEAD_HEAD, tuple(_dead(plan))),
        Heading("Live, from the supply outwards"),
        *live,
        Heading("After half an hour at full"),
        Grid(_AFTER_HEAD, tuple(_after(plan))),
        Blanks(("Instruments, and when calibrated", "Tested by", "Date", "Left to do")),
    )


def reading_blocks(plan: Plan, *, room: bool = False) -> Iterator[Block]:
    """Tell what a meter should read at every point, and how it is measured.

    With ``room`` there are columns to write down what was found.
    """
    readings = plan.readings()
    if not readings:
        yield Words("There is no reading to expect yet: no leg is worked out.")
        return
    known = {reading.leg for reading in readings}
    legs = (each.leg.id for each in plan.circuits.legs if each.leg.id not in known)
    found, spare = (("found",), (_SPARE,)) if room else ((), ())
    yield Points(
        (*_NOTES, *(f"{leg}: no readings, its volts cannot be worked out" for leg in legs))
    )
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


def _dead(plan: Plan) -> Iterator[tuple[str, str, str]]:
    for leg in plan.job.legs:
        yield f"{leg.id}: + to -, with the strip off", "no short", _SPARE
        yield f"{leg.id}: + and - to the channel, each core", "open", _SPARE
        yield f"{leg.id}: polarity at every bar, + on +", "right", _SPARE
    for supply in plan.job.supplies:
        yield f"{supply.id}: mains side tested by a licensed person", "signed", _SPARE


def _within(band: Band) -> str:
    """Print what is expected, and how far off is still right, so fine that it says something."""
    least, expected, most = (float(figure.value) for figure in band)
    off = (most - least) / 2
    digits = 2 if off >= _COARSE else 3
    return f"{expected:.{digits}f} +-{off:.{digits}f}"


def _after(plan: Plan) -> Iterator[tuple[str, str, str]]:
    for supply in plan.job.supplies:
        yield f"{supply.id}: case", "within its label's tc; 70 degrees C if none", _SPARE
    for load in plan.controls.dimmers:
        about = load.zone or load.supply
        yield f"{load.part.id} of {about}: dimmed up and down", "no flicker, no buzz", _SPARE
    for zone in plan.controls.zones:
        if zone.switch:
            yield f"{zone.zone.name} by {zone.switch.id}", "only its own light", _SPARE
    yield "each bar, from where people stand and sit", "no dots, no gap, one white", _SPARE
