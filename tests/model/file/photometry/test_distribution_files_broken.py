"""Photometric files that are broken or hostile are refused with the line, or read."""

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st
from photometric_writers import eulumdat, lambert, lm63, read

from pelmet.model.file.photometry import photometric_text
from pelmet.model.file.photometry.distribution_file import load_distribution, read_distribution
from pelmet.model.file.toml.faults import FileError

GOOD_IES = lm63(lambert)
GOOD_LDT = eulumdat(lambert)


def changed(text, line, new):
    """The text with one line replaced, counted from 1; a negative line counts from the end."""
    lines = text.splitlines()
    lines[line - 1 if line > 0 else line] = new
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("", 1, "neither LM-63"),
        ("schema = 1\n[[room]]\nid = 'R1'\n", 3, "neither LM-63"),
        ("TILT=NONE", 1, "number of lamps: the file ends before it"),
        (changed(GOOD_IES, 4, "TILT=bar.tlt"), 4, 'TILT: "bar.tlt": NONE or INCLUDE is wanted'),
        (lm63(lambert, kind=2), 5, "only type C"),
        (lm63(lambert, units=3), 5, 'units: "3": a number from 1 to 2 is wanted'),
        (lm63(lambert, lamps="1 -2"), 5, "lumens of a lamp"),
        (lm63(lambert, lamps="1 -.5"), 5, "0 or more is wanted, or -1"),
        (lm63(lambert, lamps="1.5 -1"), 5, "a whole number from 1 to 1000 is wanted"),
        (GOOD_IES.replace("37 25", "999999999 25"), 5, "number of vertical angles"),
        (GOOD_IES.replace("37 25", "37 1000000"), 5, "number of horizontal angles"),
        (GOOD_IES.replace("37 25", "37 26"), -1, "horizontal angle"),
        (GOOD_IES.replace("37 25", "36 25"), 7, "90 or 180 is wanted for the last"),
        (lm63(lambert, size=(0, 0, 0)), 5, "the file gives no lit length"),
        (lm63(lambert, size=(0, 1e-300, 0)), 5, "1e-300 m: the file gives no lit length"),
        (lm63(lambert, gammas=(0, 30, 30, 90)), 7, "at least 0.01 more than the 30 before"),
        (lm63(lambert, gammas=(-5, 0, 90)), 7, 'angle from straight down: "-5"'),
        (lm63(lambert, gammas=(90, 120, 180)), 7, "0 is wanted for the first"),
        (lm63(lambert, planes=(0, 120, 240)), 8, "they go from 0 to 90, 180 or 360"),
        (GOOD_IES.replace("159.154943092", "nan", 1), 9, 'candela: "nan": a number is wanted'),
        (GOOD_IES.replace("159.154943092", "inf", 1), 9, 'candela: "inf": a number is wanted'),
        (GOOD_IES.replace("159.154943092", "1_0", 1), 9, "a number is wanted"),
        (GOOD_IES.replace("159.154943092", "1e99", 1), 9, "a number from 0 to 1e+09 is wanted"),
        (GOOD_IES.replace("159.154943092", "-1", 1), 9, "a number from 0 to 1e+09 is wanted"),
        (GOOD_IES.replace("159.154943092", "\u0663", 1), 9, "a number is wanted"),
        (GOOD_IES.replace("159.154943092", "\x1b[31m", 1), 9, '"\\x1b[31m"'),
        (GOOD_IES + "7\n", 34, "the file was to end before this"),
        (GOOD_IES.rstrip()[:-13], 33, "candela: the file ends before it"),
        (lm63(lambda c, g: 0), 33, "there is no light square to the line"),
        (lm63(lambda c, g: float(g > 90)), 33, "there is no light square to the line"),
        (changed(GOOD_LDT, 3, "7"), 3, "neither LM-63"),
        (changed(GOOD_LDT, 4, "0"), 4, "number of C-planes"),
        (changed(GOOD_LDT, 4, "many"), 4, 'number of C-planes: "many": a number is wanted'),
        (changed(GOOD_LDT, 6, "36.5"), 6, "a whole number from 2 to 361 is wanted"),
        (changed(GOOD_LDT, 16, "-1000"), 16, "length of the lit area"),
        (changed(GOOD_LDT, 24, ""), 24, "conversion factor"),
        (changed(GOOD_LDT, 26, "0"), 26, "number of sets of lamps"),
        (changed(GOOD_LDT, 43, "5"), 43, "0 is wanted for the first"),
        (changed(changed(GOOD_LDT, 3, "2"), 55, "181"), 66, "they have to have 0 and 180"),
        (changed(changed(GOOD_LDT, 3, "3"), 61, "271"), 66, "they have to have 270 and 90"),
        (changed(changed(GOOD_LDT, 3, "4"), 49, "89"), 66, "they have to have 0 and 90"),
        (changed(GOOD_LDT, 67, "1"), 67, "0 is wanted for the first"),
        (changed(GOOD_LDT, -1, ""), 990, "intensity: the file ends before it"),
        (GOOD_LDT + "3", 992, "the file was to end before this"),
    ],
)
def test_a_broken_file_is_refused_with_the_line_and_what_was_expected(text, line, words):
    with pytest.raises(FileError) as caught:
        read_distribution(text.encode(), "bar.x")
    [fault] = caught.value.faults
    assert words in str(caught.value)
    if line > 0:
        assert fault.line == line
        assert str(caught.value).startswith(f"bar.x:{line}: ")
    assert "\x1b" not in str(caught.value)


