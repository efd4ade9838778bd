"""Measured light distributions, from files that a writer of the tests' own has made.

The writer knows only the formats: it is given a law of intensity and samples it.
"""

import doctest
from itertools import pairwise
from math import acos, asin, atan2, cos, degrees, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import dblquad
from scipy.interpolate import RegularGridInterpolator

from pelmet.model.file import photometric_text
from pelmet.model.file.distribution_file import load_distribution, read_distribution
from pelmet.model.file.faults import FileError

ALL_ROUND = tuple(range(0, 361, 15))
GAMMAS = tuple(range(0, 181, 5))
FINE = tuple(range(181))
LEAN = 1000 / pi


def lambert(plane, gamma):
    """A flat Lambertian face of 1000 lm: F = pi I."""
    return max(1000 / pi * cos(radians(gamma)), 0.0)


def leaning(along):
    """A line that lies in the planes `along` and +180, brighter to its plus side."""

    def law(plane, gamma):
        turned = radians(plane - along - 90)
        out, down = sin(radians(gamma)) * cos(turned), cos(radians(gamma))
        if down <= 1e-12:
            return 0.0
        psi = atan2(out, down)
        beta = asin(sin(radians(gamma)) * sin(turned))
        return LEAN * cos(psi) * (1 + 0.6 * sin(psi)) * cos(beta)

    return law


def lm63(
    law,
    planes=ALL_ROUND,
    gammas=GAMMAS,
    *,
    head=("IES:LM-63-2019", "[TEST] none", "[LUMINAIRE] invented bar", "TILT=NONE"),
    lamps="1 -1",
    multiplier=1.0,
    kind=1,
    units=2,
    size=(0.016, 1.0, 0.0),
    factors=(1.0, 1.0, 10.0),
    scale=1.0,
):
    """Write an LM-63 file; candela stand divided by `scale`."""
    return "\n".join(
        [
            *head,
            f"{lamps} {multiplier} {len(gammas)} {len(planes)} {kind} {units} "
            + " ".join(map(str, size)),
            " ".join(map(str, factors)),
            " ".join(map(str, gammas)),
            " ".join(map(str, planes)),
            *(" ".join(f"{law(plane, gamma) / scale:.9f}" for gamma in gammas) for plane in planes),
            "",
        ]
    )


def eulumdat(
    law,
    symmetry=0,
    planes=ALL_ROUND[:-1],
    gammas=GAMMAS,
    *,
    size=(1000, 16),
    lamps=-1,
    lumens=1000.0,
    output=100,
    conversion=1.0,
    tilt=0,
    sets=1,
):
    """Write an EULUMDAT file; intensities stand for 1000 lm of the lamps."""
    keep = {
        0: planes,
        1: planes[:1],
        2: [plane for plane in planes if plane <= 180],
        3: [*(p for p in planes if p >= 270), *(p for p in planes if p <= 90)],
        4: [plane for plane in planes if plane <= 90],
    }[symmetry]
    one_set = [lamps, "LED", lumens, "3000 K", "90", 10.0]
    fields = [
        "invented",
        2,
        symmetry,
        len(planes),
        15,
        len(gammas),
        5,
        "report",
        "invented bar",
        "number",
        "bar.ldt",
        "today",
        1020,
        20,
        10,
        *size,
        *(0, 0, 0, 0),
        100,
        output,
        conversion,
        tilt,
        sets,
        *(one_set * sets),
        *([0.5] * 10),
        *planes,
        *gammas,
        *(
            f"{law(plane, gamma) * 1000 / lumens / conversion:.9f}"
            for plane in keep
            for gamma in gammas
        ),
    ]
    return "\r\n".join(map(str, fields)) + "\r\n"


def read(text, **terms):
    return read_distribution(text.encode("latin-1"), "bar", **terms)


def at(distribution, psi):
    return np.interp(psi, distribution.psi_degrees, distribution.candela_per_metre)


@pytest.mark.cross_check
@pytest.mark.parametrize("text", [lm63(lambert), eulumdat(lambert)], ids=["LM-63", "EULUMDAT"])
def test_a_lambert_file_of_1000_lumens_reads_as_lamberts_law_gives_it(text):
    found = read(text)
    candela = [at(found, psi) for psi in (0, 45, 60, -60, 90)]
    expected = [318.309886, 225.079079, 159.154943, 159.154943, 0]
    assert candela == pytest.approx(expected, abs=1e-6)
    # Chords of a cosine fall short by a twelfth of the square of the step.
    assert found.lumens == pytest.approx(1000 * (1 - radians(5) ** 2 / 12), rel=2e-5)
    assert found.length == 1.0
    assert found.behind == 0.0
    assert found.misplaced < 5e-3
    assert found.title == "invented bar"
    assert found.doubts == ()


@pytest.mark.cross_check
def test_flux_is_that_of_scipys_quadrature_of_the_law():
    law = leaning(along=0)
    wanted, _ = dblquad(
        lambda gamma, plane: law(degrees(plane), degrees(gamma)) * sin(gamma), 0, 2 * pi, 0, pi / 2
    )
    found = read(lm63(law, tuple(range(0, 361, 5)), FINE))
    assert found.lumens == pytest.approx(wanted, rel=5e-4)
    assert found.lumens_per_metre == pytest.approx(wanted, rel=5e-4)


