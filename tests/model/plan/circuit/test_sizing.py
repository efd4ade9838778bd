"""Cable sizing: the choice against trying every cable."""

from decimal import Decimal
from typing import Any

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, one_bar, part, row

from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job, Site
from pelmet.model.job.parts import Cable
from pelmet.model.measure.awg import awg_area_mm2
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.circuit.protection import STANDARD_FUSES, Takes
from pelmet.model.plan.circuit.sizing import (
    TESTS,
    CableChoice,
    CableNeeds,
    by_gauge,
    cable_needs,
    choose_cable,
    thinnest_cable,
)
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

D = Decimal


def metric(item_id: str, mm2: float, amps: float = 20) -> Cable:
    return Cable(id=item_id, name="Invented", mm2=mm2, conductor_class=5, amps=amps)


def gauge(item_id: str, awg: int, amps: float = 20) -> Cable:
    return Cable(id=item_id, name="Invented", awg=awg, amps=amps)


# Invented amps, each less than any table of cords gives its size, so that they count everywhere.
THIN, MIDDLE, THICK = metric("thin", 0.5, 2), metric("middle", 1.0, 5), metric("thick", 2.5, 9)
G18, G16 = gauge("g18", 18, 4), gauge("g16", 16, 6)
EASY = CableNeeds(1.0, 1.0, 3.0, Takes(), 1.5, None, 75, "eu")


def drops(**percent: float | None) -> Any:
    """Give the drop of each cable by its id; of any other, 1 %."""
    return lambda cable: percent.get(cable.id, 1.0)


# --- The choice -----------------------------------------------------------------------------------


def test_the_thinnest_that_passes_all_is_chosen_and_nothing_decided():
    found = choose_cable(EASY, [THICK, THIN, MIDDLE], drops(), gauge_first=False)
    assert (found.chosen, found.decided_by) == ("thin", ())
    assert [one.cable for one in found.trials] == ["thin", "middle", "thick"]
    assert all(one.fails == () for one in found.trials)


@pytest.mark.parametrize(
    ("asked", "drop", "chosen", "decided"),
    [
        (EASY, drops(thin=3.1), "middle", ("drop",)),
        (EASY, drops(thin=3.0), "thin", ()),
        (EASY, drops(thin=None), "middle", ("drop",)),
        (EASY, drops(thin=9.0, middle=4.0), "thick", ("drop",)),
        (EASY._replace(heaviest=2.1, source=None, fuse=2.0), drops(), "middle", ("ampacity",)),
        (EASY._replace(heaviest=2.0), drops(), "thin", ()),
        (EASY._replace(takes=Takes(0.75)), drops(), "middle", ("terminals",)),
        (EASY._replace(takes=Takes(0.5, 2.5)), drops(), "thin", ()),
        # A source of 4 A overloads 2 A of cable: it would ask for a fuse, the next one for none.
        (EASY._replace(source=4.0), drops(), "middle", ("protection",)),
        # No cable does without a fuse; one that carries 1 A is of 1.6 A, and fits the thinnest.
        (EASY._replace(source=None), drops(), "thin", ()),
        # One that carries 1.6 A would be 2.5 A, more than the thin cable carries.
        (EASY._replace(source=4.0, amps=1.6), drops(), "middle", ("protection",)),
        (EASY._replace(source=2.0, amps=1.6), drops(), "thin", ()),
        (EASY._replace(source=None, fuse=2.5), drops(), "middle", ("protection",)),
        (EASY._replace(source=None, fuse=2.0), drops(), "thin", ()),
        # The last one that ruled out the next thinner cable, not what ruled out thinner ones yet.
        (EASY._replace(takes=Takes(0.75)), drops(thin=9, middle=9), "thick", ("drop",)),
        (EASY._replace(heaviest=2.1), drops(thin=9), "middle", ("drop", "ampacity")),
    ],
)  # fmt: skip
def test_what_ruled_out_the_next_thinner_cable_decided(asked, drop, chosen, decided):
    found = choose_cable(asked, [THIN, MIDDLE, THICK], drop, gauge_first=False)
    assert (found.chosen, found.decided_by) == (chosen, decided)


@pytest.mark.published
@pytest.mark.parametrize(("region", "chosen"), [("us", "g16"), ("eu", "g18")])
def test_a_fuse_protects_a_gauge_only_up_to_the_limit_of_its_region(region, chosen):
    # NEC 240.4(D): at most 7 A before 18 AWG, 10 A before 16 AWG.
    asked = EASY._replace(source=None, fuse=8.0, region=region)
    found = choose_cable(
        asked, [gauge("g18", 18, 9), gauge("g16", 16, 9)], drops(), gauge_first=True
    )
    assert found.chosen == chosen


def test_nothing_is_chosen_when_none_passes():
    found = choose_cable(EASY, [THIN, MIDDLE], drops(thin=9, middle=9), gauge_first=False)
    assert (found.chosen, found.decided_by) == (None, ())
    assert [one.fails for one in found.trials] == [("drop",), ("drop",)]
    assert choose_cable(EASY, [], drops(), gauge_first=False) == CableChoice(None, (), ())


