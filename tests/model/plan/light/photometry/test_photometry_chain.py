"""Factors from bare lumens to the worktop, and shares of a strip's light."""

from math import cos, inf, nan, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from pelmet.model.plan.light.photometry.chain import (
    bare_lumens,
    chain_of,
    half_run,
    lambert_share,
    lumen_maintenance,
    lumens_needed,
    maintenance_factor,
)
from pelmet.model.plan.light.photometry.line import aspect, endless_on_top, lit_line


@pytest.mark.cross_check
def test_from_watts_to_maintained_lumens():
    # By hand: 14.4 W/m * 95 lm/W * 0.70 * 0.95, then * 0.80.
    chain = chain_of(bare_lumens(14.4, 95), diffuser=0.70, thermal=0.95, maintenance=0.80)
    assert chain.initial == pytest.approx(909.72, abs=1e-9)
    assert chain.maintained == pytest.approx(727.776, abs=1e-9)
    assert chain._replace(voltage=0.9).maintained == pytest.approx(0.9 * 727.776)
    assert chain_of(1000).maintained == 1000


@pytest.mark.cross_check
def test_maintenance_factors():
    # CIE 97 scheme by hand: 0.90 * 1.00 * 0.95 * 0.95.
    assert maintenance_factor(0.90, 1.00, 0.95, 0.95) == pytest.approx(0.81225, abs=1e-12)
    found = [lumen_maintenance(hours, 0.7, 50_000) for hours in (10e3, 20e3, 35e3, 50e3)]
    assert found == pytest.approx([0.93115, 0.86704, 0.779056, 0.7], abs=1e-6)


@pytest.mark.cross_check
@given(st.floats(0, 2e5), st.floats(0.3, 1), st.floats(1e3, 2e5))
def test_lumen_maintenance_is_the_decay_that_has_its_rate(hours, share, rated):
    # L' = -a L, with a such that L is the share at the rated hours.
    left = lumen_maintenance(hours, share, rated)
    slope = (lumen_maintenance(hours + 1, share, rated) - left) / left
    assert slope == pytest.approx(lumen_maintenance(1, share, rated) - 1, rel=1e-6, abs=1e-12)
    assert lumen_maintenance(0, share, rated) == 1
    assert lumen_maintenance(rated, share, rated) == pytest.approx(share)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("target", "kept", "net", "bare"),
    [
        (500, 0.8, 787.653984, 1125.219977),
        (300, 0.8, 472.59239, 675.131986),
        (500, 0.7, 900.175982, 1285.965688),
    ],
)
def test_lumens_for_a_maintained_average(target, kept, net, bare):
    # 793.495637 lx on average for 1000 lm/m, and 70 % through the diffuser.
    assert lumens_needed(target, 793.495637, 1000, kept) == pytest.approx(net, abs=1e-6)
    assert lumens_needed(target, 793.495637, 1000, kept * 0.70) == pytest.approx(bare, abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("x", "tilt", "share"),
    [
        (0.30, 0, 0.5547),
        (0.28, 0, 0.553913),
        (0.28, -30, 0.471177),
        (0.28, -60, 0.264423),
        (0.16, 0, 0.517064),
        (0.04, 0, 0.434024),
        (0.04, 30, 0.468297),
        (0.04, 60, 0.377089),
    ],
)
def test_share_of_a_long_strip_that_lands_on_the_worktop(x, tilt, share):
    # Crossed strings, and the line's light integrated: 0.60 m deep, 0.45 m below.
    assert lambert_share(x, 0.45, 0.6, tilt) == pytest.approx(share, abs=1e-6)
    line = lit_line(x, 0.45, 0, 1, 1, tilt)
    landed = quad(lambda at: endless_on_top(line, at), 0, 0.6, epsabs=0, limit=200)[0]
    assert lambert_share(x, 0.45, 0.6, tilt) == pytest.approx(landed, rel=1e-7)


@pytest.mark.property
@given(st.floats(0, 1), st.floats(0.05, 1), st.floats(0, 2), st.floats(-180, 180))
def test_a_share_is_a_share_turned_full_circle_too(x, height, depth, tilt):
    share = lambert_share(x, height, depth, tilt)
    assert 0 <= share <= 1
    assert share <= lambert_share(x, height, depth + 1, tilt) + 1e-12
    assert lambert_share(x, height, depth, tilt + 360) == pytest.approx(share, abs=1e-9)
    if abs(tilt) >= 170:
        assert share < 0.2


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("share", "runs"), [(0.90, 1.358715), (0.95, 1.837386), (0.99, 3.372251), (0.0, 0.0)]
)
def test_half_run_for_a_share_of_an_endless_strip(share, runs):
    assert half_run(share) == pytest.approx(runs, abs=1e-6)
    root = brentq(lambda b: (b + sin(b) * cos(b)) / (pi / 2) - share, 0, pi / 2, xtol=1e-14)
    assert half_run(share) == pytest.approx(sin(root) / cos(root), abs=1e-6)
    # The aspect factor of so long a run, against that of an endless one.
    assert aspect(1, 0.4, -runs * 0.4, runs * 0.4) == pytest.approx(share * pi / 2, abs=1e-6)


@pytest.mark.property
@pytest.mark.parametrize("bad", [-0.1, nan, inf])
def test_factors_that_cannot_be_are_refused(bad):
    for name in ("diffuser", "thermal", "voltage", "maintenance"):
        with pytest.raises(ValueError, match=f"{name} of"):
            chain_of(1000, **{name: bad})
    for make in (
        lambda: chain_of(bad),
        lambda: bare_lumens(bad, 95),
        lambda: bare_lumens(14.4, bad),
        lambda: maintenance_factor(0.9, bad, 1, 1),
        lambda: lumen_maintenance(bad, 0.7, 50_000),
    ):
        with pytest.raises(ValueError, match=r"cannot be; give one"):
            make()
    for make in (
        lambda: lumen_maintenance(1, bad, 50_000),
        lambda: lumen_maintenance(1, 0.7, bad),
        lambda: lambert_share(0.3, bad, 0.6),
        lambda: half_run(bad),
    ):
        with pytest.raises(ValueError, match=r"give"):
            make()


@pytest.mark.property
def test_shares_over_one_are_refused_and_a_cold_strip_is_not():
    for name in ("diffuser", "maintenance"):
        with pytest.raises(ValueError, match="from 0 to 1"):
            chain_of(1000, **{name: 1.1})
    assert chain_of(1000, thermal=1.05).initial == pytest.approx(1050)
    with pytest.raises(ValueError, match="no finite strip"):
        half_run(1)
    for found, kept in ((0, 1), (nan, 1), (500, 0)):
        with pytest.raises(ValueError, match="move or turn"):
            lumens_needed(500, found, 1000, kept)
