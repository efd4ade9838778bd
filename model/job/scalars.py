"""The scalar types a job file is made of, each with its own words for what it refuses."""

import unicodedata
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction
from typing import Annotated, Any

from pydantic import AfterValidator, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from pelmet.model.measure.lengths import (
    MILLIMETRES,
    Misread,
    TypedLength,
    parse_length,
    print_length,
)
from pelmet.model.refusal import refusal_text

# Marks that turn the direction of text around: they can make a label read as another one.
_TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_UNPRINTABLE = frozenset({"Cc", "Cs", "Zl", "Zp"})
_MOST_DECIMALS = 6
_TAPE = 16  # parts of an inch
_MOST_DIGITS = 1000  # noughts included; beyond it a number takes too long to look at


def plain_number(value: Decimal) -> int | Decimal:
    """Give the number as a file shows it: whole when whole, else without exponent or spare zeros.

    >>> plain_number(Decimal("6E+2")), plain_number(Decimal("563.50"))
    (600, Decimal('563.5'))
    """
    if value == value.to_integral_value():
        return int(value)
    return Decimal(format(value.normalize(), "f"))


def _in_file(value: Decimal) -> int | Decimal | str:
    return value.text if isinstance(value, TypedLength) else plain_number(value)


@dataclass(frozen=True)
class Number:
    """A decimal number from ``low`` to ``high``, both included; never a boolean, never text."""

    low: Decimal
    high: Decimal
    unit: str = ""

    def read(self, found: Any) -> Decimal:
        """Turn a TOML or Python number into an exact Decimal, or say what is wrong with it."""
        if isinstance(found, bool) or not isinstance(found, int | float | Decimal):
            raise PydanticCustomError("number", "a number is wanted here")
        if not isinstance(found, Decimal):
            found = Decimal(str(found))
        return self.within(found)

    def within(self, value: Decimal) -> Decimal:
        """Refuse what is not finite, out of range, or finer than a millionth."""
        if not value.is_finite():
            raise PydanticCustomError("number", "a finite number is wanted here")
        if not self.low <= value <= self.high:
            raise PydanticCustomError(
                "range",
                "out of range: from {low} to {high}",
                self.bounds_said(value),
            )
        exponent = value.as_tuple().exponent
        decimals = -exponent if isinstance(exponent, int) else 0
        if decimals > _MOST_DIGITS or Fraction(value) * 10**_MOST_DECIMALS % 1:
            raise PydanticCustomError("number", "at most six decimals")
        return abs(value) if value == 0 else value

    def bounds_said(self, _: Decimal) -> dict[str, str]:
        """Say from where to where it may be, as the number that is not there was said."""
        bounds = {"low": self.low, "high": self.high}
        return {name: f"{plain_number(at)} {self.unit}".strip() for name, at in bounds.items()}

    def __get_pydantic_core_schema__(self, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read,
            serialization=core_schema.plain_serializer_function_ser_schema(_in_file),
        )

    def __get_pydantic_json_schema__(
        self, _: CoreSchema, __: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"type": "number", "minimum": float(self.low), "maximum": float(self.high)}


@dataclass(frozen=True)
class Length(Number):
    """A length [mm]: a number of millimetres, or text with its unit as people write it."""

    unit: str = "mm"

    def read(self, found: Any) -> Decimal:
        """Read a number of millimetres or a text such as ``34 5/8 in``; exact."""
        if not isinstance(found, str):
            return super().read(found)
        try:
            return self.within(parse_length(found, "mm"))
        except Misread as misread:
            raise PydanticCustomError(
                "length", "{why}", {"why": refusal_text(misread, "")}
            ) from misread

    def bounds_said(self, value: Decimal) -> dict[str, str]:
        """Say them in inches, as far as a tape shows them, of what was typed in inches."""
        if not isinstance(value, TypedLength):
            return super().bounds_said(value)
        part = MILLIMETRES["in"] / _TAPE
        low = (self.low / part).to_integral_value(ROUND_CEILING) * part
        high = (self.high / part).to_integral_value(ROUND_FLOOR) * part
        return {"low": print_length(low, "in"), "high": print_length(high, "in")}

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        number = super().__get_pydantic_json_schema__(schema, handler)
        text = {
            "description": "With its unit: 3 m, 34 5/8 in, 3 ft 4 in",
            "type": "string",
            "minLength": 1,
            "maxLength": 40,
            "pattern": "[0-9\u00bc-\u00be\u2150-\u215e]",
        }
        return {"anyOf": [{"description": "Millimetres", **number}, text]}


def _printable(text: str) -> str:
    for character in text:
        if unicodedata.category(character) in _UNPRINTABLE or character in _TURNING:
            raise PydanticCustomError(
                "text",
                "a control or direction mark (U+{code}) stands in this text; take it out",
                {"code": f"{ord(character):04X}"},
            )
    return text


