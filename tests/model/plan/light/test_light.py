"""Light on the worktop: whole plans against the raw integral of Lambert's cosine law."""

from math import cos, pi, radians, sin

import numpy as np
import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, part, planned, row
from scipy.integrate import quad

from pelmet.model.plan.light.lamps import lamps_by_wall
from pelmet.model.plan.light.photometry.bounce import splashback_at
from pelmet.model.plan.light.photometry.illuminance import lux_at
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

# One bar, 883 opening from 500 to 1383; 850 lit from 526 to 1376; the channel's light side is
# 1400 - 8 - 910 = 482 above the worktop and, at the front, 320 - 40 - 8.5 = 271.5 from the wall.
LIT = (0.526, 1.376)
ABOVE, OUT = 0.482, 0.2715
DULL = {"splashback_percent": 0}  # nothing comes back from the wall
BARE = {"K": DULL, "A1": {"lip": 0}, "allowances": {"thermal_percent": 100,
        "maintenance_percent": 100}}  # fmt: skip
USEFUL = 1000 * 0.70


def lambert(
    along: float,
    out: float,
    lit: tuple[float, float],
    lumens: float,
    degrees: float = 90,
    side: int = 0,
    x: float = OUT,
) -> float:
    """Integrate dE = (F'/pi) cos(off the face) cos(off the vertical) / d2 along the strip."""
    throw = radians(degrees)
    face = np.array([side * cos(throw), 0, -sin(throw)])

    def each(y: float) -> float:
        ray = np.array([out - x, along - y, -ABOVE])
        square = float(ray @ ray)
        leaving = float(face @ ray) / square**0.5
        arriving = ABOVE / square**0.5
        return max(leaving, 0) * arriving / square

    return float(lumens / pi * quad(each, *lit, epsabs=1e-9)[0])


def light(**how) -> RunLight:
    (only,) = planned(**how).lights
    return only


def bare(**run) -> RunLight:
    """The one bar without lip, bounce or ageing."""
    return light(R1=run, **BARE)


def lumens(found: RunLight) -> float:
    """What a metre of the first bar gives, by the figures of a run's light."""
    return next(float(one.value) for one in found.least.inputs if one.name == "lumens")


def volts_share(**how) -> float:
    """Mean light of the one bar at its volts, of that at rated volts."""
    return float(planned(**how).fadings.bars[0].mean.value) / 100


# --- The chain of factors -------------------------------------------------------------------------


def test_lumens_are_the_strips_less_diffuser_heat_ageing_and_volts():
    chain = 1000 * 0.70 * 0.95 * 0.80 * volts_share()
    assert lumens(light()) == pytest.approx(chain)
    assert lumens(light(R1={"diffuser": "clear-17"})) == pytest.approx(chain / 0.70 * 0.92)
    aged = light(allowances={"maintenance_percent": 40})
    assert float(aged.average.value) == pytest.approx(float(light().average.value) / 2)


def test_far_from_its_supply_a_bar_gives_the_light_of_its_volts():
    far = {"L1": {"length": 50_000}}
    lost = volts_share(**far) / volts_share()
    assert 0.5 < lost < 0.98
    assert float(light(**far).average.value) == pytest.approx(
        lost * float(light().average.value), rel=1e-9
    )


def test_while_a_leg_is_not_worked_out_its_bars_count_at_rated_volts():
    unfed = light(R1={"leg": None})
    assert lumens(unfed) == pytest.approx(1000 * 0.70 * 0.95 * 0.80)


