"""The kinds of part a catalogue holds. Lengths are millimetres; other units stand in the key."""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from pelmet.model.job.items import Said
from pelmet.model.job.scalars import (
    Amps,
    Id,
    KilogramsPerMetre,
    LumensPerMetre,
    MillionthsPerKelvin,
    Name,
    OhmsPerMetre,
    Percent,
    Size,
    Small,
    SquareMillimetres,
    Volts,
    Watts,
    WattsPerMetre,
    Words,
)

StripKind = Literal["resistor-limited", "current-regulated"]
# The flexible and fixed sizes that IEC 60228 lists an ohms figure for, as far as strip needs.
METRIC_SIZES = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0)
Degrees = Annotated[int, Field(ge=10, le=90)]
Sizes = Annotated[tuple[Size, ...], Field(strict=False, min_length=1, max_length=20)]


class Part(Said):
    """Anything that can be ordered."""

    id: Id
    name: Name
    note: Words = ""


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
        default=None, description="Resistor-limited: what its LEDs in series need to light"
    )
    dropout_volts: Volts | None = Field(
        default=None, description="Current-regulated: below this its regulators let go"
    )
    kelvin: Annotated[int, Field(ge=1000, le=10000)]
    width: Small
    reel: Size
    factory_joint_every: Size | None = Field(
        default=None, description="How often the maker joined the reel; unset when it is not known"
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
        if self.cut_unit <= 0:
            raise PydanticCustomError("strip", "cut_unit must be more than 0")
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
    kilograms_per_metre: KilogramsPerMetre = Field(
        default=Decimal("0.25"), description="With strip and diffuser in it"
    )
    expansion: MillionthsPerKelvin = Field(
        default=Decimal(23), description="Growth with temperature, in millionths a kelvin"
    )


class Cap(Part):
    """End cap."""

    thickness: Small = Field(description="What it adds outside the bar")


class Diffuser(Part):
    """Cover that spreads the light."""

    transmission_percent: Percent
    stock: Sizes
    expansion: MillionthsPerKelvin = Field(
        default=Decimal(68), description="Growth with temperature, in millionths a kelvin"
    )


class SupplyPart(Part):
    """Constant-voltage power supply."""

    volts: Volts
    watts: Watts
    terminals: Annotated[int, Field(ge=1, le=40)]
    dimmable: bool = False


class Dimmer(Part):
    """Dimmer on the low-voltage side."""

    min_volts: Volts
    max_volts: Volts
    amps: Amps


class Connector(Part):
    """Lever connector: one conductor a way."""

    ways: Annotated[int, Field(ge=2, le=12)]
    amps: Amps
    bare_wire: Small


class Cable(Part):
    """Two-core cable, metric by area and class or by gauge."""

    mm2: SquareMillimetres | None = None
    conductor_class: Literal[2, 5] | None = Field(default=None, description="IEC 60228 class")
    awg: Annotated[int, Field(ge=10, le=28)] | None = None
    amps: Amps
    outside: Small = Field(
        default=Decimal(6), description="Widest across its sheath: what a hole must pass"
    )

    @model_validator(mode="after")
    def _has_one_size(self) -> "Cable":
        by_area = (self.mm2 is not None, self.conductor_class is not None)
        if by_area != ((self.awg is None,) * 2):
            raise PydanticCustomError("cable", "a cable has either mm2 and conductor_class, or awg")
        if self.mm2 is not None and float(self.mm2) not in METRIC_SIZES:
            sizes = ", ".join(f"{size:g}" for size in METRIC_SIZES)
            raise PydanticCustomError("cable", "mm2 must be one of {sizes}", {"sizes": sizes})
        return self
