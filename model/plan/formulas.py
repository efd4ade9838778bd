"""Every formula a figure can name: what it says, and the source it stands on."""

from typing import Literal, NamedTuple

Standing = Literal["published", "common practice", "derived", "said"]


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
LINE_SOURCE = Source("finite Lambertian line source, integrated along its length", "derived")
EXPANSION = Source(
    "definition of the coefficient of expansion; of aluminium by EN 1999-1-1:2007, 3.2.5",
    "published",
)

FORMULAS: dict[str, Formula] = {
    "reading": Formula("as measured", SURVEY),
    "assumed": Formula("assumed: nobody has measured it yet", SURVEY),
    "choice": Formula("as chosen in the job", SURVEY),
    "allowance": Formula("allowance, editable", PRACTICE),
    "part": Formula("from the part's row in the catalogue", PARTS),
    "least reading": Formula("least of the readings", PRACTICE),
    "unmeasured flush": Formula("opening = width (flush underside, no reading)", GEOMETRY),
    "unmeasured framed": Formula("opening = width - 2 x side panel (no reading)", GEOMETRY),
    "unmeasured upright": Formula("clear height = height (no reading)", GEOMETRY),
    "joined opening": Formula(
        "opening = right edge of the last clear width - left edge of the first", GEOMETRY
    ),
    "cut opening": Formula("opening = right obstruction - left obstruction", GEOMETRY),
    "shared opening": Formula("opening / bars an opening, down to 0.1 mm", ARITHMETIC),
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
    "upright height": Formula("half way up the bar", GEOMETRY),
    "between bars": Formula("start of the next bar - end of this one", GEOMETRY),
    "cable": Formula(
        "(its way along, out and up + 2 x slack) x (1 + spare / 100), up to whole steps", PRACTICE
    ),
    "hole": Formula("cable + 2 mm, 1.3 x cable at least, up to the next bit", PRACTICE),
    "hole for several": Formula(
        "D = square root of (sum of cable^2 / 0.45), up to the next bit: 45 % filled", PRACTICE
    ),
    "hole place": Formula("where the cable's way goes through the panel", GEOMETRY),
    "grommet": Formula("bore = hole - 2 mm", PRACTICE),
    "bar watts": Formula("watts = watts per metre x lit", ARITHMETIC),
    "sum": Formula("sum", ARITHMETIC),
    "copper": Formula(
        "ohms per metre of one core at its temperature = R20 x (1 + 0.00393 x (t - 20))", COPPER
    ),
    "lead ohms": Formula("ohms = 2 x length x ohms per metre of one core", ARITHMETIC),
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
    "cable amps": Formula(
        "amps that all beyond the cable draws through it, as one port seen from its near end",
        Source("Norton's theorem, from the far ends back to the supply", "published"),
    ),
    "cable volts": Formula(
        "volts = volts before it - amps x ohms", Source("Ohm's law", "published")
    ),
    "cable lost": Formula("watts = amps^2 x ohms", Source("Joule's law", "published")),
    "same point": Formula("where the cable ends", GEOMETRY),
    "drop": Formula("drop = 100 x (supply volts - volts) / supply volts", ARITHMETIC),
    "usable": Formula("usable = rating x supply load / 100", PRACTICE),
    "left": Formula("left = usable - load", ARITHMETIC),
    "two ends": Formula("one cap at each end of a bar, none at a mitre", PRACTICE),
    "two a joint": Formula(
        "two connectors a joint, one per pole; a tee takes three-way ones", PRACTICE
    ),
    "useful lumens": Formula(
        "lumens per metre = strip x diffuser transmission, at rated volts", ARITHMETIC
    ),
    "lux": Formula(
        "sum over bars of the closed form for a finite line source; direct light only, at rated "
        "volts: no bounce, no ageing, no shadow",
        LINE_SOURCE,
    ),
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
        "hottest, down to 0.5 mm",
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