# --- The sum of the bars, cell by cell ------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("facing", "degrees", "side"),
    [
        ("down", 90, 0), ("60 to wall", 60, -1), ("45 to wall", 45, -1), ("30 to wall", 30, -1),
        ("60 to room", 60, 1), ("45 to room", 45, 1), ("30 to room", 30, 1),
    ],
)  # fmt: skip
def test_every_cell_has_the_light_lamberts_law_gives_it(facing, degrees, side):
    found = bare(facing=facing)
    useful = lumens(found)
    assert useful == pytest.approx(USEFUL * volts_share(R1={"facing": facing}, **BARE))
    for (x, y), lux in zip(found.cells.points, found.lux, strict=True):
        assert lux == pytest.approx(lambert(y, x, LIT, useful, degrees, side), rel=1e-6, abs=1e-9)
    assert float(found.least.value) == min(found.lux)
    assert float(found.most.value) == max(found.lux)
    assert float(found.average.value) == pytest.approx(sum(found.lux) / len(found.lux))
    assert float(found.evenness.value) == pytest.approx(
        min(found.lux) / (sum(found.lux) / len(found.lux)), abs=1e-12
    )


@pytest.mark.published
def test_the_cells_are_those_of_the_standard():
    """EN 12464-1:2011, 4.4: p = 0.2 x 5^(log10 d), d the longer side, below a ratio of 2."""
    found = light()
    width, depth = 0.883, 0.6
    p = 0.2 * 5 ** np.log10(width)
    xs, ys = found.cells.xs, found.cells.ys
    assert width / len(ys) <= p
    assert depth / len(xs) <= p
    assert width / (len(ys) - 2) > p  # odd numbers of cells, no more than have to be
    assert xs == pytest.approx([depth * (at + 0.5) / len(xs) for at in range(len(xs))])
    assert ys == pytest.approx([0.5 + width * (at + 0.5) / len(ys) for at in range(len(ys))])


@pytest.mark.cross_check
@pytest.mark.parametrize(("line", "x"), [("middle", 0.160), ("back", 0.030 + 0.0085)])
def test_the_line_under_the_cabinet_moves_the_light(line, x):
    found = bare(line=line)
    for (out, along), lux in zip(found.cells.points, found.lux, strict=True):
        assert lux == pytest.approx(lambert(along, out, LIT, lumens(found), x=x), rel=1e-6)


