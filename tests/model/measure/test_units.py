"""The units table: what a unit text means."""

import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.measure import units
from pelmet.model.measure.units import UNITS, quantity, unit

# The same units in the words of pint's own definition file, which only this test reads.
DEFAULT_NAMES = {
    "1": "",
    "%": "percent",
    "in": "international_inch",
    "ft": "international_foot",
    "mm2": "millimeter ** 2",
    "cm2": "centimeter ** 2",
    "cm2/kg": "centimeter ** 2 / kilogram",
    "m2": "meter ** 2",
    "deg": "degree",
    "degC": "degC",
    "1/K": "1 / kelvin",
    "kg/m": "kilogram / meter",
    "h": "hour",
    "W/m2": "watt / meter ** 2",
    "Wh": "watt_hour",
    "kWh": "kilowatt_hour",
    "ohm mm2/m": "ohm * millimeter ** 2 / meter",
    "lm/ft": "lumen / international_foot",
    "cd/m2": "nit",
    "lx": "lumen / meter ** 2",
}


def convert(value, from_unit, to_unit):
    return quantity(value, from_unit).m_as(unit(to_unit))


@pytest.fixture(scope="module")
def default_registry():
    return pint.UnitRegistry()


@pytest.mark.published
@pytest.mark.parametrize(
    ("value", "from_unit", "to_unit", "expected"),
    [
        # International yard and pound agreement, 1959 (NIST SP 811, appendix B.8)
        (1, "in", "mm", 25.4),
        (1, "ft", "m", 0.3048),
        # BIPM, The International System of Units, 9th edition: tables 2, 4, 7 and 8
        (1, "degC", "K", 274.15),
        (180, "deg", "1", 3.14159265358979),
        (1, "h", "s", 3600),
        (1, "kWh", "Wh", 1000),
        (1, "lm", "cd", 1),
        # NIST SP 811, appendix B.8: footcandle = lumen per square foot, 10.76391 lx
        (10.76391, "lx", "cd/m2", 10.76391),
        (1, "lm/ft", "lm/m", 3.280840),
    ],
)
def test_units_are_those_of_the_international_system(value, from_unit, to_unit, expected):
    assert convert(value, from_unit, to_unit) == pytest.approx(expected, rel=5e-8)


@pytest.mark.cross_check
@pytest.mark.parametrize("from_unit", UNITS)
def test_conversions_are_those_of_the_full_definition_file(from_unit, default_registry):
    ours = [text for text in UNITS if UNITS[text].is_compatible_with(UNITS[from_unit])]
    names = {text: DEFAULT_NAMES.get(text, text) for text in ours}
    full = default_registry.Quantity(12.5, default_registry.Unit(names[from_unit]))
    for text in ours:
        expected = full.m_as(default_registry.Unit(names[text]))
        assert convert(12.5, from_unit, text) == pytest.approx(expected, rel=1e-12)
    assert {str(dimension) for dimension in UNITS[from_unit].dimensionality} == {
        str(dimension) for dimension in full.dimensionality
    }


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("factors", "product"),
    [
        (("W/m", "m"), "W"),
        (("V", "A"), "W"),
        (("ohm", "A"), "V"),
        (("ohm/km", "m", "A"), "V"),
        (("ohm", "A/V"), "1"),
        (("A/m", "mm"), "mA"),
        (("V/m", "m"), "mV"),
        (("W", "h"), "Wh"),
        (("W/m2", "m2"), "W"),
        (("K/W", "W"), "K"),
        (("1/K", "K"), "%"),
        (("lm/m", "m"), "lm"),
        (("lm/W", "W"), "lm"),
        (("lx", "m2"), "lm"),
        (("cd/m2", "mm2"), "cd"),
        (("cd/m", "m"), "cd"),
        (("kg/m", "ft"), "g"),
        (("Hz", "s"), "1"),
        (("mm", "mm"), "mm2"),
    ],
)
def test_products_of_units_have_the_dimension_they_should(factors, product):
    total = quantity(1, "1")
    for factor in factors:
        total = total * quantity(1, factor)
    assert total.is_compatible_with(UNITS[product])


@pytest.mark.cross_check
def test_a_worked_circuit_comes_out_in_its_units():
    # 14.4 W/m over 2.5 m at 24 V draws 1.5 A; 4 m there and back in 0.75 mm2 copper
    # (1/58 ohm mm2/m, IEC 60028) drops 1.5 x 8 / (58 x 0.75) V = 12 / 43.5 V.
    current = quantity(14.4, "W/m") * quantity(2.5, "m") / quantity(24, "V")
    assert current.m_as("ampere") == pytest.approx(1.5, rel=1e-12)
    resistance = quantity(1 / 58, "ohm mm2/m") * quantity(8, "m") / quantity(0.75, "mm2")
    assert (current * resistance).m_as("volt") == pytest.approx(12 / 43.5, rel=1e-12)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(UNITS)), st.data())
@pytest.mark.property
def test_a_conversion_there_and_back_changes_nothing(value, from_unit, data):
    alike = [text for text in sorted(UNITS) if UNITS[text].is_compatible_with(UNITS[from_unit])]
    to_unit = data.draw(st.sampled_from(alike))
    there_and_back = convert(convert(value, from_unit, to_unit), to_unit, from_unit)
    assert there_and_back == pytest.approx(value, rel=1e-12, abs=1e-9)


def test_an_unknown_unit_is_named_with_the_known_ones():
    with pytest.raises(ValueError, match=r'"lumens" is not a unit here: use one of .*\blm\b'):
        quantity(1, "lumens")
    with pytest.raises(ValueError, match='"" is not a unit'):
        convert(1, "mm", "")


@pytest.mark.parametrize("text", ["40,5 mm", "9**9**9**9", "mm ", "MM", "metre", "m*m", "μm"])
def test_no_text_outside_the_table_is_read_as_a_unit(text):
    with pytest.raises(ValueError, match=f'^"{re.escape(text)}" is not a unit here'):
        convert(1, text, "mm")


def test_a_quantity_prints_itself_in_short_for_other_tools():
    assert f"{quantity(14.4, 'W/m'):~}" == "14.4 W / m"
    assert f"{quantity(0.75, 'mm2'):~}" == "0.75 mm ** 2"
    assert f"{quantity(3.277, 'ohm/km'):~}" == "3.277 Ω / km"


def test_quantities_of_this_program_work_with_those_made_by_pint_directly():
    total = quantity(1, "m") + pint.Quantity(500.0, "millimetre")
    assert total.m_as("metre") == 1.5


def test_the_definition_file_holds_no_unit_that_the_table_cannot_reach():
    named = {name for unit in UNITS.values() for name in unit._units}
    roots = {units.REGISTRY.parse_unit_name(name)[0][1] for name in named}
    text = units.DEFINITIONS.read_text(encoding="utf-8")
    rows = [line.partition("=")[0].strip() for line in text.splitlines() if "=" in line]
    written = {name for name in rows if not name.startswith("#") and not name.endswith("-")}
    used_by_others = {"radian", "steradian"}
    assert written == roots | used_by_others


def test_threads_share_one_registry():
    pairs = [("ohm/km", "ohm/m"), ("in", "mm"), ("lm/ft", "lm/m"), ("degC", "K")] * 50
    with ThreadPoolExecutor(8) as pool:
        together = list(pool.map(lambda pair: convert(3.0, *pair), pairs))
    assert together == [convert(3.0, *pair) for pair in pairs]


def test_lengths_are_read_without_loading_pint():
    script = (
        "import sys, pelmet.model.measure.lengths, pelmet.model.measure.awg\n"
        "raise SystemExit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0