@pytest.mark.cross_check
@given(
    st.lists(st.floats(0, 1e3), min_size=12, max_size=12).filter(lambda row: sum(row[:3]) > 1),
    st.sampled_from([20, 57.5, 89]),
)
def test_flux_is_that_of_scipys_lines_between_the_nodes(values, middle):
    gammas, planes = (0.0, middle, 90.0, 180.0), (0.0, 90.0, 180.0, 360.0)
    grid = np.array([*np.reshape(values, (3, 4)), values[:4]])
    look = RegularGridInterpolator((planes, gammas), grid)
    # Gauss-Legendre between the nodes, where all is smooth.
    places, weights = np.polynomial.legendre.leggauss(12)
    wanted = 0.0
    for low_plane, high_plane in pairwise(planes):
        for low, high in pairwise(gammas):
            plane = (low_plane + high_plane) / 2 + (high_plane - low_plane) / 2 * places
            gamma = (low + high) / 2 + (high - low) / 2 * places
            mesh = np.meshgrid(plane, gamma, indexing="ij")
            part = look(np.stack(mesh, -1)) * np.sin(np.radians(gamma))
            area = radians(high_plane - low_plane) * radians(high - low) / 4
            wanted += area * (weights @ part @ weights)

    def stored(plane, gamma):
        return grid[planes.index(plane), gammas.index(gamma)]

    found = read(lm63(stored, planes, gammas))
    assert found.lumens == pytest.approx(wanted, rel=1e-6)


@pytest.mark.cross_check
def test_the_same_light_comes_out_of_both_formats_though_their_lines_lie_square():
    one = read(lm63(leaning(along=0), size=(0.016, 1.0, 0.0)))
    other = read(eulumdat(leaning(along=270), size=(1000, 16)))
    assert (one.across, other.across) == (90, 0)
    assert one.doubts == other.doubts == ()
    assert one.candela_per_metre == pytest.approx(other.candela_per_metre, abs=1e-6)
    for psi in (-80, -30, 0, 30, 80):
        law = LEAN * cos(radians(psi)) * (1 + 0.6 * sin(radians(psi)))
        assert at(one, psi) == pytest.approx(law, abs=1e-6)
    assert abs(one.flux_error) < 2e-3
    assert one.misplaced < 3e-3


def test_a_turned_file_is_doubted_and_read_right_once_that_is_said():
    right = read(lm63(leaning(along=0)))
    turned = lm63(leaning(along=270), size=(1.0, 0.016, 0.0))
    doubted = read(turned)
    assert "turned by 90 degrees" in doubted.doubts[0]
    assert doubted.misplaced > 20 * right.misplaced
    told = read(turned, across=0)
    assert told.doubts == ()
    assert told.candela_per_metre == pytest.approx(right.candela_per_metre, abs=1e-6)
    assert told.length == right.length == 1.0


def test_the_other_side_as_plus_is_the_mirror_image():
    one = read(lm63(leaning(along=0)))
    other = read(lm63(leaning(along=0)), across=270)
    assert other.candela_per_metre == pytest.approx(one.candela_per_metre[::-1])
    assert at(one, 40) > 2 * at(one, -40)


def quadrant(plane, gamma):
    return lambert(plane, gamma) * (2 + cos(2 * radians(plane)))


def about_c0(plane, gamma):
    return lambert(plane, gamma) * (2 + cos(radians(plane)))


def about_c90(plane, gamma):
    return lambert(plane, gamma) * (2 + sin(radians(plane)))


@pytest.mark.property
@pytest.mark.parametrize(
    ("law", "short"),
    [
        (lambert, lm63(lambert, (0,))),
        (lambert, eulumdat(lambert, 1)),
        (lambert, eulumdat(lambert, 1, (0,))),
        (quadrant, lm63(quadrant, range(0, 91, 15))),
        (quadrant, eulumdat(quadrant, 4)),
        (about_c0, lm63(about_c0, range(0, 181, 15))),
        (about_c0, eulumdat(about_c0, 2)),
        (about_c90, lm63(about_c90, range(90, 271, 15))),
        (about_c90, eulumdat(about_c90, 3)),
    ],
)
@pytest.mark.parametrize("across", [0, 90, 180, 270])
def test_a_symmetric_file_reads_like_the_whole_one(law, short, across):
    whole, read_short = read(lm63(law), across=across), read(short, across=across)
    assert read_short.lumens == pytest.approx(whole.lumens, rel=1e-9)
    assert read_short.candela_per_metre == pytest.approx(whole.candela_per_metre, abs=1e-6)
    assert read_short.misplaced == pytest.approx(whole.misplaced, rel=1e-6)


@pytest.mark.property
def test_a_symmetric_file_without_plane_180_is_filled_in():
    found = read(lm63(about_c90, (90, 150, 210, 270)))
    assert found.lumens == pytest.approx(read(lm63(about_c90)).lumens, rel=0.02)


