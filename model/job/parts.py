"""The kinds of part a catalogue holds. Lengths are millimetres; other units stand in the key."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from pelmet.model.job.items import Said
from pelmet.model.job.scalars import (
    Amps,
    BeamDegrees,
    BigAmps,
    CableLength,
    Celsius,
    CornerDegrees,
    Hertz,
    Id,
    KilogramsPerMetre,
    LumensPerMetre,
    MainsVolts,
    Milliohms,
    MillionthsPerKelvin,
    Money,
    Name,
    OhmsPerMetre,
    Percent,
    PercentPerKelvin,
    Seconds,
    Share,
    Size,
    Small,
    SmallWatts,
    SquareMillimetres,
    Volts,
    Watts,
    WattsPerMetre,
    Words,
)

StripKind = Literal["resistor-limited", "current-regulated", "constant power"]
Side = Literal["low voltage", "mains"]
Limited = Literal["not known", "class 2", "SELV", "no"]
Serves = Literal[
    "clip",
    "screw",
    "cable clip",
    "grommet",
    "sleeve",
    "mounting tape",
    "joiner",
    "mitre piece",
    "tail wire",
    "marker",
    "fuse",
    "fuse holder",
]
SwitchKind = Literal["wall switch", "remote", "door switch", "motion sensor"]
# The flexible and fixed sizes that IEC 60228 lists an ohms figure for, as far as strip needs.
METRIC_SIZES = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0)
Kelvin = Annotated[int, Field(ge=1000, le=10000)]
Degrees = Annotated[int, Field(ge=10, le=90)]
Box = Annotated[tuple[Size, ...], Field(strict=False, min_length=3, max_length=3)]
Sizes = Annotated[tuple[Size, ...], Field(strict=False, min_length=1, max_length=20)]


class Part(Said):
    """Anything that can be ordered."""

    id: Id
    name: Name
    price: Money | None = Field(
        default=None, description="Of a piece, or of a metre of what is sold by length, before tax"
    )
    note: Words = ""


class Boxed(Part):
    """What sits somewhere as a box, with air round it."""

    size: Box | None = Field(default=None, description="Its length, width and height")
    air: Small | None = Field(
        default=None, description="Air its maker wants on every side; unset, the allowance"
    )


class ForChannel(Part):
    """What goes on one size of channel."""

    for_face: Small | None = Field(
        default=None, description="Face of the channel it is made for; unset, it is taken to fit"
    )
    for_depth: Small | None = Field(
        default=None, description="Depth of the channel it is made for; unset, it is taken to fit"
    )


class Strip(Part):
    """LED strip, cut in whole units."""

    kind: StripKind
    volts: Volts
    watts_per_metre: WattsPerMetre
    lumens_per_metre: LumensPerMetre
    cut_unit: Small = Field(description="Shortest piece; it is cut only at whole units")
    pitch: Small = Field(
        description="Centre to centre of its LEDs; 0 when they cannot be told apart"
    )
    ohms_per_metre: OhmsPerMetre = Field(description="Both rails together, out and back")
    led_volts: Volts | None = Field(
        default=None,
        description="What its LEDs in series need to light; a resistor-limited one must say it",
    )
    leds_in_series: Annotated[int, Field(ge=1, le=24)] | None = Field(
        default=None, description="LEDs in one string of it, for what heat does to its volts"
    )
    dropout_volts: Volts | None = Field(
        default=None,
        description="Current-regulated or constant power: below this it no longer holds its own",
    )
    longest_feed: Size | None = Field(
        default=None, description="Longest piece its maker lets be fed from one end"
    )
    channels: Annotated[int, Field(ge=1, le=2)] = Field(
        default=1, description="2 for tunable white: warm and cool over one common conductor"
    )
    dimmable: bool = True
    kelvin: Kelvin = Field(description="Nominal white; of tunable white its middle")
    warm_kelvin: Kelvin | None = Field(default=None, description="Of tunable white: its warm end")
    cool_kelvin: Kelvin | None = Field(default=None, description="Of tunable white: its cool end")
    cri: Annotated[int, Field(ge=0, le=100)] | None = Field(
        default=None, description="Colour rendering Ra of its data sheet"
    )
    r9: Annotated[int, Field(ge=-150, le=100)] | None = Field(
        default=None, description="Rendering of strong red, which Ra leaves out"
    )
    colour_steps: Annotated[int, Field(ge=1, le=10)] | None = Field(
        default=None, description="Steps (SDCM) within which its maker keeps a reel's white"
    )
    width: Small
    reel: Size
    factory_joint_every: Size | None = Field(
        default=None, description="How often the maker joined the reel; unset when it is not known"
    )
    across_joints: bool = Field(
        default=False, description="A piece of it may lie across the maker's joints"
    )
    ip: Annotated[int, Field(ge=0, le=69)] = Field(
        default=20, description="Protection against touch and water, two digits of IEC 60529"
    )

    @model_validator(mode="after")
    def _says_where_it_fades(self) -> "Strip":
        needed = "led_volts" if self.kind == "resistor-limited" else "dropout_volts"
        knee = getattr(self, needed)
        if knee is None or knee >= self.volts:
            raise PydanticCustomError(
                "strip",
                "a {kind} strip needs {needed}, and less than its volts",
                {"kind": self.kind, "needed": needed},
            )
        if self.kind == "current-regulated" and self.led_volts and self.led_volts >= knee:
            raise PydanticCustomError("strip", "led_volts must be less than dropout_volts")
        if self.cut_unit <= 0:
            raise PydanticCustomError("strip", "cut_unit must be more than 0")
        return self

    @model_validator(mode="after")
    def _has_both_ends_of_white(self) -> "Strip":
        ends = self.warm_kelvin, self.cool_kelvin
        if ends == (None, None):
            return self
        if self.channels == 1 or None in ends or not ends[0] < self.kelvin < ends[1]:  # type: ignore[operator]
            raise PydanticCustomError(
                "strip",
                "warm_kelvin and cool_kelvin are the ends of tunable white: give both, its kelvin "
                "between them, and channels = 2",
            )
        return self


class Channel(Part):
    """Aluminium channel."""

    face: Small = Field(description="Width of the side the light leaves")
    depth: Small = Field(description="How far it stands down from the underside")
    floor: Small = Field(description="Widest strip it takes")
    throws: Annotated[tuple[Degrees, ...], Field(strict=False, min_length=1, max_length=4)] = Field(
        description="Degrees below the horizontal it can be fixed to throw at; 90 is straight down"
    )
    stock: Sizes
    watts_limit_per_metre: WattsPerMetre
    cap: Id
    diffuser_distance: Small | None = Field(
        default=None, description="From the LEDs to the diffuser; unset, what its depth leaves"
    )
    kilograms_per_metre: KilogramsPerMetre = Field(
        default=Decimal("0.25"), description="With strip and diffuser in it"
    )
    # EN 1999-1-1:2007, 3.2.5: coefficient of linear thermal expansion of aluminium alloys.
    expansion: MillionthsPerKelvin = Field(
        default=Decimal(23), description="Growth with temperature, in millionths a kelvin"
    )


class Cap(ForChannel):
    """End cap."""

    thickness: Small = Field(description="What it adds outside the bar")


class Diffuser(ForChannel):
    """Cover that spreads the light."""

    transmission_percent: Percent
    stock: Sizes
    clear: bool = Field(default=False, description="It covers, and does not spread the light")
    # From memory: opal spreads all of it, satin most; the maker's sheet or a look decides.
    spread_percent: Percent = Field(
        default=Decimal(100), description="How much of the light it spreads; the rest shows dots"
    )
    beam_degrees: BeamDegrees = Field(
        default=Decimal(120),
        description="Angle across a bar over which it gives half its most or more; opal about 120",
    )
    curve: (
        Annotated[tuple[Percent, ...], Field(strict=False, min_length=3, max_length=181)] | None
    ) = Field(
        default=None,
        description="As measured: light across a bar in equal steps of angle from 90 degrees "
        "on its wall side to 90 on its room side, in percent of the most",
    )

    @field_validator("curve")
    @classmethod
    def _lets_light_out(cls, curve: tuple[Decimal, ...] | None) -> tuple[Decimal, ...] | None:
        if curve is not None and not any(curve):
            raise PydanticCustomError("dark", "all of it is 0: some light has to come out")
        return curve

    # Of polycarbonate, from memory: the maker's sheet decides.
    expansion: MillionthsPerKelvin = Field(
        default=Decimal(68), description="Growth with temperature, in millionths a kelvin"
    )


class SupplyPart(Boxed):
    """Constant-voltage power supply."""

    volts: Volts
    watts: Watts
    terminals: Annotated[int, Field(ge=1, le=40)]
    dimmable: bool = Field(default=False, description="By a dimmer on its mains side")
    limited: Limited = Field(
        default="not known",
        description="What its label says its output is limited to; SELV limits no amps",
    )
    selv: bool | None = Field(
        default=None,
        description="Whether its label says that its output is SELV; unset when nobody has read it",
    )
    most_amps: Amps | None = Field(
        default=None, description="The most its output drives into a fault, by its sheet"
    )
    full_to_celsius: Celsius = Field(
        default=Decimal(50), description="Gives its full watts in air up to this"
    )
    derate_per_kelvin: PercentPerKelvin = Field(
        default=Decimal("2.5"), description="What it gives less for each kelvin above that"
    )
    highest_celsius: Celsius = Field(
        default=Decimal(70), description="Not to be used in warmer air than this"
    )
    efficiency: Percent | None = Field(default=None, description="At full load")
    power_factor: Share | None = Field(default=None, description="At full load, 0 to 1")
    standby_watts: SmallWatts | None = Field(default=None, description="Taken with nothing lit")
    inrush_amps: BigAmps | None = Field(default=None, description="Peak when switched on")
    on_c16: Annotated[int, Field(ge=1, le=500)] | None = Field(
        default=None, description="How many its maker allows on one 16 A breaker of type C"
    )
    least_mm2: SquareMillimetres | None = Field(default=None, description="Its terminals take from")
    most_mm2: SquareMillimetres | None = Field(default=None, description="Its terminals take up to")
    bare_wire: Small | None = Field(default=None, description="Bare wire its terminals want")


class Dimmer(Boxed):
    """Dimmer: between supply and strip, or on the mains side before the supply."""

    side: Side = "low voltage"
    min_volts: MainsVolts
    max_volts: MainsVolts
    amps: Amps = Field(description="A channel")
    channels: Annotated[int, Field(ge=1, le=16)] = 1
    least_percent: Percent = Field(default=Decimal(1), description="Least light it dims to")
    min_watts: SmallWatts | None = Field(default=None, description="Least load it works with")
    pwm_hertz: Hertz | None = Field(
        default=None, description="How often it switches; unset when it does not, or is not known"
    )
    together: bool = Field(default=False, description="Several of it can follow one control")


class Switch(Boxed):
    """What switches a zone: a wall switch or remote, a door switch, a motion sensor."""

    kind: SwitchKind
    side: Side
    max_volts: MainsVolts
    amps: Amps
    hold_seconds: Seconds | None = Field(
        default=None, description="How long a sensor keeps the light on"
    )


class Connector(Part):
    """Lever connector: one conductor a way."""

    ways: Annotated[int, Field(ge=2, le=12)]
    amps: Amps
    bare_wire: Small
    least_mm2: SquareMillimetres | None = Field(default=None, description="It takes from")
    most_mm2: SquareMillimetres | None = Field(default=None, description="It takes up to")
    milliohms: Milliohms = Field(default=Decimal(0), description="Across one of its contacts")


class Cable(Part):
    """Two-core cable, or three-core for tunable white; metric by area and class, or by gauge."""

    cores: Annotated[int, Field(ge=2, le=3)] = 2
    mm2: SquareMillimetres | None = None
    conductor_class: Literal[1, 2, 5] | None = Field(
        default=None, description="IEC 60228 class: 1 solid, 2 stranded, 5 flexible"
    )
    awg: Annotated[int, Field(ge=10, le=28)] | None = None
    solid: bool = Field(
        default=False, description="Of a gauge: one solid wire a core; else it is stranded"
    )
    amps: Amps
    reels: Annotated[tuple[CableLength, ...], Field(strict=False, max_length=20)] = Field(
        default=(), description="Lengths it is sold in; none: it is sold by the metre"
    )
    outside: Small = Field(
        default=Decimal(6), description="Widest across its sheath: what a hole must pass"
    )

    @model_validator(mode="after")
    def _has_one_size(self) -> "Cable":
        by_area = (self.mm2 is not None, self.conductor_class is not None)
        if by_area != ((self.awg is None,) * 2):
            raise PydanticCustomError("cable", "a cable has either mm2 and conductor_class, or awg")
        if self.solid and self.awg is None:
            raise PydanticCustomError("cable", "solid is said of a gauge; of mm2 it is class 1")
        if self.mm2 is not None and float(self.mm2) not in METRIC_SIZES:
            sizes = ", ".join(f"{size:g}" for size in METRIC_SIZES)
            raise PydanticCustomError("cable", "mm2 must be one of {sizes}", {"sizes": sizes})
        return self


class Sundry(ForChannel):
    """What is used up in fixing and joining: clips, screws, grommets, sleeve, tape."""

    serves: Serves = Field(description="What it is for; the first that serves and fits is taken")
    bore: Small | None = Field(
        default=None, description="Of a grommet: the widest that goes through it"
    )
    hole: Small | None = Field(
        default=None, description="Of a grommet: the hole it is set in; unset, its bore and 2 mm"
    )
    length: Small | None = Field(default=None, description="Of a screw")
    width: Small | None = Field(default=None, description="Of mounting tape")
    corner: CornerDegrees | None = Field(
        default=None, description="Of a mitre piece: the corner it is made for; unset, any"
    )
    cores: Annotated[int, Field(ge=2, le=3)] | None = Field(
        default=None, description="Of tail wire, which is soldered to strip"
    )
    mm2: SquareMillimetres | None = Field(default=None, description="Of tail wire: of one core")
    amps: Amps | None = Field(
        default=None, description="Of tail wire: what it may carry; of a fuse: what it is rated"
    )
    by_the_metre: bool = Field(default=False, description="It is sold by length")