def test_metric_and_gauge_rows_stand_together_by_copper_but_a_job_keeps_to_its_kind():
    # ASTM B258: 18 AWG is 0.823 mm2, 16 AWG 1.309 mm2.
    every = [THIN, MIDDLE, THICK, G18, G16]
    both = [
        choose_cable(EASY, every, drops(thin=9, g18=9), gauge_first=kind) for kind in (False, True)
    ]
    for found in both:
        assert [one.cable for one in found.trials] == ["thin", "g18", "middle", "g16", "thick"]
    assert [found.chosen for found in both] == ["middle", "g16"]
    # The next thinner of its own kind decided, not the gauge in between.
    assert [found.decided_by for found in both] == [("drop",), ("drop",)]


def test_the_other_kind_is_taken_when_none_of_its_own_passes():
    found = choose_cable(
        EASY, [THIN, MIDDLE, G18, G16], drops(g18=9, g16=9, thin=9), gauge_first=True
    )
    assert (found.chosen, found.decided_by) == ("middle", ("drop",))


def test_a_row_tells_its_copper_and_its_drop():
    (row_,) = choose_cable(EASY, [G18], drops(g18=2.25), gauge_first=True).trials
    assert row_.mm2 == awg_area_mm2(18)
    assert (row_.by_gauge, row_.drop) == (True, 2.25)


AMPS = st.floats(0.1, 12)
CABLES = st.lists(st.sampled_from(bundled_catalogue().cables), max_size=9, unique=True)


def passes(asked: CableNeeds, cable: Cable, drop: float) -> bool:
    """Say by itself, in other words, if a cable will do; only for sizes no cord table is under."""
    area = float(cable.mm2) if cable.mm2 else awg_area_mm2(cable.awg)
    carries = float(cable.amps)
    low, high = asked.takes
    fits = (low or 0) <= area <= (high or 99)
    if asked.source is not None and asked.source <= carries:
        guarded = True
    elif asked.fuse is not None:
        guarded = asked.fuse <= carries
    else:
        guarded = any(
            asked.amps * 100 <= fuse * asked.fuse_share and fuse <= carries
            for fuse in STANDARD_FUSES
        )
    return drop <= asked.drop and asked.amps <= carries and fits and guarded


@pytest.mark.cross_check
@examples(50)
@given(
    CABLES, AMPS, st.none() | AMPS, st.none() | st.sampled_from(STANDARD_FUSES),
    st.sampled_from([None, 0.6, 0.75]), st.sampled_from([None, 1.0, 1.5]), st.booleans(),
    st.lists(st.floats(0, 6), min_size=12, max_size=12),
)  # fmt: skip
def test_the_choice_is_the_first_of_all_that_pass(
    cables, amps, source, fuse, least, most, gauge_first, percents
):
    # The bundled cables carry no more than any region's table of cords gives their size.
    drop_of = {cable.id: percents[at] for at, cable in enumerate(cables)}
    asked = CableNeeds(amps, amps, 3.0, Takes(least, most), source, fuse, 75, "eu")
    found = choose_cable(asked, cables, lambda cable: drop_of[cable.id], gauge_first=gauge_first)
    good = [cable for cable in cables if passes(asked, cable, drop_of[cable.id])]
    assert {one.cable for one in found.trials if not one.fails} == {cable.id for cable in good}
    own = [cable for cable in good if (cable.awg is not None) == gauge_first] or good
    areas = {cable.id: float(cable.mm2 or awg_area_mm2(cable.awg or 0)) for cable in cables}
    assert (found.chosen is None) == (not own)
    if found.chosen is not None:
        fused = {one.cable for one in found.trials if one.fuse}
        plain = [cable for cable in own if cable.id not in fused] or own
        assert areas[found.chosen] == min(areas[cable.id] for cable in plain)
    assert set(found.decided_by) <= set(TESTS)


# --- With a leg that is solved again --------------------------------------------------------------


def solved(job: Job) -> tuple[Plan, LegCircuit]:
    plan = plan_job(job)
    (circuit,) = plan.circuits.legs
    return plan, circuit


def asked(job: Job) -> CableNeeds | None:
    plan, circuit = solved(job)
    return cable_needs(job, plan.parts, plan.routes, circuit)


# What a plan stops at, warns of or asks about the cable of a leg.
ABOUT_CABLE = {
    "volts-low", "cable-over-amps", "connector-over-amps", "terminal-range", "unprotected-cable",
    "fuse-too-big", "thin-cable", "no-solution", "not-converged",
}  # fmt: skip


def with_cable(job: Job, leg: str, item_id: str, fuse: float | None) -> Job:
    """The same job with another cable on a leg, and the fuse that it asks for."""
    changed = {"cable": item_id} | ({"fuse": D(str(fuse))} if fuse else {})
    legs = (each.model_copy(update=changed) if each.id == leg else each for each in job.legs)
    return job.model_copy(update={"legs": tuple(legs)})