def test_a_name_in_the_file_cannot_command_a_terminal():
    found = read(GOOD_IES.replace("invented bar", "red \x1b[31m" + "x" * 500))
    assert found.title == "red \\x1b[31m" + "x" * 51 + "..."


def test_old_letters_in_names_do_no_harm():
    text = GOOD_LDT.replace("invented bar", "gr\xfcn")
    assert read_distribution(text.encode("latin-1"), "bar").title == "gr\xfcn"
    assert read_distribution(text.encode(), "bar").title == "gr\xfcn"
    with pytest.raises(FileError, match="UTF-16"):
        read_distribution(text.encode("utf-16"), "bar")


@pytest.mark.parametrize("length", [0.0, 1e-300, -1.0, float("nan"), float("inf")])
def test_a_length_that_cannot_be_is_refused(length):
    with pytest.raises(ValueError, match=r"a length of 0\.001 m or more is wanted"):
        read(GOOD_IES, length=length)


def test_it_is_read_from_disk_and_too_big_a_file_is_not(tmp_path):
    path = tmp_path / "bar.ies"
    path.write_text(GOOD_IES)
    assert load_distribution(path, length=2.0).length == 2.0
    path.write_bytes(b"TILT=NONE\n" * 600_000)
    with pytest.raises(FileError, match="too big"):
        load_distribution(path)
    with pytest.raises(FileError, match="no such file"):
        load_distribution(tmp_path / "none.ies")


def reads_or_refuses(data):
    try:
        found = read_distribution(data, "bar")
    except FileError as error:
        [fault] = error.faults
        assert fault.line is not None
        assert 1 <= fault.line <= data.count(b"\n") + data.count(b"\r") + 1
    else:
        assert 0 <= found.behind <= 1
        assert 0 <= found.misplaced <= 1 + 1e-9
        assert found.flux_error >= -1
        assert all(0 <= candela < float("inf") for candela in found.candela_per_metre)


@pytest.mark.property
@given(st.one_of(st.binary(max_size=200), st.text(max_size=200).map(str.encode)))
def test_any_bytes_are_read_or_refused_with_a_line(data):
    reads_or_refuses(data)
    reads_or_refuses(b"TILT=NONE\n" + data)


SMALL_IES = lm63(lambert, (0, 90), (0, 45, 90)).encode()
SMALL_LDT = eulumdat(lambert, 4, (0, 90, 180, 270), (0, 45, 90)).encode()
NUMBERS = st.one_of(
    st.integers(-3, 400).map(str),
    st.floats().map(str),
    st.sampled_from(
        ["", "1e-300", "5e-324", "1e9", "-0", "1e999", "x", "\x1a", "\x00", "9" * 5000]
    ),
)


@pytest.mark.property
@given(st.sampled_from([SMALL_IES, SMALL_LDT]), st.data())
def test_a_good_file_gone_bad_is_read_or_refused_with_a_line(good, data):
    words = good.split(b" " if good is SMALL_IES else b"\r\n")
    gap = b" " if good is SMALL_IES else b"\r\n"
    for _ in range(data.draw(st.integers(1, 3))):
        place = data.draw(st.integers(0, len(words) - 1))
        words[place] = data.draw(NUMBERS).encode()
    reads_or_refuses(gap.join(words)[: data.draw(st.sampled_from([None, 40, 300]))])


def test_what_the_notes_show_at_a_prompt_is_so():
    failed, tried = doctest.testmod(photometric_text)
    assert tried
    assert not failed
