"""Every formula a figure can name: what it says, and the source it stands on."""

from collections.abc import Callable
from typing import Any, Final, Literal, NamedTuple, TypeVar

Standing = Literal["published", "common practice", "derived", "said", "from memory"]


class Source(NamedTuple):
    """Where a formula or a limit comes from."""

    title: str
    standing: Standing


class Formula(NamedTuple):
    """One formula in words and symbols, with its source."""

    says: str
    source: Source


SURVEY = Source("the survey", "said")
PARTS = Source("the catalogue", "said")
PRACTICE = Source("common practice", "common practice")
GEOMETRY = Source("plane geometry", "derived")
ARITHMETIC = Source("arithmetic", "derived")
CABLE_EQUATION = Source(
    "passive-cable equation u'' = r g u, u = V - Vf, its cosh solution", "published"
)
COPPER = Source(
    "IEC 60228 Tables A.1-A.3 (metric), ASTM B258 with IACS resistivity (AWG)", "published"
)
LINE_SOURCE = Source("finite line source, integrated along its length", "derived")
EXPANSION = Source(
    "definition of the coefficient of expansion; of aluminium by EN 1999-1-1:2007, 3.2.5",
    "published",
)
BREAKERS = Source("breaker table of a luminaire manual, C16 100 %", "published")

CORDS = Source("NEC Table 400.5(A)(1), BS 7671 Table 4F3A", "published")

