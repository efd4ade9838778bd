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

FORMULAS: dict[str, Formula] = {
    "reading": Formula("as measured", SURVEY),
    "assumed": Formula("assumed: nobody has measured it yet", SURVEY),
    "choice": Formula("as chosen in the job", SURVEY),
    "allowance": Formula("allowance, editable", PRACTICE),
    "part": Formula("from the part's row in the catalogue", PARTS),
    "least reading": Formula("least of the readings", PRACTICE),
    "unmeasured flush": Formula("opening = width (flush underside, no reading)", GEOMETRY),
    "unmeasured framed": Formula("opening = width - 2 x side panel (no reading)", GEOMETRY),
    "joined opening": Formula(
        "opening = right edge of the last clear width - left edge of the first", GEOMETRY
    ),
    "cut opening": Formula("opening = right obstruction - left obstruction", GEOMETRY),
    "shared opening": Formula("opening / bars an opening, down to 0.1 mm", ARITHMETIC),
    "bar": Formula("bar = opening - 2 x clearance - 2 x cap", PRACTICE),
    "units": Formula("units = whole part of (bar - start - end) / cut unit", PRACTICE),
    "lit": Formula("lit = units x cut unit", ARITHMETIC),
    "dark": Formula("dark = bar - lit", ARITHMETIC),
    "rest": Formula("rest = bar - start - end - lit", ARITHMETIC),
    "lit share": Formula("share = 100 x lit / bar", ARITHMETIC),
    "from wall front": Formula("cabinet depth - set-back - face / 2", GEOMETRY),
    "from wall middle": Formula("cabinet depth / 2", GEOMETRY),
    "from wall back": Formula("set-back + face / 2", GEOMETRY),
    "light height": Formula("bottom height - channel depth", GEOMETRY),
    "walls": Formula("taken off the plan", GEOMETRY),
    "between bars": Formula("start of the next bar - end of this one", GEOMETRY),
    "along walls": Formula(
        "along the walls + difference in height + 2 x slack (reckoned, not a drawn route)",
        PRACTICE,
    ),
    "link": Formula("gap + difference in height + 2 x slack", PRACTICE),
    "link over": Formula(
        "gap + difference in height + 2 x cabinet height + 2 x cabinet depth + 2 x slack", PRACTICE
    ),
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
    "leg amps": Formula("amps the network of the leg draws at the supply's volts", CABLE_EQUATION),
    "drop": Formula("drop = 100 x (supply volts - volts) / supply volts", ARITHMETIC),
    "usable": Formula("usable = rating x supply load / 100", PRACTICE),
    "left": Formula("left = usable - load", ARITHMETIC),
    "two ends": Formula("one cap at each end of a bar", PRACTICE),
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
}
