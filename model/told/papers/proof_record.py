"""The test record: what is tested in which order, what is right, and room to write it down."""

from collections.abc import Iterator

from pelmet.model.order.folder import Folder
from pelmet.model.plan.circuit.readings import Band
from pelmet.model.told.paper import Blanks, Block, Cautions, Grid, Heading, Points, Words
from pelmet.model.told.readings_list import NOTES, Row, not_known, reading_rows

_DEAD_HEAD = ("before it is switched on", "right", "found")
_LIVE_HEAD = ("point", "", "cold", "found", "hot", "found", "where")
_AFTER_HEAD = ("once it is hot", "right", "found")
_SPARE = ""  # a cell that is written in by hand
_COARSE = 0.01  # [V or A] a band that is narrower asks for one more digit
_CAUTIONS = (
    "Leave the supply unplugged, or isolated and locked off, for the dead tests.",
    "Test insulation with supplies and strip off the cables: the test kills them.",
    "Tests on the mains side belong to a licensed person.",
    "Do not look into the bare strip at full light.",
)


def proof_record_paper(folder: Folder) -> tuple[Block, ...]:
    """Give every test point from the supply outwards, with what a meter should read."""
    live = reading_rows(folder.plan)
    if not live:
        return (Words("There is no reading to expect yet: no leg is worked out."),)
    return (
        Cautions(_CAUTIONS),
        Heading("Dead"),
        Grid(_DEAD_HEAD, tuple(_dead(folder))),
        Heading("Live, from the supply outwards"),
        Points((*NOTES, *not_known(folder.plan, [reading for reading, _ in live]))),
        Grid(
            _LIVE_HEAD,
            tuple(map(_live, live)),
            frozenset({2, 4}),
            name="test-record",
            large=frozenset({0}),
        ),
        Heading("After half an hour at full"),
        Grid(_AFTER_HEAD, tuple(_after(folder))),
        Blanks(("Instruments, and when calibrated", "Tested by", "Date", "Left to do")),
    )


def _dead(folder: Folder) -> Iterator[tuple[str, str, str]]:
    plan = folder.plan
    for leg in plan.job.legs:
        yield f"{leg.id}: + to -, with the strip off", "no short", _SPARE
        yield f"{leg.id}: + and - to the channel, each core", "open", _SPARE
        yield f"{leg.id}: polarity at every bar, + on +", "right", _SPARE
    for supply in plan.job.supplies:
        yield f"{supply.id}: mains side tested by a licensed person", "signed", _SPARE


def _live(row: Row) -> tuple[str, ...]:
    cold, hot = (_within(band) for band in (row.reading.cold, row.reading.hot))
    point, unit, *_, where = row.cells
    if row.reading.hot.expected.assumed:
        where += "; assumed"
    return point, unit, cold, _SPARE, hot, _SPARE, where


def _within(band: Band) -> str:
    """Print what is expected, and how far off is still right, so fine that it says something."""
    least, expected, most = (float(figure.value) for figure in band)
    off = (most - least) / 2
    digits = 2 if off >= _COARSE else 3
    return f"{expected:.{digits}f} +-{off:.{digits}f}"


def _after(folder: Folder) -> Iterator[tuple[str, str, str]]:
    plan = folder.plan
    for supply in plan.job.supplies:
        yield f"{supply.id}: case", "within its label's tc; 70 degrees C if none", _SPARE
    for load in plan.controls.dimmers:
        about = load.zone or load.supply
        yield f"{load.part.id} of {about}: dimmed up and down", "no flicker, no buzz", _SPARE
    for zone in plan.controls.zones:
        if zone.switch:
            yield f"{zone.zone.name} by {zone.switch.id}", "only its own light", _SPARE
    yield "each bar, from where people stand and sit", "no dots, no gap, one white", _SPARE
