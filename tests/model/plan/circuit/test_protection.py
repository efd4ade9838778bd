"""What protects a leg: fuses, limited sources, ampacity by region, and the joints of its cables."""

from collections import Counter
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from fed_rooms import FED
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, one_bar, part, row

from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job, Site
from pelmet.model.job.parts import Cable, SupplyPart
from pelmet.model.job.rules import Region
from pelmet.model.measure.awg import awg_area_mm2
from pelmet.model.plan.circuit.protection import (
    STANDARD_FUSES,
    Protection,
    Takes,
    ampacity,
    connector_of,
    cord_row,
    fuses_that_do,
    heaviest_amps,
    joints,
    largest_fuse,
    limited_to,
    section_mm2,
)
from pelmet.model.plan.circuit.sources import (
    full_load,
    is_class_2,
    is_selv,
    label_words,
    most_driven,
)
from pelmet.model.plan.stages import plan_job

D = Decimal


def smallest_fuse(amps: float, share: float, largest: float) -> float | None:
    return next(iter(fuses_that_do(amps, share, largest)), None)


def cable(amps: float = 50, **size: Any) -> Cable:
    """A cable whose own amps are more than any table gives, unless said."""
    own = {"conductor_class": 5} if "mm2" in size else {}
    return Cable(id="mine", name="Invented", amps=amps, **own, **size)


def guard(region: Region = "eu", **how: Any) -> Protection:
    """The one leg of one bar, in a region."""
    job = one_bar(**how).model_copy(update={"site": Site(region=region)})
    (found,) = plan_job(job).protections
    return found


def source(**changes: Any) -> dict[str, Any]:
    """How-words for a supply of one's own."""
    return {"S1": {"part": "mine"}, "parts": {"supplies": [part("supplies", "mine", **changes)]}}


# --- Ampacity -------------------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(
    ("region", "size", "amps"),
    [
        # NEC Table 400.5(A)(1), flexible cord of two current-carrying conductors.
        ("us", {"awg": 18}, 10), ("us", {"awg": 17}, 12), ("us", {"awg": 16}, 13),
        ("us", {"awg": 14}, 18), ("us", {"awg": 12}, 25),
        # BS 7671 Table 4F3A as BS 6500 practice prints it: flexible cables by their section.
        ("uk", {"mm2": 0.5}, 3), ("uk", {"mm2": 0.75}, 6), ("uk", {"mm2": 1.0}, 10),
        ("uk", {"mm2": 1.5}, 15), ("uk", {"mm2": 2.5}, 20),
    ],
)  # fmt: skip
def test_a_cable_carries_no_more_than_the_cord_table_of_the_region(region, size, amps):
    assert ampacity(cable(**size), region).value == amps
    # Its own figure counts when it is the smaller one.
    assert ampacity(cable(amps=amps - 0.5, **size), region).value == amps - 0.5


@pytest.mark.published
@pytest.mark.parametrize(("awg", "most"), [(18, 7), (16, 10), (14, 15), (12, 20)])
def test_a_fuse_is_no_more_than_what_may_protect_a_gauge(awg, most):
    # NEC 240.4(D): most overcurrent protection of small copper conductors.
    assert largest_fuse(cable(awg=awg), "us").value == most
    assert largest_fuse(cable(awg=awg, amps=2), "us").value == 2
    assert largest_fuse(cable(awg=awg), "eu").value == 50


def test_a_size_that_is_not_listed_or_only_from_memory_goes_by_its_own_amps():
    assert ampacity(cable(awg=20), "us").value == 50
    assert ampacity(cable(mm2=0.75), "us").value == 50
    assert ampacity(cable(mm2=0.5), "eu").value == 50
    assert cord_row(cable(mm2=0.5), "eu") is None
    assert ampacity(cable(mm2=0.5), "uk").value == 3


def test_the_section_of_a_gauge_is_its_copper():
    assert section_mm2(cable(awg=18)) == awg_area_mm2(18)
    assert section_mm2(cable(mm2=1.5)) == 1.5


# --- Fuses ----------------------------------------------------------------------------------------


@pytest.mark.cross_check
def test_the_standard_fuses_are_ten_steps_a_decade():
    # The R10 series of ISO 3 by its definition: 10^(k/10), each rounded to what is printed.
    exact = [10 ** (step / 10) for step in range(15)]
    assert len(STANDARD_FUSES) == len(exact)
    for fuse, ideal in zip(STANDARD_FUSES, exact, strict=True):
        assert fuse == pytest.approx(ideal, rel=0.013)
    for low, high in pairwise(STANDARD_FUSES):
        assert high / low == pytest.approx(10**0.1, rel=0.02)