@pytest.mark.cross_check
def test_all_runs_at_a_wall_add_up():
    extra = {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1", "strip": "white-24-14"}]}
    how = {**BARE, "A1": {"lip": 0}, "A2": {"lip": 0}}
    plan = plan_job(row(600, 800, R1={"cabinets": ["A1"]}, add=extra, **how))
    lit = [(float(b.lit_left) / 1000, float(b.lit_right) / 1000) for b in plan.bars]
    gives = [
        bare * 0.7 * float(each.mean.value) / 100
        for bare, each in zip((1000, 1450), plan.fadings.bars, strict=True)
    ]
    for found in plan.lights:
        for (out, along), lux in zip(found.cells.points, found.lux, strict=True):
            law = sum(lambert(along, out, one, of) for one, of in zip(lit, gives, strict=True))
            assert lux == pytest.approx(law, rel=1e-6)


# --- Bounce and shade -----------------------------------------------------------------------------


@pytest.mark.property
def test_a_lighter_splashback_gives_more_and_most_at_the_back():
    dull, grey, white = (light(K={"splashback_percent": share}) for share in (0, 40, 80))
    assert all(lux == 0 for lux in dull.bounced)
    for less, more in ((dull, grey), (grey, white)):
        assert all(one < other for one, other in zip(less.lux, more.lux, strict=True))
    along = len(white.cells.ys)
    back, front = sum(white.bounced[:along]), sum(white.bounced[-along:])
    assert back > 2 * front
    direct = [one - more for one, more in zip(white.lux, white.bounced, strict=True)]
    assert direct == pytest.approx(list(dull.lux))


@pytest.mark.cross_check
@pytest.mark.parametrize("line", ["front", "middle", "back"])
@pytest.mark.parametrize("facing", ["down", "60 to wall", "30 to room"])
@pytest.mark.parametrize("shares", [(50, 30), (80, 80), (40, 0)])
def test_bounced_light_is_near_that_of_fine_patches(line, facing, shares):
    """The plan takes large patches, and every third column; the door for other programs fine ones.

    What is bounced is within a quarter of itself or 1 lx, and all of it within 7 %, cell by cell.
    """
    back, top = shares
    room = {"splashback_percent": back, "worktop_percent": top}
    plan = planned(R1={"line": line, "facing": facing}, K=room)
    (found,) = plan.lights
    ((lamp,),) = lamps_by_wall(plan.job, plan.parts, plan.fits, plan.mounts, plan.fadings).values()
    line, lip = lamp.above(0.91)
    how = {"lip": lip, "reflectance_wall": back / 100, "reflectance_top": top / 100,
           "wall": splashback_at(0, 3, line.height), "top_depth": 0.6}  # fmt: skip
    straight, fine = (
        lux_at(found.cells.points, [line], "top", bounce=bounce, **how) for bounce in (False, True)
    )
    for lux, bounced, direct, exact in zip(found.lux, found.bounced, straight, fine, strict=True):
        assert lux - bounced == pytest.approx(direct, rel=1e-9, abs=1e-9)
        assert bounced == pytest.approx(exact - direct, rel=0.25, abs=1)
        assert lux == pytest.approx(exact, rel=0.07, abs=1)


@pytest.mark.cross_check
def test_what_lands_is_less_than_what_leaves():
    found = light(K={"splashback_percent": 100, "worktop_percent": 0, "worktop_depth": 2000})
    cell = (found.cells.xs[1] - found.cells.xs[0]) * (found.cells.ys[1] - found.cells.ys[0])
    assert sum(found.lux) * cell < lumens(found) * 0.85


def test_a_rail_in_front_shades_the_front_of_the_worktop():
    open_, railed = (bare(), light(R1={}, **{**BARE, "A1": {"lip": 60}}))
    assert all(one >= other for one, other in zip(open_.lux, railed.lux, strict=True))
    # The lowest of the rail is 430 above the worktop, 320 out; the strip 482 high, 271.5 out:
    # no light comes further out than 271.5 + 48.5 x 482 / 52 = 721: nothing of a top of 600.
    assert railed.lux == open_.lux
    deep = {**BARE, "K": {**DULL, "worktop_depth": 900}, "A1": {"lip": 60}}
    for (out, _), lux in zip(light(**deep).cells.points, light(**deep).lux, strict=True):
        assert (lux > 0) == (out < 0.721)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("first", "second"),
    [({"lip": 0}, {"lip": 60}), ({"lip": 60}, {"lip": 10}), ({"lip": 60}, {"lip": 60}),
     ({"lip": 20}, {"lip": 0, "door_overhang": 60}), ({"lip": 60, "door_overhang": 5}, {"lip": 0})],
)  # fmt: skip
def test_of_the_cabinets_over_a_bar_the_lowest_edge_shades_it(first, second):
    # 60 down before a strip 482 high: dark from 271.5 + 48.5 x 482 / 52 = 721 on, all along.
    how = {"A1": first, "A2": second, "K": {**DULL, "worktop_depth": 900}}
    (found,) = plan_job(row(600, 600, underside="flush", **how)).lights
    assert {lux > 0 for lux in found.lux} == {True, False}
    for (out, _), lux in zip(found.cells.points, found.lux, strict=True):
        assert (lux > 0) == (out < 0.721)


# --- Where the least-lit spot is ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("run", "why"),
    [
        ({"feed_end": "left", "dark_rest": "feed end"}, "front, at its left end"),
        ({"feed_end": "right", "dark_rest": "feed end"}, "front, at its right end"),
        ({"feed_end": "left", "dark_rest": "far end", "strip": "even-24-10"},
         "front, at its right end"),
        ({"facing": "30 to room", "channel": "corner-18"}, "back, at its left end"),
    ],
)  # fmt: skip
def test_the_least_lit_spot_is_named_by_its_place(run, why):
    assert light(R1=run).why == why