def _printable_lines(text: str) -> str:
    for line in text.split("\n"):
        _printable(line)
    return text


def _day(text: str) -> str:
    try:
        known = not text or date.fromisoformat(text).isoformat() == text
    except ValueError:
        known = False
    if not known:
        raise PydanticCustomError("day", "a day is wanted, as year-month-day: 2027-03-01")
    return text


Id = Annotated[str, Field(pattern=r"^[A-Za-z][A-Za-z0-9_.-]{0,23}$")]
Name = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_printable)]
ShortWords = Annotated[str, Field(max_length=60), AfterValidator(_printable)]
Reason = Annotated[str, Field(min_length=1, max_length=300), AfterValidator(_printable)]
Day = Annotated[str, Field(max_length=10), AfterValidator(_day)]  # ISO 8601; "" if not said
Words = Annotated[str, Field(max_length=2000), AfterValidator(_printable_lines)]

Size = Annotated[Decimal, Length(Decimal(1), Decimal(20_000))]
Place = Annotated[Decimal, Length(Decimal(0), Decimal(50_000))]
Small = Annotated[Decimal, Length(Decimal(0), Decimal(1_000))]
Height = Annotated[Decimal, Length(Decimal(0), Decimal(6_000))]
WallLength = Annotated[Decimal, Length(Decimal(1), Decimal(50_000))]
Rest = Annotated[Decimal, Length(Decimal(0), Decimal(200_000))]
CableLength = Annotated[Decimal, Length(Decimal(1), Decimal(200_000))]

CornerDegrees = Annotated[Decimal, Number(Decimal(20), Decimal(340), "degrees")]
Percent = Annotated[Decimal, Number(Decimal(0), Decimal(100), "%")]
LoadPercent = Annotated[Decimal, Number(Decimal(1), Decimal(100), "%")]
Minutes = Annotated[Decimal, Number(Decimal(0), Decimal(600), "min")]
SquareCentimetresPerKilogram = Annotated[Decimal, Number(Decimal(0), Decimal(500), "cm2/kg")]
KilogramsPerMetre = Annotated[Decimal, Number(Decimal("0.01"), Decimal(10), "kg/m")]
MillionthsPerKelvin = Annotated[Decimal, Number(Decimal(0), Decimal(300), "1e-6/K")]
Celsius = Annotated[Decimal, Number(Decimal(-20), Decimal(120), "degC")]
Lux = Annotated[Decimal, Number(Decimal(0), Decimal(5_000), "lx")]
Watts = Annotated[Decimal, Number(Decimal("0.1"), Decimal(2_000), "W")]
WattsPerMetre = Annotated[Decimal, Number(Decimal("0.1"), Decimal(100), "W/m")]
LumensPerMetre = Annotated[Decimal, Number(Decimal(1), Decimal(20_000), "lm/m")]
OhmsPerMetre = Annotated[Decimal, Number(Decimal(0), Decimal(10), "ohm/m")]
Volts = Annotated[Decimal, Number(Decimal("0.1"), Decimal(60), "V")]
Amps = Annotated[Decimal, Number(Decimal("0.1"), Decimal(100), "A")]
SquareMillimetres = Annotated[Decimal, Number(Decimal("0.05"), Decimal(10), "mm2")]
Milliohms = Annotated[Decimal, Number(Decimal(0), Decimal(1_000), "mohm")]
Hertz = Annotated[Decimal, Number(Decimal(1), Decimal(1_000_000), "Hz")]
Hours = Annotated[Decimal, Number(Decimal(0), Decimal(24), "h")]
Days = Annotated[Decimal, Number(Decimal(0), Decimal(366), "d")]
Seconds = Annotated[Decimal, Number(Decimal(0), Decimal(36_000), "s")]
Count = Annotated[Decimal, Number(Decimal(0), Decimal(1_000))]
Money = Annotated[Decimal, Number(Decimal(0), Decimal(1_000_000))]
PercentPerKelvin = Annotated[Decimal, Number(Decimal(0), Decimal(100), "%/K")]
Amount = Annotated[Decimal, Number(Decimal("0.001"), Decimal(100_000))]
Limit = Annotated[Decimal, Number(Decimal(0), Decimal(1_000_000))]
MainsVolts = Annotated[Decimal, Number(Decimal("0.1"), Decimal(260), "V")]
SmallWatts = Annotated[Decimal, Number(Decimal(0), Decimal(500), "W")]
BigAmps = Annotated[Decimal, Number(Decimal("0.1"), Decimal(500), "A")]
Share = Annotated[Decimal, Number(Decimal("0.1"), Decimal(1))]
MillivoltsPerKelvin = Annotated[Decimal, Number(Decimal(0), Decimal(20), "mV/K")]
BeamDegrees = Annotated[Decimal, Number(Decimal(1), Decimal(179), "degrees")]