def test_every_standard_fuse_can_be_ordered():
    sold = [part.amps for part in bundled_catalogue().sundries if part.serves == "fuse"]
    assert [float(amps) for amps in sold] == list(STANDARD_FUSES)


@pytest.mark.property
@given(st.floats(0, 20), st.floats(10, 100), st.floats(0.1, 20))
def test_the_fuse_needed_is_the_smallest_that_will_do(amps, share, largest):
    found = smallest_fuse(amps, share, largest)
    good = [
        fuse for fuse in STANDARD_FUSES if amps <= fuse * share / 100 + 1e-12 and fuse <= largest
    ]
    if found is None:
        # At most the one that carries the load to the last digit.
        assert all(amps * 100 == pytest.approx(fuse * share) for fuse in good)
    else:
        assert found in STANDARD_FUSES
        assert amps * 100 <= found * share
        assert found <= largest
        assert found == pytest.approx(min(good))


@pytest.mark.published
@pytest.mark.parametrize(
    ("amps", "fuse"),
    [
        (0.75, 1.0),
        (0.751, 1.25),
        (3.0, 4.0),
        (7.5, 10.0),
        (7.51, 12.5),
        (15.0, 20.0),
        (15.01, None),
    ],
)
def test_a_fuse_carries_three_quarters_of_its_rating(amps, fuse):
    # A fuse guide: at most 75 % of the rating at 25 C.
    assert smallest_fuse(amps, 75, 20) == fuse


def test_no_fuse_fits_when_the_next_one_is_more_than_the_cable_carries():
    assert smallest_fuse(1.6, 75, 2.4) is None
    assert smallest_fuse(1.6, 75, 2.5) == 2.5
    assert smallest_fuse(0, 0, 10) == 1.0
    assert smallest_fuse(1, 0, 10) is None


# --- What a source drives -------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(
    ("watts", "volts", "amps"),
    [
        (60, 12, 5.0),  # NEC Chapter 9 Table 11(B): 5.0 A and 60 VA at 12 V
        (100, 24, 4.1667),  # the same: 100 VA at 24 V
        (50, 12, 4.1667),  # trade-body article on ELV lighting: 50 W at 12 V is over 4 A
    ],
)
def test_full_load_amps_are_watts_by_volts(watts, volts, amps):
    supply = SupplyPart.model_validate(part("supplies", "mine", watts=watts, volts=volts))
    assert full_load(supply).value == pytest.approx(amps, abs=0.00005)


def own(**changes: Any) -> SupplyPart:
    return SupplyPart.model_validate(part("supplies", "mine", **changes))


@pytest.mark.regression
def test_a_big_supply_whose_label_nobody_read_protects_no_cable_of_its_rated_amps():
    ten = {"cables": [part("cables", "ten", mm2=1, amps=10)]}
    how = source(watts=240)
    job = one_bar(S1={"part": "mine"}, L1={"cable": "ten"}, parts=how["parts"] | ten)
    plan = plan_job(job)
    (found,) = (each for each in plan.findings if each.code == "unprotected-cable")
    assert (plan.protections[0].by, found.level) == ("nothing", "stop")
    assert found.remedy == "fit a 1 A fuse in the + conductor at S1"
    # Of a small one reading its label can settle it, so it is asked.
    small = plan_job(one_bar(**source(watts=60)))
    (asked,) = (each for each in small.findings if each.code == "unprotected-cable")
    assert asked.level == "ask"
    assert "or fit a 1 A fuse" in asked.remedy


@pytest.mark.property
@given(
    st.floats(1, 2000),
    st.sampled_from([5, 12, 24, 36, 48]),
    st.sampled_from(["not known", "class 2", "SELV", "no"]),
    st.none() | st.floats(0.1, 60),
)
def test_only_what_a_label_or_a_sheet_limits_is_limited(watts, volts, limited, sheet):
    said = {"most_amps": round(sheet, 2)} if sheet else {}
    supply = own(watts=round(watts, 2), volts=volts, limited=limited, **said)
    most = most_driven(Job(), supply)
    if sheet:
        assert float(most.value) == float(supply.most_amps)
    elif limited != "class 2":
        assert most is None
    else:
        # NEC Chapter 9 Table 11(B), from memory: 8 A up to 30 V, else 150 / volts.
        ceiling = 8 if volts <= 30 else 150 / volts
        full = float(supply.watts) / volts
        if full > ceiling:  # no such label fits it
            assert most is None
        else:
            assert float(most.value) == pytest.approx(min(1.5 * full, ceiling))