def test_a_dark_bay_between_two_lit_ones_is_the_least_lit():
    # A 1200 bay out of the run, as below a hood: dark in its middle, not at the ends.
    job = row(900, 1200, 900, R1={"cabinets": ["A1", "A3"]})
    (found,) = plan_job(job).lights
    assert found.at == pytest.approx(500 + 900 + 600, abs=120)
    assert found.why.endswith("along it")


def test_the_least_lit_spot_of_the_job_is_the_least_of_its_runs():
    extra = {"runs": [{"id": "R2", "cabinets": ["A3"], "leg": "L1", "diffuser": "clear-17"}]}
    job = row(600, 3000, 600, R1={"cabinets": ["A1"]}, add=extra)
    plan = plan_job(job)
    assert plan.least_lit.run == "R1"
    assert plan.least_lit.least.value == min(one.least.value for one in plan.lights)


# --- What moves the light -------------------------------------------------------------------------


def lux(**how) -> float:
    return float(light(**how).least.value)


def test_twice_the_lumens_are_twice_the_lux():
    strips = [part("strips", name, lumens_per_metre=lumens) for name, lumens in
              (("one", 640), ("two", 1280))]  # fmt: skip
    once, twice = (lux(R1={"strip": name}, parts={"strips": strips}) for name in ("one", "two"))
    assert twice == pytest.approx(2 * once)


def test_half_the_transmission_is_half_the_lux():
    covers = [part("diffusers", f"d{share}", transmission_percent=share) for share in (40, 80)]
    how = {"parts": {"diffusers": covers}}
    assert lux(R1={"diffuser": "d80"}, **how) == pytest.approx(
        2 * lux(R1={"diffuser": "d40"}, **how)
    )


@pytest.mark.property
@examples(50)
@given(st.integers(1200, 2000))
def test_a_worktop_and_a_cabinet_that_rise_together_change_nothing(bottom):
    how = {"A1": {"bottom_height": bottom}, "K": {"worktop_height": bottom - 490}}
    assert lux(**how) == pytest.approx(lux())


@pytest.mark.property
@QUICK
@given(any_job())
def test_of_any_job_light_is_a_number_and_no_less_than_none(job):
    for found in plan_job(job).lights:
        assert all(0 <= bounced <= lux < 1e7 for bounced, lux in
                   zip(found.bounced, found.lux, strict=True))  # fmt: skip
        assert 0 <= float(found.evenness.value) <= 1 + 1e-9


@pytest.mark.property
@QUICK
@given(any_job())
def test_of_any_job_no_plane_gets_more_straight_light_than_bars_send(job):
    plan = plan_job(job)
    sent = {
        one.about: float(one.value) for each in plan.lights for one in each.least.inputs
        if one.name == "lumens"
    }  # fmt: skip
    lit = {bar.id: float(bar.lit.value) / 1000 for bar in plan.bars}
    whole = sum(lumens * lit[bar] for bar, lumens in sent.items())
    for found in plan.lights:
        area = (found.plane.right - found.plane.left) * found.plane.depth / 1e6 / len(found.lux)
        straight = sum(found.lux) - sum(found.bounced)
        # Points of a grid stand for their cells, whose lux goes up and down.
        assert straight * area <= whole * 1.2 + 1e-6


# --- No light to reckon ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "how",
    [
        {"R1": {"strip": "no"}},
        {"R1": {"diffuser": "no"}},
        {"R1": {"channel": "no"}},
        {"A1": {"bottom_height": 918}},
        {"A1": {"bottom_height": 600}},
        {"A1": {"opening": [20]}},
        {"drop": ["R1"]},
        {"R1": {"diffuser": "shut"},
         "parts": {"diffusers": [part("diffusers", "shut", transmission_percent=0)]}},
    ],
    ids=["no strip", "no diffuser", "no channel", "level with the worktop", "under it", "no bar",
         "no run", "nothing comes through"],
)  # fmt: skip
def test_nothing_is_made_up_where_no_light_falls(how):
    plan: Plan = planned(**how)
    assert plan.lights == ()
    assert plan.least_lit is None
