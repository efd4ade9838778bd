"""The scalar types of a job file: what each takes and what it refuses, in words."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ConfigDict, TypeAdapter, ValidationError

from pelmet.model.job import scalars
from pelmet.model.job.scalars import Id, Name, Number, Place, Size, Small, Words, plain_number

NUMBERS = {
    name: kind
    for name, kind in vars(scalars).items()
    if any(isinstance(one, Number) for one in getattr(kind, "__metadata__", ()))
}


def read(kind: Any, found: Any) -> Any:
    return TypeAdapter(kind, config=ConfigDict(strict=True)).validate_python(found)


def refusal(kind: Any, found: Any) -> str:
    with pytest.raises(ValidationError) as caught:
        pytest.fail(f"{kind} takes {read(kind, found)!r}")
    return str(caught.value.errors()[0]["msg"])


def rule(name: str) -> Number:
    (only,) = (one for one in NUMBERS[name].__metadata__ if isinstance(one, Number))
    return only


def test_the_numbers_of_a_job_file_are_all_tried():
    assert {"Size", "Place", "Small", "CornerDegrees", "Volts", "Amps", "Lux"} <= NUMBERS.keys()


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_takes_both_its_ends_and_nothing_beyond(name):
    low, high = rule(name).low, rule(name).high
    assert low < high
    assert (read(NUMBERS[name], low), read(NUMBERS[name], high)) == (low, high)
    for beyond in (low - Decimal("0.000001"), high + Decimal("0.000001")):
        assert "out of range: from" in refusal(NUMBERS[name], beyond)


NO_NUMBERS = {
    "true": True, "false": False, "nothing": None, "list": [], "table": {}, "bytes": b"50",
    "words": "fifty", "no text": "", "complex": 1j, "nan": float("nan"), "inf": float("inf"),
    "-inf": float("-inf"), "Decimal nan": Decimal("nan"), "Decimal -inf": Decimal("-Infinity"),
    "400 digits": 10**400, "-400 digits": -(10**400), "5000 digits": 10**5000,
    "a million digits": Decimal("1e999999"), "400 decimals": Decimal("50." + "0" * 400 + "1"),
    "seven decimals": Decimal("50.0000001"), "float noise": 0.1 + 0.2, "tiny": Decimal("1e-400"),
}  # fmt: skip


@pytest.mark.parametrize("found", NO_NUMBERS.values(), ids=NO_NUMBERS)
def test_no_number_takes(found):
    words = {name: refusal(kind, found) for name, kind in NUMBERS.items()}
    assert {name for name, said in words.items() if len(said) >= 200} == set()
    assert {name for name, said in words.items() if not said.isprintable()} == set()


@pytest.mark.parametrize(
    ("found", "value"),
    [
        (600, 600),
        (600.0, 600),
        (563.5, Decimal("563.5")),
        (0.1, Decimal("0.1")),
        (Decimal("563.500000000"), Decimal("563.5")),
        (Decimal("6e2"), 600),
        (Decimal("50." + "0" * 400), 50),
        (Decimal("50.000001"), Decimal("50.000001")),
    ],
)
def test_a_small_length_takes_plain_numbers_exactly(found, value):
    got = read(Small, found)
    assert (got, type(got)) == (value, Decimal)


@pytest.mark.parametrize(
    ("found", "millimetres"),
    [
        ("883", 883),
        ("34 5/8 in", Decimal("879.475")),
        ("3' 4\"", Decimal(1016)),
        ("1.2 m", 1200),
        ("88,3 cm", 883),
        ("1/64 in", Decimal("0.396875")),
    ],
)
def test_a_length_takes_text_as_people_write_it(found, millimetres):
    # An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
    assert read(Place, found) == millimetres


@pytest.mark.parametrize(
    "found",
    [
        "1,234",
        "12 furlongs",
        "-5 mm",
        "60 m",
        "nan",
        "1e3",
        "9" * 400,
        "5 mm\x1b[2J",
        "=5",
        "\u202e5",
    ],
)
def test_a_length_refuses_text_it_is_not_sure_of(found):
    words = refusal(Size, found)
    assert words.strip()
    assert len(words) < 300
    assert "\x1b" not in words


def test_other_numbers_take_no_text():
    assert refusal(scalars.Volts, "24") == "a number is wanted here"


def test_minus_nothing_is_nothing():
    assert str(read(Place, -0.0)) in ("0", "0.0")


@pytest.mark.parametrize("kind", [Id, Name, Words])
@pytest.mark.parametrize("found", [True, 5, 5.0, None, b"A1", ["A1"]], ids=repr)
def test_text_is_never_made_of_something_else(kind, found):
    assert refusal(kind, found)


@pytest.mark.parametrize("found", ["A1", "a", "B2.left_end-3", "Z" * 24])
def test_an_id_is_a_letter_and_a_few_more_signs(found):
    assert read(Id, found) == found


@pytest.mark.parametrize(
    "found",
    ["", "1A", "A 1", "A1\n", "\nA1", "_A", "-A", ".A", "A/1", "A=1", "[A]", "\u00c41",
     "\uff211", "\u04101", "A" * 25, "A\u200b", "A\x00", "A\x1b"],
    ids=ascii,
)  # fmt: skip
def test_an_id_is_nothing_else(found):
    assert refusal(Id, found)


GOOD_TEXTS = [
    "7 Curlew Lane",
    "Küche",
    "台所",
    "مطبخ",
    "👩‍🍳 kitchen 💡",
    "x" * 120,
    "=1+1",
    "[b]x[/b]",
]
# One of each class that changes what a screen shows: controls, line ends, bidirectional marks.
BAD_SIGNS = ["\x00", "\x07", "\x08", "\x1b", "\x7f", "\x85", "\x9b", "\t", "\r", "\u2028", "\u2029",
             "\u061c", "\u200e", "\u200f", "\u202a", "\u202b", "\u202c", "\u202d", "\u202e",
             "\u2066", "\u2067", "\u2068", "\u2069"]  # fmt: skip


@pytest.mark.parametrize("kind", [Name, Words])
@pytest.mark.parametrize("found", GOOD_TEXTS, ids=ascii)
def test_a_text_may_be_in_any_script_with_any_picture(kind, found):
    assert read(kind, found) == found


@pytest.mark.parametrize("kind", [Name, Words])
@pytest.mark.parametrize("sign", BAD_SIGNS, ids=ascii)
def test_no_text_holds_a_sign_that_changes_the_screen(kind, sign):
    words = refusal(kind, f"kitchen{sign}x")
    assert f"U+{ord(sign):04X}" in words
    assert words.isascii()


def test_a_name_is_one_line_and_a_note_may_be_several():
    assert read(Words, "one\ntwo\n") == "one\ntwo\n"
    assert read(Words, "") == ""
    assert refusal(Name, "one\ntwo")
    assert refusal(Name, "")
    assert refusal(Name, "x" * 121)
    assert refusal(Words, "x" * 2001)


def test_half_a_character_is_no_text():
    assert refusal(Name, "\ud800")


@pytest.mark.property
@given(st.sampled_from(sorted(NUMBERS)), st.data())
def test_what_is_saved_is_read_back_the_same(name, data):
    low, high = rule(name).low, rule(name).high
    value = data.draw(st.decimals(low, high, places=data.draw(st.integers(0, 6))))
    adapter: TypeAdapter[Decimal] = TypeAdapter(NUMBERS[name])
    saved = adapter.dump_python(adapter.validate_python(value))
    assert adapter.validate_python(saved) == value
    assert "E" not in str(saved)


@pytest.mark.parametrize(
    ("value", "plain"),
    [("6E+2", "600"), ("563.50", "563.5"), ("0.0", "0"), ("1E-6", "0.000001"), ("-5.0", "-5")],
)
def test_a_plain_number_has_no_exponent_and_no_spare_zeros(value, plain):
    assert str(plain_number(Decimal(value))) == plain