@pytest.mark.property
def test_angles_that_step_over_the_horizon_lose_no_light():
    uneven = (0, 30, 60, 85, 100, 140, 180)

    def law(plane, gamma):
        return 100.0

    found = read(lm63(law, gammas=uneven))
    assert found.lumens == pytest.approx(400 * pi)
    assert found.behind == pytest.approx(0.5)
    assert found.psi_degrees[0] == -90
    assert found.psi_degrees[-1] == 90


@pytest.mark.cross_check
@pytest.mark.parametrize("power", [1, 3, 8])
def test_the_error_of_taking_a_round_beam_for_a_line_is_the_integral_of_the_difference(power):
    def law(plane, gamma):
        return 100 * max(cos(radians(gamma)), 0.0) ** power

    def separable(gamma, plane):
        out, down = sin(gamma) * cos(plane), cos(gamma)
        beta = acos(min(np.hypot(out, down), 1.0))
        return 100 * cos(atan2(out, down)) ** power * cos(beta)

    flux = 2 * pi * 100 / (power + 1)
    made, _ = dblquad(lambda g, c: separable(g, c) * sin(g), 0, pi * 2, 0, pi / 2)
    astray, _ = dblquad(
        lambda g, c: (
            abs(separable(g, c) * flux / made - law(0, degrees(g))) * sin(g) * 4 / 2 / flux
        ),
        *(0, pi / 2, 0, pi / 2),
        epsabs=1e-5,
    )
    found = read(lm63(law, (0,), FINE))
    assert found.lumens == pytest.approx(flux, rel=1e-3)
    assert found.flux_error == pytest.approx(made / flux - 1, abs=1e-3)
    assert found.misplaced == pytest.approx(astray, abs=3e-3)


@pytest.mark.parametrize(
    "text",
    [
        lm63(lambert, head=("IESNA:LM-63-2002", "TILT=NONE")),
        lm63(lambert, head=("IESNA:LM-63-1995", "TILT=NONE"), factors=(1, 7, 10)),
        lm63(lambert, head=("IESNA91", "[TEST] 1", "TILT=NONE")),
        lm63(lambert, head=("a label", "another", "TILT=NONE")),
        lm63(lambert, head=("TILT=INCLUDE", "1", "3", "0 45 90", "1 .9 .8")),
        lm63(lambert, head=("IESNA91", "TILT=NONE"), factors=(0.5, 2.0, 10)),
        lm63(lambert, factors=(0.5, 2.0, 10), scale=0.5),
        lm63(lambert, multiplier=4.0, scale=4.0),
        lm63(lambert, units=1, size=(0.1, 1 / 0.3048, 0)),
        lm63(lambert, size=(-0.016, 1.0, -0.016)),
        lm63(lambert, lamps="2 600"),
        lm63(lambert).replace(" ", ","),
        lm63(lambert).replace(" ", "\r\n"),
        lm63(lambert).replace("\n", "\r\n") + "\x1a",
        "\ufeff" + lm63(lambert),
        eulumdat(lambert, lumens=250.0, lamps=1),
        eulumdat(lambert, lumens=2000.0, lamps=3, output=50),
        eulumdat(lambert, conversion=1.25),
        eulumdat(lambert, sets=3),
        eulumdat(lambert, output=""),
        eulumdat(lambert).replace(".", ","),
        eulumdat(lambert).replace("\r\n", "\r"),
    ],
)
def test_however_it_is_written_it_is_the_same_light(text):
    found = read_distribution(text.encode(), "bar")
    assert [at(found, psi) for psi in (0, 60)] == pytest.approx([318.309886, 159.154943], abs=1e-5)
    assert found.length == pytest.approx(1.0)


def test_candela_are_shared_by_the_length_that_was_measured():
    half = read(lm63(lambert, size=(0.016, 0.5, 0)))
    assert at(half, 0) == pytest.approx(2 * 318.309886)
    assert half.lumens_per_metre == pytest.approx(2 * half.lumens)
    told = read(eulumdat(lambert, size=(0, 0)), length=0.25)
    assert at(told, 0) == pytest.approx(4 * 318.309886)


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        (lm63(lambert, size=(-0.5, -0.5, 0)), "its lit area is round"),
        (eulumdat(lambert, size=(500, 0)), "its lit area is round"),
        (eulumdat(lambert, tilt=30), "it was tilted by 30 degrees while it was measured"),
        (lm63(lambert, lamps="1 800"), "its intensities come to 999.4 lm, where it says at most"),
        (eulumdat(lambert, output=60, lamps=1), "999.4 lm, where it says 600"),
        (lm63(lambda c, g: 1 + g), "most of its light goes up"),
        (eulumdat(lambert, size=(16, 1000)), "its lit area is 1 m across the line"),
    ],
)
def test_what_looks_odd_is_said(text, doubt):
    doubts = read(text).doubts
    assert len(doubts) == 1
    assert doubt in doubts[0]


def test_absolute_lumens_are_the_luminaires_own():
    assert read(eulumdat(lambert, output=60, lamps=-1)).doubts == ()
    assert read(eulumdat(lambert, output=100, lamps=1)).doubts == ()


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
