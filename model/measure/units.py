"""The units that figures carry, on pint with a small definition file of our own.

Only this module knows pint. Text that a person typed never reaches pint's parser, which reads
"40,5 mm" as 405 mm: units are looked up in a table, numbers come from `decimals`.
"""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

import pint

DEFINITIONS: Final = Path(__file__).with_name("units.txt")

# Built once, when this module is first imported: a registry that several threads fill at the
# same moment loses units, and quantities of two registries do not mix.
REGISTRY: Final["pint.UnitRegistry[Any]"] = pint.UnitRegistry(
    str(DEFINITIONS), on_redefinition="raise"
)
pint.set_application_registry(REGISTRY)  # type: ignore[no-untyped-call]

_EXPRESSIONS: Final = {
    "1": "",
    "%": "percent",
    "mm": "millimetre",
    "cm": "centimetre",
    "m": "metre",
    "in": "inch",
    "ft": "foot",
    "mm2": "millimetre ** 2",
    "cm2": "centimetre ** 2",
    "cm2/kg": "centimetre ** 2 / kilogram",
    "m2": "metre ** 2",
    "deg": "degree",
    "g": "gram",
    "kg": "kilogram",
    "kg/m": "kilogram / metre",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "Hz": "hertz",
    "K": "kelvin",
    "degC": "degree_Celsius",
    "1/K": "1 / kelvin",
    "K/W": "kelvin / watt",
    "mV": "millivolt",
    "V": "volt",
    "V/m": "volt / metre",
    "mA": "milliampere",
    "A": "ampere",
    "A/m": "ampere / metre",
    "A/V": "ampere / volt",
    "W": "watt",
    "W/m": "watt / metre",
    "W/m2": "watt / metre ** 2",
    "Wh": "watt * hour",
    "kWh": "kilowatt * hour",
    "mohm": "milliohm",
    "ohm": "ohm",
    "ohm/m": "ohm / metre",
    "ohm/km": "ohm / kilometre",
    "ohm mm2/m": "ohm * millimetre ** 2 / metre",
    "lm": "lumen",
    "lm/m": "lumen / metre",
    "lm/ft": "lumen / foot",
    "lm/W": "lumen / watt",
    "cd": "candela",
    "cd/m": "candela / metre",
    "cd/m2": "candela / metre ** 2",
    "lx": "lux",
}

UNITS: Final[Mapping[str, pint.Unit]] = MappingProxyType(
    {text: REGISTRY.Unit(expression) for text, expression in _EXPRESSIONS.items()}
)
"""Every unit text the program shows, with its unit."""


def unit(text: str) -> pint.Unit:
    """Return the unit shown as `text`; raises ValueError, which names the known ones."""
    if text not in UNITS:
        raise ValueError(f'"{text}" is not a unit here: use one of {", ".join(UNITS)}')
    return UNITS[text]


def quantity(value: float, unit_text: str) -> "pint.Quantity[float]":
    """Return a value with its unit, for other tools; raises ValueError for an unknown one."""
    return REGISTRY.Quantity(value, unit(unit_text))
