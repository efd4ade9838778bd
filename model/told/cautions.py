"""Cautions: each sentence once, what of a plan calls for it, and the papers it stands on.

What is done by hand here is common practice.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Final, NamedTuple

from pelmet.model.job.job import Site
from pelmet.model.plan.checks.bench import TAPE_COLDEST
from pelmet.model.plan.measures import celsius_said
from pelmet.model.plan.result import Plan
from pelmet.model.told.blocks.bars import leads_of
from pelmet.model.told.blocks.wires import cables_of
from pelmet.model.told.paper import Cautions, SheetName
from pelmet.model.told.reminders import assumed_bars, generic_parts

_SHUT_IN: Final = ("in cabinet", "on top of cabinet", "in plinth", "walled in")


class Caution(NamedTuple):
    """A sentence, with ``{ids}`` where ids may stand, and what of a plan calls for it."""

    says: str
    called_for_by: str

    def of(self, ids: Iterable[str], site: Site) -> str:
        """Say it of these, in the words of a region."""
        tape = celsius_said(TAPE_COLDEST, site)
        return site.words.said(self.says, ids=", ".join(ids), tape=tape)


def cautions_for(plan: Plan, rows: Iterable[Caution]) -> tuple[str, ...]:
    """Give the sentences of those rows that a plan calls for."""
    calling = _calling(plan)
    return tuple(row.of(ids, plan.job.site) for row in rows if (ids := calling[row.called_for_by]))


def cautions_on(plan: Plan, name: SheetName) -> tuple[Cautions, ...]:
    """Give the block of cautions of a paper, or none where the plan calls for none."""
    texts = cautions_for(plan, CAUTIONS[name])
    return (Cautions(texts),) if texts else ()


def _calling(plan: Plan) -> Mapping[str, Sequence[str]]:
    """Give the ids of what calls for cautions, by the words that a row calls it by."""
    job, cables = plan.job, plan.routes.cables
    supplies = [each.id for each in job.supplies]
    in_wall = [each.id for each in cables if any(way.kind == "in wall" for way in each.ways)]
    switches = [each for each in plan.controls.zones if each.switch]
    drops = [each.zone.id for each in switches if each.switch and each.switch.kind == "wall switch"]
    fed = {run.id for run in job.runs if run.leg}
    flagged = {
        row.called_for_by: [
            hole.id
            for hole in plan.holes
            if any(flag.startswith(row.called_for_by) for flag in hole.flags)
        ]
        for row in _FLAGGED
    }
    return flagged | {
        "any plan": ["any"],
        "supply": supplies,
        "supplies": supplies if len(supplies) > 1 else [],
        "supply shut in": [each.id for each in job.supplies if each.place in _SHUT_IN],
        "bar": [bar.id for bar in plan.bars],
        "assumed bar": assumed_bars(plan),
        "heavy bar": [each.bar.id for each in plan.bench if int(each.people.value) > 1],
        "bar to cover": [
            each.bar.id for each in plan.bench if each.diffuser and each.bar.run in fed
        ],
        "bar on tape": [
            bar.id for fit in plan.fits if fit.run.fixing == "tape" for bar in fit.bars
        ],
        "soldered bar": [bar for fit in plan.fits for bar in leads_of(fit, plan.routes)],
        "cable": [cable.id for cable in cables_of(plan)],
        "cable in a wall": in_wall,
        "work in walls": [*in_wall, *drops],
        "both sides": [*supplies, *in_wall, *drops],
        "hole": [hole.id for hole in plan.holes],
        "upright": [each.id for each in job.cabinets if each.kind == "upright"],
        "light": [light.run for light in plan.lights],
        "dimmer": [each.part.id for each in plan.controls.dimmers],
        "generic part": generic_parts(plan),
    }


LOW_VOLTAGE: Final = Caution("This plans low-voltage work only.", "any plan")
MAINS: Final = Caution("{Of_mains} work belongs to a licensed person and the local code.", "supply")
UNPLUGGED: Final = Caution("Leave the supply unplugged while its output is wired.", "supply")
HEAVY: Final = Caution("Two people hang {ids}.", "heavy bar")
SCAN: Final = Caution(
    "Scan for cables and pipes before any hole, use a depth stop, and drill from the side that "
    "shows with a block behind.",
    "hole",
)
IN_WALL: Final = Caution(
    "What goes in a wall is laid before walls close, by the local code: ask the licensed person.",
    "cable in a wall",
)
CLOSET: Final = Caution(
    "In a clothes closet a code may ask for clear space between light and storage: ask the "
    "licensed person.",
    "upright",
)
ALONE: Final = Caution(
    "Light is that of these bars alone, as kept up, with what the {splashback} gives back: nothing "
    "is counted for other lamps but what was read, for the ceiling or who stands there.",
    "light",
)
GENERIC: Final = Caution(
    "These parts are invented generic ones ({ids}): put the data of the parts you will fit in "
    "their place before you order.",
    "generic part",
)
OUTPUTS: Final = Caution(
    "Never join the outputs of two supplies, not even for a moment and not one pole.", "supplies"
)
APART: Final = Caution(
    "Keep {mains} and low voltage apart: no shared hole, box or clamp without a barrier; cross at "
    "a right angle.",
    "both sides",
)
INSULATION: Final = Caution(
    "Test insulation with supplies and strip disconnected: the test voltage kills them.", "supply"
)
EYES: Final = Caution("Do not look into the bare strip at full light.", "bar")

OF_ANY_PLAN: Final = (
    LOW_VOLTAGE, MAINS, UNPLUGGED, HEAVY, SCAN, IN_WALL, CLOSET, ALONE, GENERIC,
)  # fmt: skip
# Of a hole that is flagged: what calls for it is how its flag begins.
_FLAGGED: Final = (
    Caution(
        "Never drill or cut a hanging rail: the cabinet hangs on it. Find another place for {ids}.",
        "in the hanging rail",
    ),
    Caution(
        "Open doors and take drawers out before the bit goes in, and keep off plates and "
        "runners: {ids}.",
        "where hinge plates or runners sit",
    ),
    Caution("Keep off the rows of shelf pins: {ids}.", "on a row of shelf pins"),
    Caution("Nearer to an edge a panel breaks out. Ask before drilling {ids}.", "its rim"),
    Caution(
        "The stile does not hang down so far. Measure it before drilling {ids}.",
        "deeper than its stile",
    ),
    Caution(
        "A side is weak where a hole is so wide. Drill two smaller ones for {ids}.", "wider than"
    ),
)
_DRILLING: Final = (
    SCAN,
    Caution("Look for gas pipes too, and drill only where the drill list says.", "hole"),
    *_FLAGGED,
)
_HANGING: Final = (
    HEAVY,
    Caution(
        "Before the diffusers go on, leave the light on at full for half an hour and look at every "
        "bar while it is hot: all holds, nothing sags, nothing flickers.",
        "bar to cover",
    ),
    Caution(
        "Tape wants a clean, dry surface of {tape} or more. Wipe off all grease, press the bar on "
        "along all of its length, and let nothing pull at it for 72 hours.",
        "bar on tape",
    ),
)
_WIRING: Final = (
    UNPLUGGED,
    OUTPUTS,
    Caution(
        "Mark polarity at both ends of every cable, and check it before anything is joined: like "
        "goes with like.",
        "cable",
    ),
)
_LICENSED: Final = (
    MAINS,
    Caution(
        "Isolate, lock off, and prove dead with a tester that is proved before and after.", "supply"
    ),
    APART,
    Caution(
        "Existing wiring that looks odd, without {earth} or brittle: stop, and settle that first.",
        "supply",
    ),
    INSULATION,
    Caution(
        "This plan is no evidence of compliance: the local code and the authority decide.",
        "supply",
    ),
    OUTPUTS,
    Caution(
        "Leave each supply the air that its own sheet asks for, and within reach: {ids}.",
        "supply shut in",
    ),
)
# A paper that is not here has none.
CAUTIONS: Final[Mapping[SheetName, tuple[Caution, ...]]] = {
    "approval": (
        Caution("Look at a lit sample on your own top, before you sign.", "bar"),
        Caution("Look at it dimmed too, by your own dimmer.", "dimmer"),
        Caution("Lengths marked as assumed may change once they are measured.", "assumed bar"),
        ALONE,
    ),
    "order": (GENERIC,),
    "cut-list": (
        Caution(
            "Clamp the channel, and cut it with a blade made for {aluminium}. Cover eyes and ears; "
            "no gloves near the blade.",
            "bar",
        ),
        Caution("Deburr every cut end: a burr cuts strip, and hands.", "bar"),
        Caution(
            "Solder with ventilation, and sleeve each joint: the channel round it is metal.",
            "soldered bar",
        ),
        Caution(
            "Never power a coiled reel for more than seconds: it overheats. Test strip laid flat.",
            "bar",
        ),
    ),
    "first-fix": (
        SCAN._replace(called_for_by="work in walls"),
        Caution("Find the studs before any hole in a wall.", "work in walls"),
        Caution(
            "Which cable may go in a wall, how deep and in which zones: ask the licensed person.",
            "work in walls",
        ),
        APART,
    ),
    "drill-list": _DRILLING,
    "mounting": _HANGING,
    "wiring": _WIRING,
    "mains": _LICENSED,
    "test-record": (
        Caution(
            "Leave the supply unplugged, or isolated and locked off, for the dead tests.", "supply"
        ),
        INSULATION,
        MAINS,
        EYES,
    ),
    "user": (
        Caution(
            "Switch off at the {isolator} before you wipe near a supply or its cable.", "supply"
        ),
        MAINS,
        EYES,
    ),
    "sheet": tuple(dict.fromkeys((*OF_ANY_PLAN, *_DRILLING, *_HANGING, *_WIRING, *_LICENSED))),
}