@pytest.mark.parametrize(
    ("how", "class_2", "selv", "words"),
    [
        ({}, None, None, "Class 2 and SELV not read"),
        ({"limited": "class 2"}, True, None, "Class 2, SELV not read"),
        ({"limited": "class 2", "selv": True}, True, True, "Class 2 and SELV"),
        ({"limited": "SELV"}, None, True, "SELV, Class 2 not read"),
        ({"limited": "no"}, False, False, "not Class 2 nor SELV"),
        ({"limited": "no", "selv": True}, False, True, "SELV, not Class 2"),
        ({"selv": False, "most_amps": 5}, None, False,
         "not SELV, Class 2 not read, drives at most 5 A by its sheet"),
    ],
)  # fmt: skip
def test_class_2_and_selv_are_told_apart(how, class_2, selv, words):
    assert (is_class_2(own(**how)), is_selv(own(**how)), label_words(own(**how))) == (
        class_2, selv, words,
    )  # fmt: skip


def test_a_source_that_cannot_overload_a_cable_is_limited_to_it():
    assert limited_to(6.0, 6.0)
    assert not limited_to(6.1, 6.0)
    assert not limited_to(None, 6.0)


@pytest.mark.parametrize(
    ("how", "by"),
    [
        ({}, "limited source"),
        # 96 W at 24 V are 4 A, and 6 A of overload: just what the cable may carry.
        (source(limited="class 2", watts=96), "limited source"),
        (source(limited="class 2", watts=D("96.1")), "nothing"),
        (source(watts=24), "nothing"),  # its label is not read
        (source(watts=24, limited="no"), "nothing"),
        (source(watts=24, limited="SELV"), "nothing"),  # of few volts, not of few amps
        (source(watts=240, limited="SELV", most_amps=6), "limited source"),
        (source(watts=24, limited="class 2", most_amps=D("6.1")), "nothing"),
        (source(limited="no") | {"L1": {"fuse": 6}}, "fuse"),
        (source(limited="no") | {"L1": {"fuse": D("6.1")}}, "nothing"),
        (source(watts=24) | {"L1": {"fuse": 2}}, "fuse"),
        ({"L1": {"fuse": 2}}, "limited source"),
        ({"L1": {"cable": "no"}}, "not known"),
        ({"S1": {"part": "no"}}, "not known"),
    ],
)
def test_a_leg_is_protected_by_its_source_or_its_fuse(how, by):
    assert guard(**how).by == by


def test_a_leg_that_cannot_be_worked_out_is_still_guarded_but_needs_no_certain_fuse():
    # Nobody knows how long its lead is, so nobody knows what it draws.
    found = guard(**source(limited="no", watts=60) | {
        "S1": {"part": "mine", "place": "elsewhere", "cabinet": None}})  # fmt: skip
    assert (found.by, found.needed) == ("nothing", None)
    assert found.carries is not None


def test_the_fuse_needed_carries_the_leg_at_the_share_of_the_job():
    # 850 mm at 9.6 W/m draw a third of an ampere: 1 A at 75 %, 3.15 A at 12 %.
    assert guard().needed.value == 1.0
    (amps,) = (leg.amps for leg in plan_job(one_bar()).circuits.legs)
    assert 0.12 * 2.5 < amps.value < 0.12 * 3.15
    assert guard(allowances={"fuse_share": 12}).needed.value == 3.15


def test_the_region_counts():
    how = source(limited="no") | {"L1": {"cable": "mine", "fuse": 8}}
    how["parts"]["cables"] = [part("cables", "mine", mm2=None, conductor_class=None, awg=18,
                                   amps=9)]  # fmt: skip
    assert guard("eu", **how).by == "fuse"
    assert guard("us", **how).by == "nothing"


@pytest.mark.property
@QUICK
@given(any_job())
def test_every_leg_of_any_job_is_guarded_by_what_its_figures_say(job: Job):
    plan = plan_job(job)
    assert [each.leg.id for each in plan.protections] == [leg.id for leg in job.legs]
    for each, circuit in zip(plan.protections, plan.circuits.legs, strict=True):
        if each.carries is None:
            assert each.by == "not known"
            continue
        assert each.largest is not None
        assert 0 < each.largest.value <= each.carries.value
        calm = each.source is not None and each.source.value <= each.carries.value
        fused = each.fuse is not None and each.fuse.value <= each.largest.value
        assert each.by == ("limited source" if calm else "fuse" if fused else "nothing")
        if each.needed is not None and circuit.amps is not None:
            assert each.needed.value in STANDARD_FUSES
            assert each.needed.value <= each.largest.value
            assert circuit.amps.value <= each.needed.value


