"""Measured light distributions, from files that a writer of the tests' own has made.

The writer knows only the formats: it is given a law of intensity and samples it.
"""

from itertools import pairwise
from math import acos, atan2, cos, degrees, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from photometric_writers import FINE, LEAN, at, eulumdat, lambert, leaning, lm63, read
from scipy.integrate import dblquad
from scipy.interpolate import RegularGridInterpolator

from pelmet.model.file.photometry.distribution_file import read_distribution


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