def faults(job: Job, leg: str) -> set[str]:
    """What is wrong with the cable of a leg, by the checks of its plan."""
    found = (each for each in plan_job(job).findings if each.code in ABOUT_CABLE)
    return {each.code for each in found if leg in (each.about, *each.says.split(":")[0].split())}


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("metres", "chosen"), [(2, "flat-2x0.75"), (11, "round-2x1.5"), (28, "round-2x2.5")]
)
def test_a_leg_solved_again_with_each_cable_is_warned_of_what_it_fails(metres, chosen):
    # The checks of a plan are the second method: they know nothing of sizing.
    job = row(*[600] * 3, L1={"length": metres * 1000}, allowances={"drop_warn": 2})
    plan, circuit = solved(job)
    found = thinnest_cable(job, plan.parts, plan.fits, plan.routes, circuit)
    assert found.chosen == chosen
    own = [one for one in found.trials if not one.by_gauge]
    assert [one.drop for one in own] == sorted((one.drop for one in own), reverse=True)
    for one in found.trials:
        assert bool(faults(with_cable(job, "L1", one.cable, one.fuse), "L1")) == bool(one.fails)


@pytest.mark.property
@examples(25)
@given(any_job())
def test_the_thinnest_that_does_brings_nothing_that_the_same_job_stops_at_or_asks(job):
    """Whatever is asked of a cable anywhere in a job is asked of the one that is advised."""
    plan = plan_job(job)
    for circuit in plan.circuits.legs:
        found = thinnest_cable(job, plan.parts, plan.fits, plan.routes, circuit)
        if found and found.chosen:
            leg = circuit.leg.id
            fuse = next(one.fuse for one in found.trials if one.cable == found.chosen)
            assert not faults(with_cable(job, leg, found.chosen, fuse), leg)


@pytest.mark.regression
def test_what_is_asked_about_thin_copper_rules_thin_copper_out():
    job = row(600, L1={"length": 2000}, drop=["rule1"])
    plan, circuit = solved(job)
    assert "thin-cable" in {each.code for each in plan.findings}
    found = thinnest_cable(job, plan.parts, plan.fits, plan.routes, circuit)
    assert (found.chosen, found.decided_by) == ("round-2x1.0", ("section",))


@pytest.mark.regression
def test_a_cable_that_asks_for_a_fuse_gives_way_to_one_that_asks_for_none():
    # 60 W at 24 V drive 3.75 A before they limit: flat flex of 0.5 mm2 may carry 3 A.
    job = row(600, L1={"length": 2000})
    plan, circuit = solved(job)
    found = thinnest_cable(job, plan.parts, plan.fits, plan.routes, circuit)
    assert found.words == "flat-2x0.75, decided by protection"
    free = {"supplies": [part("supplies", "supply-24-60", limited="no", terminals=3)]}
    plan, circuit = solved(row(600, L1={"length": 2000}, parts=free))
    found = thinnest_cable(plan.job, plan.parts, plan.fits, plan.routes, circuit)
    assert found.words == "flat-2x0.5 with a fuse of 1 A"


def test_what_a_leg_asks_is_what_its_job_says():
    asks = asked(one_bar(
        L1={"fuse": 2}, allowances={"drop_warn": 2, "fuse_share": 60},
        parts={"connectors": [part("connectors", "lever-2", least_mm2=D("0.3"), most_mm2=4)]},
    ))  # fmt: skip
    assert asks is not None
    # The bundled 60 W supply at 24 V, whose terminals take 0.2 to 2.5 mm2.
    assert asks[2:] == (2.0, Takes(0.3, 2.5), 3.75, 2.0, 60.0, "eu")
    assert asks.amps == asks.heaviest == pytest.approx(0.37, abs=0.01)  # hot


def test_what_a_leg_asks_of_home_runs_is_less_than_it_draws():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    asks = asked(row(600, 600, R1={"cabinets": ["A1"]}, add={"runs": [second]},
                     L1={"wiring": "home run"}))  # fmt: skip
    assert asks is not None
    assert asks.heaviest < asks.amps < 2.1 * asks.heaviest


def test_a_supply_that_nothing_limits_has_no_most():
    asks = asked(one_bar(S1={"part": "bold"},
                         parts={"supplies": [part("supplies", "bold", limited="no")]}))  # fmt: skip
    assert asks is not None
    assert asks.source is None
    assert asks.takes == Takes(0.2, 2.5)  # of the bundled connectors alone


@pytest.mark.parametrize("how", [{"S1": {"part": "no"}}, {"S1": {"place": "elsewhere"}}])
def test_a_leg_that_cannot_be_worked_out_asks_nothing(how):
    assert asked(one_bar(**how)) is None


@pytest.mark.parametrize(
    ("site", "gauge_first"),
    [
        (Site(), False), (Site(region="uk"), False), (Site(region="us"), True),
        (Site(length_unit="in"), True), (Site(length_unit="cm"), False),
    ],
)  # fmt: skip
def test_a_job_in_inches_or_in_the_us_thinks_in_gauges(site, gauge_first):
    assert by_gauge(site) is gauge_first
