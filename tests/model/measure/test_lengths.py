"""A length is read the way it is said at the tape, exactly, in one way only, or refused."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.measure.lengths import (
    TAPE_DENOMINATORS,
    LengthUnit,
    Misread,
    exact_length,
    parse_length,
)
from pelmet.model.refusal import refusal_text

UNITS = get_args(LengthUnit)
INCH = Fraction(254, 10)
FOOT = 12 * INCH
MILLIMETRES = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": INCH, "ft": FOOT}


def refused(text: str, bare: LengthUnit) -> Misread | None:
    """Return the error that a text gives, if any; any other exception is let through."""
    try:
        parse_length(text, bare)
    except Misread as error:
        return error
    return None


units = st.sampled_from(UNITS)


@pytest.mark.published
@pytest.mark.parametrize(
    ("text", "millimetres"),
    [("1 in", "25.4"), ("1 ft", "304.8"), ("3 ft", "914.4"), ("36 in", "914.4")],
)
def test_inch_and_foot_are_those_of_the_yard_and_pound_agreement(text, millimetres):
    # International yard and pound agreement, 1959: 1 yard = 0.9144 m exactly, whence
    # 1 ft = 0.3048 m and 1 in = 25.4 mm (NIST SP 811, appendix B.8).
    assert parse_length(text, "mm") == Decimal(millimetres)


BARE_IN_MM = [
    ("883", "883"),
    ("883.5", "883.5"),
    ("88,3", "88.3"),
    ("2.400", "2.4"),
    ("0,250", "0.25"),
    ("0", "0"),
]
BARE_IN_INCHES = [
    ("34", "863.6"),
    ("34 5/8", "879.475"),
    ("34-5/8", "879.475"),
    ("34\u20135/8", "879.475"),
    ("34⅝", "879.475"),
    ("34 ⅝", "879.475"),
    ("34  5 / 8", "879.475"),
    ("34\u00a05\u20448", "879.475"),
    ("34.625", "879.475"),
    ("5/8", "15.875"),
    ("10/16", "15.875"),
    ("34 41/64", "879.871875"),
    ("3' 4", "1016"),
    ("3 ft 4 1/2", "1028.7"),
]
WITH_UNIT = [
    ("883mm", "883"),
    ("  883 MM ", "883"),
    ("88,3 cm", "883"),
    ("1.2 m", "1200"),
    ("0,250 m", "250"),
    ('34-5/8"', "879.475"),
    ("34⅝ in", "879.475"),
    ("34 5/8 inches", "879.475"),
    ("1 Inch", "25.4"),
    ("34 5/8 in.", "879.475"),
    ('4½"', "114.3"),
    ("5''", "127"),
    ("0.5 in", "12.7"),
    ("3'", "914.4"),
    ("3.5 ft", "1066.8"),
    ("2 Feet", "609.6"),
    ("1 foot", "304.8"),
    ("3' 4\"", "1016"),
    ("3'4\"", "1016"),
    ("3'-4\"", "1016"),
    ("3' - 4\"", "1016"),
    ("5'6''", "1676.4"),
    ("3' 4-1/2\"", "1028.7"),
    ("3 ft 4-1/2 in", "1028.7"),
    ("3 ft. 4 in.", "1016"),
    ("3′ 4½″", "1028.7"),
    ("3’ 4½”", "1028.7"),
    ("3' ½\"", "927.1"),
    ("3'-5/8\"", "930.275"),
    ("3' 4.5\"", "1028.7"),
    ("3' 0\"", "914.4"),
    ("3' 11 63/64\"", "1218.803125"),
    ("123456789.123456 mm", "123456789.123456"),
]


@pytest.mark.parametrize(("text", "millimetres"), BARE_IN_MM)
def test_a_bare_number_in_a_millimetre_job_is_millimetres(text, millimetres):
    assert parse_length(text, "mm") == Decimal(millimetres)


@pytest.mark.parametrize(("text", "millimetres"), BARE_IN_INCHES)
def test_a_bare_number_in_an_inch_job_is_inches(text, millimetres):
    assert parse_length(text, "in") == Decimal(millimetres)


@pytest.mark.parametrize(("text", "millimetres"), WITH_UNIT)
def test_a_number_with_its_unit_means_the_same_in_every_job(text, millimetres):
    assert {parse_length(text, bare) for bare in UNITS} == {Decimal(millimetres)}


def test_a_bare_number_takes_the_unit_of_the_job():
    assert [str(parse_length("1.50", unit)) for unit in UNITS] == ["1.5", "15", "1500", "38.1"]


def test_equal_lengths_are_stored_alike_however_they_were_typed():
    texts = ("1.2 m", "1.200 m", "120 cm", "1200.0", "01200")
    assert {str(parse_length(text, "mm")) for text in texts} == {"1200"}


# text, job unit, what the carets stand under, a piece of the reason, what may be typed instead
AMBIGUOUS = [
    ("2,400", "mm", "2,400", "decimal mark or thousands", ("2.4 mm", "2400 mm")),
    ("2,400 m", "mm", "2,400", "thousands; type 2.4 m or 2400 m", ("2.4 m", "2400 m")),
    ("12,400", "in", "12,400", "thousands", ("12.4 in", "12400 in")),
    ("2,400'", "mm", "2,400", "thousands", ("2.4'", "2400'")),
    ("2,400' 4\"", "mm", "2,400", "thousands", ("2400' 4\"",)),
    ("3' 2,400\"", "mm", "2,400", "thousands", ("3' 2.4\"",)),
    ("2 400 mm", "mm", "2 400", "A space inside", ("2.4 mm", "2400 mm")),
    ("2\u202f400", "cm", "2\u202f400", "A space inside", ("2.4 cm", "2400 cm")),
    ("345/8", "in", "345/8", "top of a fraction", ("34 5/8 in", "43 1/8 in")),
    ("115/16\"", "mm", "115/16", "top of", ('1 15/16"', '11 5/16"', '7 3/16"')),
    ("105/16", "in", "105/16", "top of", ("10 5/16 in", "6 9/16 in")),
    ("8/8", "in", "8/8", "top of", ("1 in",)),
    ("34 - 5/8", "in", "-", "could be a minus", ("34 5/8 in",)),
    ("3' -4\"", "mm", "-", "could be a minus", ("3' 4\"",)),
    ("3' 4", "mm", "4", "Name the unit", ("3' 4 in",)),
    ("3'-4 1/2", "cm", "4 1/2", "Name the unit", ("3'-4 1/2 in",)),
    ("34 5/8", "mm", "5/8", "A fraction is of an inch", ("34 5/8 in",)),
    ("34⅝", "m", "⅝", "A fraction is of an inch", ("34 5/8 in",)),
]  # fmt: skip
REFUSED = [
    ("", "mm", "", "Type a length, such as"),
    ("   ", "mm", "   ", "Type a length, such as"),
    ("mm", "mm", "mm", "Type a length, such as"),
    ("-/-", "in", "-/-", "Type a length, such as"),
    ("1" * 41, "mm", "1", "too long; keep to 40 characters"),
    ("-5 mm", "mm", "-", "cannot be negative; leave off the minus"),
    ("\u22125", "mm", "\u2212", "cannot be negative"),
    ("+5", "mm", "+", 'The "+" has no place in a length; delete it'),
    ("1e9", "mm", "e", "without an exponent"),
    ("1E-3 m", "mm", "E", "without an exponent"),
    ("８８３", "mm", "８", "plain digits 0 to 9"),
    ("٨٨٣", "mm", "٨", "plain digits 0 to 9"),
    ("5²", "mm", "²", "plain digits 0 to 9"),
    ("8\x1b[31m", "mm", "\x1b", "hidden character U+001B"),
    ("883\t", "mm", "\t", "hidden character U+0009"),
    ("88\u202e3", "mm", "\u202e", "hidden character U+202E"),
    ("883 \ud800", "mm", "\ud800", "hidden character U+D800"),
    ("883 [red]", "mm", "[", 'The "[" has no place'),
    ("883!", "mm", "!", 'The "!" has no place'),
    ("5 yd", "mm", "yd", '"yd" is not a length unit here; use mm, cm, m, in or ft'),
    ("5 мм", "mm", "мм", '"мм" is not a length unit'),
    ("5 mm2", "mm", "2", "Use one unit"),
    ("1 m 20 cm", "mm", "20 cm", "Use one unit"),
    ("1 m 20", "mm", "20", "Use one unit"),
    ("3 ft 20 mm", "mm", "20 mm", "Use one unit"),
    ("4 in 3 ft", "mm", "3 ft", "Use one unit"),
    ("3 ft 4 in 5/8", "mm", "5/8", "Use one unit"),
    ("5 mm cm", "mm", "cm", "number first"),
    ("'5", "mm", "'", "number first"),
    ("34 5/8 mm", "mm", "5/8", "A fraction is of an inch"),
    ("½ m", "in", "½", "A fraction is of an inch"),
    ("3½ ft", "in", "½", "write feet and inches"),
    ("1/0", "in", "1/0", "No tape shows 1/0; use halves"),
    ("1/3", "in", "1/3", "No tape shows 1/3"),
    ("3⅓", "in", "⅓", "No tape shows 1/3"),
    ("3 5/10", "in", "5/10", "No tape shows 5/10"),
    ("3 1/128", "in", "1/128", "No tape shows 1/128"),
    ("3 9/8", "in", "9/8", "top of a fraction"),
    ("3 0/8", "in", "0/8", "top of a fraction"),
    ("1.5/8", "in", "1.5/8", "whole numbers above and below"),
    ("34.5 5/8", "in", "34.5 5/8", "not both"),
    ("5/8 34", "in", "5/8", "fraction last"),
    ("1/2/4", "in", "1/2", "fraction last"),
    ("/8", "mm", "/", "The / has no place"),
    ("883-885", "mm", "-", "The dash has no place"),
    ("34-", "in", "-", "The dash has no place"),
    ("34--5/8", "in", "-", "The dash has no place"),
    ("3'14\"", "mm", "14", "from 0 to less than 12"),
    ("3' 12\"", "mm", "12", "from 0 to less than 12"),
    ("2'400", "in", "400", "from 0 to less than 12"),
    ("2'004\"", "mm", "004", "from 0 to less than 12"),
    ("3.5' 4\"", "mm", "3.5", "whole feet"),
    ("34 5", "in", "34 5", "no space inside"),
    ("1 234 567", "mm", "1 234 567", "no space inside"),
    ("1,234,567", "mm", "1,234,567", "one decimal mark"),
    ("1.234,5", "mm", "1.234,5", "one decimal mark"),
    ("1..5", "mm", "1..5", "one decimal mark"),
    (".5 in", "mm", ".5", "digit before the decimal mark"),
    ("5. in", "mm", "5.", "digit after the decimal mark"),
    ("1234567890", "mm", "1234567890", "at most 9 digits"),
    ("1.1234567", "mm", "1.1234567", "6 after"),
]


@pytest.mark.parametrize(("text", "bare", "fault", "reason", "readings"), AMBIGUOUS)
def test_an_ambiguous_length_is_refused_with_what_to_type(text, bare, fault, reason, readings):
    with pytest.raises(Misread) as caught:
        parse_length(text, bare)
    assert text[caught.value.start : caught.value.end] == fault
    assert reason in refusal_text(caught.value, "")
    assert caught.value.readings == readings
    assert all(reading in str(caught.value) for reading in readings)


@pytest.mark.parametrize(("text", "bare", "fault", "reason"), REFUSED)
def test_what_is_no_length_is_refused_at_the_spot_with_a_reason(text, bare, fault, reason):
    with pytest.raises(Misread) as caught:
        parse_length(text, bare)
    assert text[caught.value.start : caught.value.end] == fault
    assert reason in refusal_text(caught.value, "")
    assert caught.value.readings == ()


def test_the_fault_is_found_where_it_stands_in_the_text():
    with pytest.raises(Misread) as caught:
        parse_length("34 5/7 in", "mm")
    assert (caught.value.start, caught.value.end) == (3, 6)


@given(st.integers(0, 99), st.integers(0, 11), st.sampled_from(TAPE_DENOMINATORS), st.data())
@pytest.mark.cross_check
def test_feet_inches_and_fraction_add_up_as_rational_numbers(feet, inches, bottom, data):
    top = data.draw(st.integers(1, bottom - 1))
    feet_mark = data.draw(st.sampled_from([" ft ", "'", "' ", "' - ", "'-", " feet "]))
    join = data.draw(st.sampled_from([" ", "-", "\u2013"]))
    inch_mark = data.draw(st.sampled_from(['"', " in", "''", " inches", "″"]))
    text = f"{feet}{feet_mark}{inches}{join}{top}/{bottom}{inch_mark}"
    expected = feet * FOOT + (inches + Fraction(top, bottom)) * INCH
    assert Fraction(parse_length(text, data.draw(units))) == expected


# Every shape of length there is, written down a second time as patterns.
_N = r"(\d{1,9}(?:[.,]\d{1,6})?)"
_F = r"(\d+/(?:2|4|8|16|32|64))"
_INCH_PART = {"number": _N, "fraction": _F, "mixed": rf"(\d{{1,9}})(?:-| +){_F}"}
SHAPES = {
    f"{feet}{kind}": re.compile(lead + part + r" *(in|)")
    for feet, lead in (("", ""), ("feet ", r"(\d{1,9}) *ft(?: *| +- +|-)"))
    for kind, part in _INCH_PART.items()
} | {"other": re.compile(_N + r" *(mm|cm|m|ft)")}
numbers = st.sampled_from(["3", "4", "11", "34", "2", "0", "88,3", "1.5", "0,250", "2,400"])
fractions = st.sampled_from(["1/2", "5/8", "63/64", "1/3", "8/8"])
joints = st.sampled_from([" ", "  ", " - ", "-", "", "/"])
inch_parts = numbers | fractions | st.tuples(numbers, joints, fractions).map("".join)
feet_parts = st.tuples(numbers, st.sampled_from(["ft ", " ft", " ft - ", "ft-", " ft-", " m "]))
endings = st.sampled_from(["", "in", " in", " in", "mm", " cm", " m", " ft"])
likely = st.tuples(st.just("") | feet_parts.map("".join), inch_parts, endings).map("".join)


def second_reading(match: re.Match[str], bare: str) -> Fraction:
    *numbers, unit = match.groups()
    values = [Fraction(number.replace(",", ".")) for number in numbers]
    if "ft" in match[0] and unit != "ft":
        feet, *values = values
        assert unit or bare == "in"
        return feet * FOOT + sum(values) * INCH
    return sum(values, Fraction(0)) * MILLIMETRES[unit or bare]


@given(likely, units)
@pytest.mark.cross_check
def test_an_accepted_length_fits_one_shape_only_and_has_its_value(text, bare):
    try:
        value = parse_length(text, bare)
    except Misread:
        return
    matches = [match for shape in SHAPES.values() if (match := shape.fullmatch(text.strip()))]
    assert len(matches) == 1, text
    assert Fraction(value) == second_reading(matches[0], bare)


anything = st.text(max_size=50) | st.text(
    st.sampled_from("0123456789.,/-'\"⅝½ \u00a0″′inftmcm e+\x00\n８[]"), max_size=45
)


@given(anything, units)
@pytest.mark.property
def test_any_text_is_a_length_or_is_misread_with_help(text, bare):
    error = refused(text, bare)
    if error is None:
        value = parse_length(text, bare)
        assert value >= 0
        assert parse_length(exact_length(value, "mm"), bare) == value or value >= 10**9
        return
    assert 0 <= error.start <= error.end <= len(text)
    assert re.fullmatch(r'["A-Z][^\n]*[^.\n]', refusal_text(error, ""))
    values = [{parse_length(reading, unit) for unit in UNITS} for reading in error.readings]
    assert all(len(same) == 1 for same in values)  # a reading means the same in every job
    assert len(set.union(set(), *values)) == len(values)  # and no two mean the same


def test_reading_a_length_is_quick(benchmark):
    assert benchmark(parse_length, "3 ft 4-1/2 in", "mm") == Decimal("1028.7")
