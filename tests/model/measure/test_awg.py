"""Wire gauges against the standard that defines them and a table printed from it."""

from decimal import Decimal

import pytest

from pelmet.model.measure.awg import NO_0000, THINNEST, awg_area_mm2, awg_diameter_mm

MM_IN_AN_INCH = 25.4
GAUGES = range(NO_0000, THINNEST + 1)

# Gauge; diameter [mm] and area [mm2] worked out apart from this program from ASTM B258; and
# ohm per 1000 ft of solid copper at 20 °C as printed in the wire gauge table of HyperPhysics
# (C. R. Nave, Georgia State University), which goes with annealed copper of 100 % IACS.
WIRES = [
    (10, "2.5882", "5.2612", "0.9989"),
    (11, "2.3048", "4.1723", "1.26"),
    (12, "2.0525", "3.3088", "1.588"),
    (13, "1.8278", "2.6240", "2.003"),
    (14, "1.6277", "2.0809", "2.525"),
    (15, "1.4495", "1.6502", "3.184"),
    (16, "1.2908", "1.3087", "4.016"),
    (17, "1.1495", "1.0378", "5.064"),
    (18, "1.0237", "0.8230", "6.385"),
    (19, "0.9116", "0.6527", "8.051"),
    (21, "0.7229", "0.4105", "12.8"),
    (22, "0.6438", "0.3255", "16.14"),
    (23, "0.5733", "0.2582", "20.36"),
    (24, "0.5106", "0.2047", "25.67"),
    (25, "0.4547", "0.1624", "32.37"),
    (26, "0.4049", "0.1288", "40.81"),
    (27, "0.3606", "0.1021", "51.47"),
    (28, "0.3211", "0.0810", "64.9"),
]


def half_a_digit(printed: str) -> float:
    """Return half a unit of the last printed digit."""
    return float(Decimal(5).scaleb(int(Decimal(printed).as_tuple().exponent) - 1))


@pytest.mark.published
@pytest.mark.parametrize(("gauge", "inches"), [(36, 0.0050), (-3, 0.4600)])
def test_the_two_gauges_that_astm_b258_fixes(gauge, inches):
    assert awg_diameter_mm(gauge) == pytest.approx(inches * MM_IN_AN_INCH, rel=1e-12)


@pytest.mark.published
@pytest.mark.parametrize("gauge", GAUGES[:-1])
def test_successive_diameters_are_in_the_ratio_that_astm_b258_prints(gauge):
    ratio = awg_diameter_mm(gauge) / awg_diameter_mm(gauge + 1)
    assert ratio == pytest.approx(1.1229322, abs=half_a_digit("1.1229322"))


@pytest.mark.published
@pytest.mark.parametrize(("gauge", "_diameter", "_area", "printed"), WIRES)
def test_areas_give_the_printed_resistance_of_copper(gauge, _diameter, _area, printed):
    # IACS: 1/58 ohm mm2/m at 20 °C (IEC 60028); 1000 ft is 304.8 m.
    ohms = 304.8 / 58 / awg_area_mm2(gauge)
    assert ohms == pytest.approx(float(printed), abs=half_a_digit(printed))


@pytest.mark.cross_check
@pytest.mark.parametrize(("gauge", "diameter", "area", "_printed"), WIRES)
def test_diameters_and_areas_worked_out_apart(gauge, diameter, area, _printed):
    assert awg_diameter_mm(gauge) == pytest.approx(float(diameter), abs=half_a_digit(diameter))
    assert awg_area_mm2(gauge) == pytest.approx(float(area), abs=half_a_digit(area))


@pytest.mark.parametrize("gauge", [NO_0000 - 1, THINNEST + 1])
def test_a_gauge_beyond_the_table_is_refused(gauge):
    with pytest.raises(ValueError, match=f"-3 .* to 40, not {gauge}"):
        awg_area_mm2(gauge)