FORMULAS: dict[str, Formula] = {
    "reading": Formula("as measured", SURVEY),
    "assumed": Formula("assumed: nobody has measured it yet", SURVEY),
    "choice": Formula("as chosen in the job", SURVEY),
    "built": Formula("as it was built", SURVEY),
    "allowance": Formula("allowance, editable", PRACTICE),
    "part": Formula("from the part's row in the catalogue", PARTS),
    "rule": Formula(
        "limit of the region's rule, or the one a person put in its place",
        Source("the rules of the region, each with its own source", "said"),
    ),
    "breaker share": Formula("how many such go on it, of those on a type C of 16 A", BREAKERS),
    "least reading": Formula("least of the readings", PRACTICE),
    "unmeasured flush": Formula("opening = width (flush underside, no reading)", GEOMETRY),
    "unmeasured framed": Formula("opening = width - 2 x side panel (no reading)", GEOMETRY),
    "unmeasured upright": Formula("clear height = height (no reading)", GEOMETRY),
    "joined opening": Formula(
        "opening = right edge of the last clear width - left edge of the first", GEOMETRY
    ),
    "cut opening": Formula("opening = right obstruction - left obstruction", GEOMETRY),
    "shared opening": Formula("opening / bars an opening, down to 0.1 mm (0.004 in)", ARITHMETIC),
    "split opening": Formula(
        "opening split where cabinets meet, into the fewest bars of at most the longest; "
        "one cabinet alone too wide is shared evenly",
        PRACTICE,
    ),
    "corner opening": Formula(
        "opening = from its own edge to where bars meet round the corner", GEOMETRY
    ),
    "longest opening": Formula("longest bar + 2 x clearance + 2 x cap", ARITHMETIC),
    "mitre": Formula("saw setting from square = |90 - corner / 2|", PRACTICE),
    "mitred edge": Formula("edge = bar +- face / 2 x tan(saw setting) a mitre", GEOMETRY),
    "bar at a corner": Formula(
        "bar = opening - clearance and cap at each end; the cap alone where it butts on another "
        "bar, nothing at a mitre",
        PRACTICE,
    ),
    "bar": Formula("bar = opening - 2 x clearance - 2 x cap", PRACTICE),
    "units": Formula("units = whole part of (bar - start - end) / cut unit", PRACTICE),
    "lit": Formula("lit = units x cut unit", ARITHMETIC),
    "dark": Formula("dark = bar - lit", ARITHMETIC),
    "rest": Formula("rest = bar - start - end - lit", ARITHMETIC),
    "dark end": Formula("dark at an end = its zone + its part of the dark rest", ARITHMETIC),
    "band": Formula("dark at the end of one bar + gap + dark at the start of the next", ARITHMETIC),
    "corner band": Formula(
        "along both lines of light, from the last lit point over their crossing to the next",
        GEOMETRY,
    ),
    "lit share": Formula("share = 100 x lit / bar", ARITHMETIC),
    "from wall front": Formula("cabinet depth - set-back - face / 2", GEOMETRY),
    "from wall middle": Formula("cabinet depth / 2", GEOMETRY),
    "from wall back": Formula("set-back + face / 2", GEOMETRY),
    "from wall edge": Formula("shelf depth + face / 2 (on its front edge)", GEOMETRY),
    "light height": Formula("bottom height - channel depth", GEOMETRY),
    "walls": Formula("taken off the plan", GEOMETRY),
    "groove height": Formula("bottom height (level with the underside)", GEOMETRY),
    "bar foot": Formula("lower end of the bar above the floor", GEOMETRY),
    "upright height": Formula("half way up the bar", GEOMETRY),
    "between bars": Formula("start of the next bar - end of this one", GEOMETRY),
    "cable": Formula(
        "(its way along, out and up + 2 x slack) x (1 + spare / 100), up to whole steps", PRACTICE
    ),
    "hole": Formula("cable + 2 mm (0.08 in), 1.3 x cable at least, up to the next bit", PRACTICE),
    "hole for several": Formula(
        "D = square root of (sum of cable^2 / 0.45), up to the next bit: 45 % filled", PRACTICE
    ),
    "hole place": Formula("where the cable's way goes through the panel", GEOMETRY),
    "grommet hole": Formula(
        "the hole of the smallest grommet whose bore passes the cables: one as wide as it is; of "
        "several, D - 2 mm (0.08 in); in inches the next bit",
        PRACTICE,
    ),
    "grommet": Formula("bore = hole - 2 mm (0.08 in)", PRACTICE),
    "bar watts": Formula("watts = watts per metre x lit", ARITHMETIC),
    "sum": Formula("sum", ARITHMETIC),
    "copper": Formula(
        "ohms per metre of one core at its temperature = R20 x (1 + 0.00393 x (t - 20))", COPPER
    ),
    "out and back": Formula(
        "2: out on one core, back on the other; 1.5 of tunable white, where two share what the "
        "common one carries",
        ARITHMETIC,
    ),
    "lead ohms": Formula(
        "ohms = out and back x (length x ohms per metre of one core + contacts of each pole x "
        "ohms of one)",
        ARITHMETIC,
    ),
    "fed by two": Formula("half of the bar's watts: two legs feed its run", ARITHMETIC),
    "volts linear": Formula(
        "V = Vf + u, u'' = r g u with the load beyond it (cosh form)", CABLE_EQUATION
    ),
    "volts regulated": Formula(
        "V(x) = V0 - r I x + r i x^2 / 2, constant amps per metre above drop-out",
        Source(
            "uniformly loaded distributor, Bell, Power Distribution for Electric Railroads",
            "published",
        ),
    ),
    "volts by units": Formula(
        "current law at every cut unit: what comes along the rails is what the unit draws at its "
        "volts and what goes on",
        Source("Kirchhoff's current law, solved by Newton's method", "published"),
    ),
    "cable amps": Formula(
        "amps that all beyond the cable draws, by the current law at every joint of the leg",
        Source("Kirchhoff's current law", "published"),
    ),
    "cable volts": Formula(
        "volts = volts before it - amps x ohms", Source("Ohm's law", "published")
    ),
    "cable lost": Formula("watts = amps^2 x ohms", Source("Joule's law", "published")),
    "rails lost": Formula(
        "integral of amps^2 x ohms per metre along its strip", Source("Joule's law", "published")
    ),
    "joint ohms": Formula("ohms = out and back x ohms of one contact", ARITHMETIC),
    "drop": Formula("drop = 100 x (supply volts - volts) / supply volts", ARITHMETIC),
    "most of states": Formula(
        "the largest of as planned, just switched on (cold) and after half an hour at full (hot)",
        PRACTICE,
    ),
    "least of states": Formula(
        "the smallest of as planned, just switched on (cold) and after half an hour at full (hot)",
        PRACTICE,
    ),
    "light share": Formula(
        "light = 100 x amps a metre at these volts / at rated volts, by the kind of strip",
        Source("circuit theory; the light of an LED taken to follow its current", "derived"),
    ),
    "light lost": Formula("lost = 100 x (brightest - faintest) / brightest", ARITHMETIC),
    "mean light": Formula(
        "mean = 100 x amps that all of it draws / at rated volts all along it",
        Source("circuit theory; the light of an LED taken to follow its current", "derived"),
    ),
    "light step": Formula(
        "step = 100 x difference / the brighter, each light share x strip x diffuser transmission",
        ARITHMETIC,
    ),
    "volts band": Formula("expected -+ volts band / 100 x rated volts", PRACTICE),
    "amps band": Formula("expected -+ amps band / 100 x expected", PRACTICE),
    "derated": Formula(
        "rating x (1 - derating x (air - full up to)) in warmer air; nothing above the highest",
        Source("derating guide for enclosed supplies; the supply's own sheet wins", "published"),
    ),
    "usable": Formula("usable = derated x supply load / 100", PRACTICE),
    "left": Formula("left = usable - load", ARITHMETIC),
    "drawn": Formula("watts out of the supply for a leg = supply volts x leg amps", ARITHMETIC),
    "supply load": Formula(
        "the larger of its legs' rated watts and of what flows out for them, cables in it; rated "
        "watts for a leg whose amps are not known",
        PRACTICE,
    ),
    "least load": Formula(
        "the smaller of a leg's rated watts and of what it draws in the state it draws least",
        PRACTICE,
    ),
    "terminals left": Formula("terminals - cables", ARITHMETIC),
    "least efficiency": Formula(
        "default where the part says none, up to 49 W: 100 x (0.071 ln W - 0.0014 W + 0.67)",
        Source("Regulation (EU) 2019/1782, Annex II", "published"),
    ),
    "usual power factor": Formula(
        "default where the part says none: 0.9 over 25 W of rating, else 0.5",
        Source("IEC 61000-3-2, class C over 25 W; the figures from memory", "from memory"),
    ),
    "input": Formula("watts from the mains = supply load / efficiency", ARITHMETIC),
    "mains amps": Formula("amps = input / (power factor x mains volts)", ARITHMETIC),
    "circuit amps": Formula("breaker x circuit share / 100", ARITHMETIC),
    "by amps": Formula("whole part of circuit amps / mains amps", ARITHMETIC),
    "by inrush": Formula("whole part of how many on a C16 x breaker share / 100", BREAKERS),
    "least count": Formula("the smaller of the counts that are known", ARITHMETIC),
    "channel amps": Formula(
        "leg amps / channels: what flows while it is on; pulses lower the average, not this",
        ARITHMETIC,
    ),
    "energy": Formula(
        "input at full for hours a day x days a year, standby for the rest of 8760 hours",
        ARITHMETIC,
    ),
    "cost": Formula("energy x price a kWh, to the hundredth", ARITHMETIC),
    "full load amps": Formula("amps = rating / supply volts", ARITHMETIC),
    "overload amps": Formula("amps = full load x source overload / 100", PRACTICE),
    "most driven": Formula(
        "the smaller of what it drives before it limits and of what a Class 2 source may", PRACTICE
    ),
    "cord amps": Formula("from the region's table of flexible cords, by size", CORDS),
    "overcurrent": Formula(
        "the most that may protect a conductor of this gauge", Source("NEC 240.4(D)", "published")
    ),
    "ampacity": Formula("the smallest of the amps that are known for the cable", ARITHMETIC),
    "largest fuse": Formula(
        "what the cable carries, or what may protect its gauge if that is less", PRACTICE
    ),
    "fuse needed": Formula(
        "smallest standard rating (R10 series of ISO 3, 1 to 25 A) of at least leg amps x 100 / "
        "fuse load, and no more than the largest fuse",
        PRACTICE,
    ),
    "two ends": Formula("one cap at each end of a bar, none at a mitre", PRACTICE),
    "two a joint": Formula(
        "two connectors a joint, one per pole; a tee takes three-way ones; a block at a supply as "
        "many side by side as its cables ask for",
        PRACTICE,
    ),
    "bar lumens": Formula(
        "lumens per metre kept up = bare strip x transmission x kept when warm x kept up x mean "
        "light at its volts",
        ARITHMETIC,
    ),
    "lux": Formula(
        "sum over the bars of the room, up to two corners away: closed form of a finite line of "
        "light, shaded by lip, boards and walls, and what the splashback gives back",
        LINE_SOURCE,
    ),
    "average lux": Formula(
        "mean over the grid of what is lit below the run",
        Source("grid of EN 12464-1:2011, 4.4", "published"),
    ),
    "evenness": Formula(
        "least / average", Source("illuminance uniformity U0 of EN 12464-1", "published")
    ),
    "depth to diffuser": Formula(
        "channel depth - 3 mm (0.12 in) for its back, strip and diffuser, never less than 0",
        PRACTICE,
    ),
    "dots": Formula(
        "100 x (most - least) / (most + least) along the diffuser, s = 2 pi x LEDs to diffuser / "
        "pitch: (sinh s + s cosh s) / (s + sinh s cosh s); "
        "what the cover does not spread is all uneven",
        Source("Lambert's cosine law and the inverse square, summed in closed form", "derived"),
    ),
    "mirror image": Formula(
        "from the wall = strip's place + (eye's - strip's) x strip's height / (strip's + eye's), "
        "heights above the worktop",
        Source("image method: a level top mirrors the strip to as far below it", "derived"),
    ),
    "mirror angle": Formula(
        "from the upright = atan(|eye's place - strip's| / (strip's height + eye's))",
        Source("image method: a level top mirrors the strip to as far below it", "derived"),
    ),
    "finish share": Formula(
        "of a polished top's image, what its finish leaves: all, satin and matt by mid-band gloss",
        Source("gloss units of ISO 2813; the bands an estimate", "common practice"),
    ),
    "image contrast": Formula(
        "image over top = share left x Fresnel's reflectance, index 1.5, x lumens a metre / (pi x "
        "width) over gives back x average lux / pi; 1000 at most",
        Source("Fresnel's equations, Lambert's law", "published"),
    ),
    "hiding lip": Formula(
        "below the underside, down to the line from the strip's back edge to a seated eye",
        GEOMETRY,
    ),
    "hiding back lip": Formula(
        "below the underside at its back, down to the line from the strip's front edge to an eye "
        "behind",
        GEOMETRY,
    ),
    "hiding end panel": Formula(
        "below the underside at its end, down to the line from the strip's far end to an eye "
        "beyond",
        GEOMETRY,
    ),
    "lit end": Formula("along the wall from the end of its cabinets to the far lit end", GEOMETRY),
    "weight": Formula("kilograms per metre x bar, strip and diffuser in it", ARITHMETIC),
    "people": Formula("one person; two for a bar over the allowance", PRACTICE),
    "bar with caps": Formula("bar, by the longer edge of a mitred one, + its caps", ARITHMETIC),
    "tilt room": Formula(
        "what a bar takes more to swing up one end first, between deep faces = "
        "square root of (bar with caps^2 + depth^2) - bar with caps",
        GEOMETRY,
    ),
    "growth": Formula("bar x expansion x (hottest - cut at), never less than 0", EXPANSION),
    "clearance needed": Formula("at each end: growth / 2, held in its middle", ARITHMETIC),
    "diffuser cut": Formula(
        "longest that is never longer than its bar, from the temperature it is cut at to the "
        "hottest, down to 0.5 mm (0.02 in)",
        EXPANSION,
    ),
    "diffuser gap": Formula(
        "bar - diffuser, both shrunk from the temperature they are cut at to the coldest",
        EXPANSION,
    ),
    "screw left": Formula("panel - (screw length - screw base)", PRACTICE),
    "groove left": Formula("panel - channel depth", ARITHMETIC),
    "tape needed": Formula("tape for a kilogram x weight", PRACTICE),
    "tape area": Formula("bar x face x tape share / 100", ARITHMETIC),
}

# The row that each formula's function works out; functions say it of themselves.
ROW_OF: Final[dict[Callable[..., Any], str]] = {}
_Function = TypeVar("_Function", bound=Callable[..., Any])


def works_out(formula_id: str) -> Callable[[_Function], _Function]:
    """Say which row of the table a function works out; no two work out one row."""

    def said_of(function: _Function) -> _Function:
        ROW_OF[function] = formula_id
        return function

    return said_of