# --- Joints and terminals -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("takes", "mm2", "fits"),
    [
        (Takes(), 0.05, True), (Takes(), 10, True),
        (Takes(0.5), 0.5, True), (Takes(0.5), 0.49, False),
        (Takes(None, 2.5), 2.5, True), (Takes(None, 2.5), 2.51, False),
        (Takes(0.2, 2.5), 0.75, True),
    ],
)  # fmt: skip
def test_terminals_take_a_range_of_sections(takes, mm2, fits):
    assert takes.takes(mm2) is fits


def test_a_range_is_said_in_words():
    assert Takes(0.2, 2.5).words == "from 0.2 up to 2.5 mm2"
    assert Takes(None, 1.5).words == "up to 1.5 mm2"
    assert Takes().words == "any section"


def test_the_connector_of_so_many_ways_is_the_last_listed():
    parts = bundled_catalogue()
    assert connector_of(parts, 2).id == "lever-2"
    assert connector_of(parts, 3).id == "lever-3"
    assert connector_of(parts, 9) is None


@pytest.mark.cross_check
@pytest.mark.parametrize("shape", FED)
def test_the_joints_take_as_many_connectors_as_the_order_has(shape):
    assert_joints_are_ordered(FED[shape]())


@pytest.mark.cross_check
def test_the_joints_of_a_star_and_of_connectors_of_one_s_own_are_those_ordered():
    # A measured lead to R1, from which a cable goes on to each of two other runs: four meet.
    others = [{"id": f"R1{under}", "cabinets": [under], "leg": "L1"} for under in ("A1", "A3")]
    own = [part("connectors", f"own-{ways}", ways=ways) for ways in (2, 3)]
    for parts in ({}, {"connectors": own}):
        assert_joints_are_ordered(row(
            600, 600, 600, R1={"cabinets": ["A2"]}, add={"runs": others}, parts=parts,
            L1={"length": 2000, "wiring": "home run"},
        ))  # fmt: skip


def assert_joints_are_ordered(job: Job) -> None:
    """Assert it; the order counts connectors by another way: per link, per lead and per tee."""
    plan = plan_job(job)
    counted: Counter[str] = Counter()
    for joint in joints(plan.parts, plan.routes, plan.circuits.legs):
        assert joint.connector is not None
        counted[joint.connector.id] += 2 * joint.each
    ids = {connector.id for connector in plan.parts.connectors}
    ordered = {need.part: need.amount.value for need in plan.needs}
    assert counted == {own: amount for own, amount in ordered.items() if own in ids}
    assert counted


def test_a_tee_takes_three_way_connectors_and_one_more_for_each_further_cable():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    how = {"R1": {"cabinets": ["A1"]}, "add": {"runs": [second]}}
    plan = plan_job(row(600, 600, **how, L1={"wiring": "chained"}))
    found = joints(plan.parts, plan.routes, plan.circuits.legs)
    assert [(one.cable, one.end, one.ways, one.each) for one in found] == [
        ("L1.1", "end", 3, 1), ("L1.2", "end", 2, 1),
    ]  # fmt: skip
    amps = {flow.cable: flow.amps for leg in plan.circuits.legs for flow in leg.flows}
    assert [one.amps for one in found] == [amps["L1.1"], amps["L1.2"]]


def test_every_joint_brings_the_amps_of_its_own_cable():
    plan = plan_job(row(600, 600))
    found = joints(plan.parts, plan.routes, plan.circuits.legs)
    assert [(one.cable, one.end) for one in found] == [
        ("L1.1", "end"), ("R1.1-2", "start"), ("R1.1-2", "end"),
    ]  # fmt: skip
    (leg,) = plan.circuits.legs
    lead, link, again = (one.amps.value for one in found)
    assert lead == leg.amps.value
    assert link == again == pytest.approx(lead / 2, rel=0.05)


def test_the_heaviest_cable_of_home_runs_carries_less_than_the_leg():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    how = {"R1": {"cabinets": ["A1"]}, "add": {"runs": [second]}}
    (leg,) = plan_job(row(600, 600, **how, L1={"wiring": "home run"})).circuits.legs
    assert heaviest_amps(leg).value == max(flow.amps.value for flow in leg.flows)
    assert heaviest_amps(leg).value < leg.amps.value
    assert heaviest_amps(leg._replace(flows=())) == leg.amps
