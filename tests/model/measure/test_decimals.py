"""A plain number is read by the same rules as a length, and the fault is shown."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.measure.lengths import Misread, parse_decimal, parse_length


def refused(text: str, *, signed: bool = False) -> Misread | None:
    """Return the error that a text gives, if any; any other exception is let through."""
    try:
        parse_decimal(text, signed=signed)
    except Misread as error:
        return error
    return None


@pytest.mark.parametrize(
    ("text", "value"),
    [("12", "12"), ("4.5", "4.5"), ("4,5", "4.5"), (" 0,250 ", "0.25"), ("2.400", "2.4")],
)
def test_a_number_may_have_a_decimal_point_or_comma(text, value):
    assert str(parse_decimal(text)) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("-4", "-4"),
        ("\u22124,5", "-4.5"),
        ("- 90", "-90"),
        ("+90", "90"),
        ("90", "90"),
        ("-0", "0"),
    ],
)
def test_a_number_may_have_a_sign_where_one_makes_sense(text, value):
    assert str(parse_decimal(text, signed=True)) == value


@pytest.mark.parametrize(
    ("text", "fault", "reason", "readings"),
    [
        ("", "", "Type a number", ()),
        ("  ", "  ", "Type a number", ()),
        ("watt", "watt", "Type a number", ()),
        ("+5", "+5", "Type a number", ()),
        ("-5", "-", "A minus has no place here", ()),
        ("2,400", "2,400", "; type 2.4 or 2400", ("2.4", "2400")),
        (" 2 400 ", "2 400", "; type 2.4 or 2400", ("2.4", "2400")),
        ("1 2 3", "2 3", "the number only", ()),
        ("12 34", "12 34", "no space inside", ()),
        ("45°", "°", "the number only", ()),
        ("14.4 W/m", "W/m", "the number only", ()),
        ("½", "½", "Type a number", ()),
        ("1e9", "e9", "without an exponent", ()),
        ("nan", "nan", "Type a number", ()),
        ("５", "５", "plain digits", ()),
        ("5\n", "\n", "hidden character U+000A", ()),
        (".5", ".5", "digit before", ()),
        ("5,", "5,", "digit after", ()),
        ("1.2.3", "1.2.3", "one decimal mark", ()),
        ("0" * 41, "0", "40 characters", ()),
        ("1234567890", "1234567890", "at most 9", ()),
        ("0.1234567", "0.1234567", "6 after", ()),
    ],
)
def test_what_is_no_number_is_refused_at_the_spot(text, fault, reason, readings):
    with pytest.raises(Misread) as caught:
        parse_decimal(text)
    assert text[caught.value.start : caught.value.end] == fault
    assert reason in str(caught.value)
    assert caught.value.readings == readings


def test_readings_keep_the_sign():
    with pytest.raises(Misread) as caught:
        parse_decimal("-2,400", signed=True)
    assert caught.value.readings == ("-2.4", "-2400")


def test_what_is_misread_is_a_value_error_at_a_prompt_that_says_the_text():
    for read in (parse_decimal, lambda text: parse_length(text, "mm")):
        with pytest.raises(ValueError, match=r"^5e3: Write the number out in full"):
            read("5e3")


@given(st.integers(0, 999_999_999), st.integers(0, 999_999), st.booleans())
@pytest.mark.cross_check
def test_a_number_is_exact(whole, millionths, minus):
    expected = (whole + Fraction(millionths, 1_000_000)) * (-1 if minus else 1)
    text = f"{'-' if minus else ''}{whole}.{millionths:06}"
    assert Fraction(parse_decimal(text, signed=True)) == expected


@given(st.decimals(0, 999_999, places=3, allow_nan=False))
@pytest.mark.property
def test_a_number_with_three_decimals_and_a_comma_is_never_guessed(value):
    text = str(value).replace(".", ",")
    error = refused(text)
    assert bool(error) == (1 <= value < 1000)
    if error:
        assert [Decimal(reading) for reading in error.readings] == [value, value * 1000]
    else:
        assert parse_decimal(text) == value


@given(st.text(max_size=50) | st.text("0123456789.,-+ eE", max_size=45), st.booleans())
@pytest.mark.property
def test_any_text_is_a_number_or_is_misread(text, signed):
    error = refused(text, signed=signed)
    if error:
        values = {parse_decimal(reading, signed=signed) for reading in error.readings}
        assert len(values) == len(error.readings)
    else:
        assert parse_decimal(text, signed=signed).is_finite()
