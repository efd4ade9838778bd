"""Other parts for a supply, and more supplies than one: each is what planning it gives."""

from typing import Any
from unicodedata import category

import pytest
from choices import KITCHEN, OWN, three_runs
from draws import quick
from hypothesis import given
from jobs import ALIKE, any_job, obstacle, one_bar, part, row
from strategies import jobs

from pelmet.model.edit.options import Option, options_for
from pelmet.model.edit.options.option import whole
from pelmet.model.edit.options.supplies import supply_options
from pelmet.model.edit.taking_off import unbuilt
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue, find_part
from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.finding import said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

FULL = {"supply-too-hot", "supply-overloaded", "terminals-short"}


def regional(job: Job, region: str) -> Job:
    return Job.model_validate(job.model_dump(by_alias=True) | {"job": {"region": region}})


def wide(*widths: int, **how: Any) -> Job:
    """Wide cabinets with a run each, each on a leg of its own."""
    numbers = range(2, len(widths) + 1)
    how["allowances"] = ALIKE | how.get("allowances", {})
    return row(
        *widths,
        A={"length": 20_000},
        R1={"cabinets": ["A1"]},
        add={
            "legs": [{"id": f"L{n}", "supply": "S1"} for n in numbers],
            "runs": [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": f"L{n}"} for n in numbers],
        },
        **how,
    )


def five(width: int = 2600, **how: Any) -> Job:
    """Five alike: 24 W a leg, or 9.6 mW a leg for each millimetre that is lit."""
    return wide(*[width] * 5, **how)


def zoned(job: Job, **zones: str) -> Job:
    """Put legs into zones by name; each leg not named is in none."""
    whole = job.model_dump(by_alias=True)
    ids = {name: f"Z{n}" for n, name in enumerate(dict.fromkeys(zones.values()), 1)}
    for leg in whole["leg"]:
        leg["zone"] = ids.get(zones.get(leg["id"], ""))
    return Job.model_validate(whole | {"zone": [{"id": ids[name], "name": name} for name in ids]})


def bundled_as(**changes: Any) -> dict[str, Any]:
    """Put these in the place of every bundled supply of 24 V."""
    same = [each.id for each in bundled_catalogue().supplies if each.volts == 24]
    return {"supplies": [part("supplies", item_id, **changes) for item_id in same]}


def parts_of(job: Job, mine: Catalogue = OWN) -> list[Option]:
    return [
        one for one in whole(supply_options(job, mine, "S1")) if one.choice.startswith("part: ")
    ]


def names(found: list[Option]) -> list[str]:
    return [one.choice.removeprefix("part: ") for one in found]


def others(job: Job) -> list[Option]:
    return [
        one for one in whole(supply_options(job, OWN, "S1")) if not one.choice.startswith("part: ")
    ]


def planned(one: Option) -> Plan:
    assert one.job is not None
    return plan_job(one.job)


def budgets(one: Option) -> list[SupplyBudget]:
    return list(planned(one).supplies)


# --- Another part ---------------------------------------------------------------------------------


def test_every_other_part_of_the_same_volts_is_tried_the_smallest_that_does_first():
    # 8.16 W and one leg: each of the bundled ones does.
    assert names(parts_of(one_bar())) == ["supply-24-30", "supply-24-96"]
    assert names(parts_of(one_bar(S1={"part": "supply-24-96"}))) == ["supply-24-30", "supply-24-60"]
    # 48 W on five legs are too much for 30 W, and 4 terminals too few: those that do not, last.
    mine = {"supplies": [part("supplies", "mine", watts=200, terminals=9)]}
    assert names(parts_of(five(1000, parts=mine))) == ["mine", "supply-24-96", "supply-24-30"]


def test_legs_of_another_supply_are_its_own_matter():
    # S1 feeds 4.8 W by one leg; what S2 has to feed asks nothing of S1.
    mine = {"supplies": [part("supplies", "mine", watts=10, terminals=1)]}
    add = {
        "supplies": [{"id": "S2", "cabinet": "A1"}],
        "legs": [{"id": "L2", "supply": "S2"}, {"id": "L3", "supply": "S2", "length": 60_000}],
        "runs": [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": f"L{n}"} for n in (2, 3)],
    }
    job = row(600, 2900, 2900, R1={"cabinets": ["A1"]}, add=add, parts=mine)
    found = whole(supply_options(job, OWN, "S1"))
    assert names(list(found)) == ["mine", "supply-24-30", "supply-24-96"]


@pytest.mark.cross_check
@pytest.mark.parametrize(
    "job", [one_bar(), KITCHEN, five(), five(allowances={"supply_celsius": 60})],
    ids=["one", "kitchen", "five", "warm"],
)  # fmt: skip
def test_a_part_gives_what_planning_with_it_leaves(job):
    found = parts_of(job)
    assert found
    for one in found:
        (budget,) = budgets(one)
        usable, left = float(budget.usable.value), float(budget.left.value)
        share = 100 * float(budget.load.value) / usable
        free = budget.terminals_left.value
        assert one.gives.startswith(f"{share:.0f} % of {said(usable)} W used, ")
        assert (f"{said(left)} W left" in one.gives) == (left >= 0)
        assert (f"{said(-left)} W too little" in one.gives) == (left < 0)
        assert (f"{free} terminal" in one.gives and " left" in one.gives) == (free >= 0)
        assert ("too few" in one.gives) == (free < 0)


def test_the_first_part_is_found_good_by_the_checks():
    mine = {"supplies": [part("supplies", "mine", watts=200, terminals=9)]}
    first = parts_of(five(parts=mine))[0]
    assert not FULL & {finding.code for finding in planned(first).findings}


@pytest.mark.published
def test_a_part_over_the_ceiling_of_class_2_comes_after_those_within():
    # NEC Chapter 9 Table 11(B): 100 W above 20 V; 60 W at 12 V.
    big = {"supplies": [part("supplies", "big", watts=101, terminals=9)]}
    us, eu = regional(one_bar(parts=big), "us"), one_bar(parts=big)
    assert names(parts_of(us)) == ["supply-24-30", "supply-24-96", "big"]
    assert "101 W: over the 100 W of a Class 2 source" in parts_of(us)[-1].reasons
    assert "96 W: within the 100 W of a Class 2 source" in parts_of(us)[1].reasons
    assert not any("of a Class 2" in reason for one in parts_of(eu) for reason in one.reasons)
    low = one_bar(R1={"strip": "white-12-10"}, S1={"part": "supply-12-30"})
    (found,) = parts_of(regional(low, "us"))
    assert "60 W: within the 60 W of a Class 2 source" in found.reasons


def test_a_part_says_its_price_beside_the_present_one():
    parts = bundled_catalogue().supplies
    old = find_part(parts, "supply-24-60")
    for one in parts_of(one_bar()):
        new = find_part(parts, one.choice.removeprefix("part: "))
        more = new.price - old.price
        assert f"price {abs(more)} {'more' if more > 0 else 'less'}" in one.reasons
    mine = {
        "supplies": [
            part("supplies", "none"),
            part("supplies", "same", price=old.price),
        ]
    }
    reasons = {one.choice: one.reasons for one in parts_of(one_bar(parts=mine))}
    assert "price not known" in reasons["part: none"]
    assert "the same price" in reasons["part: same"]


def test_a_part_says_what_its_label_limits_and_what_air_it_bears():
    mine = {"supplies": [part("supplies", "mine", limited="SELV", highest_celsius=30)]}
    reasons = {one.choice: one.reasons for one in parts_of(one_bar(parts=mine))}
    assert "its output, by its label: SELV, Class 2 not read" in reasons["part: mine"]
    assert "not to be used in air above 30 C" in reasons["part: mine"]
    unlabelled = {"supplies": [part("supplies", "mine")]}
    (one,) = [one for one in parts_of(one_bar(parts=unlabelled)) if one.choice == "part: mine"]
    assert "its output, by its label: Class 2 and SELV not read" in one.reasons


def test_a_users_own_part_is_tried_and_changes_nothing_else():
    mine = Catalogue.model_validate({"supplies": [part("supplies", "mine", watts=20)]})
    first = parts_of(one_bar(), mine)[0]
    assert first.choice == "part: mine"
    assert first.job == one_bar(S1={"part": "mine"})


# --- More than one --------------------------------------------------------------------------------


def test_where_one_does_no_second_is_tried():
    assert others(one_bar()) == []
    assert others(KITCHEN) == []


def test_legs_too_many_for_one_go_on_as_few_as_will_do():
    # 24 W a leg; the biggest, 96 W, may be used to 76.8 W: three legs and two.
    (one,) = others(five())
    assert one.choice == "a second supply for L4 L5"
    first, second = budgets(one)
    assert (first.legs, second.legs) == (("L1", "L2", "L3"), ("L4", "L5"))
    assert one.gives == "S1 72 of 76.8 W, S2 48 of 48 W"
    assert "no one supply carries 120 W and 5 legs" in one.reasons[0]
    assert "S1 supply-24-96, S2 supply-24-60" in one.reasons
    assert not FULL & {finding.code for finding in planned(one).findings}
    old, new = one.job.supplies
    assert new.cabinet == old.cabinet == "A1"


def test_the_ceiling_of_class_2_parts_what_one_big_supply_would_carry():
    big = {"supplies": [part("supplies", "big", watts=200, terminals=9)]}
    assert others(five(parts=big)) == []
    (one,) = others(regional(five(parts=big), "us"))
    assert "within 100 W each" in one.reasons[0]
    assert {supply.part for supply in one.job.supplies} == {"supply-24-96", "supply-24-60"}


@pytest.mark.published
def test_no_supply_of_a_split_is_over_the_ceiling_of_class_2():
    # NEC Chapter 9 Table 11(B): 100 W above 20 V. Neither the one that is there is kept above
    # that, nor is a big one taken for a leg that is too much for any within it.
    big = {"supplies": [part("supplies", "big", watts=200, terminals=9)]}
    eu = five(parts=big, S1={"part": "big"})
    (one,) = others(regional(eu, "us"))
    assert [supply.part for supply in one.job.supplies] == ["supply-24-96", "supply-24-60"]
    (much,) = others(regional(wide(9000, 1000, parts=big), "us"))
    assert "still too much for one: L1; split it first" in much.reasons
    for found in (one, much):
        for supply in found.job.supplies:
            own = find_part(planned(found).parts.supplies, supply.part)
            assert own.watts <= 100


def test_terminals_part_the_legs_too():
    # 9.6 W a leg, 48 W in all: watts enough, but no bundled part has five terminals.
    (one,) = others(five(1000))
    assert max(len(budget.legs) for budget in budgets(one)) <= 4
    assert "terminals-short" not in {finding.code for finding in planned(one).findings}


def test_big_legs_go_first_so_that_few_supplies_do():
    # About 30, 30, 46 and 46 W: in that order, 76.8 W a supply, they would take three.
    one = others(wide(3200, 3200, 4850, 4850))[0]
    assert one.choice.startswith("a second supply")
    assert [len(budget.legs) for budget in budgets(one)] == [2, 2]
    assert not FULL & {finding.code for finding in planned(one).findings}


def test_more_than_two_where_two_do_not_do():
    (one,) = others(five(parts=bundled_as(watts=50, terminals=1)))
    assert one.choice == "4 more supplies for L2; L3; L4; L5"
    assert [budget.legs for budget in budgets(one)] == [(f"L{n}",) for n in range(1, 6)]


def test_a_leg_too_much_for_any_supply_is_named():
    (one,) = others(five(parts=bundled_as(watts=20)))
    assert "still too much for one: L1; split it first" in one.reasons


def test_a_supply_for_each_zone_where_the_legs_are_of_several():
    job = zoned(five(1000), L1="Worktop", L2="Worktop", L3="Pantry", L4="Pantry", L5="Pantry")
    one, _ = others(job)
    assert one.choice == "a supply for each zone"
    assert [budget.legs for budget in budgets(one)] == [("L1", "L2"), ("L3", "L4", "L5")]
    assert "zones: Worktop, Pantry" in one.reasons


@pytest.mark.parametrize("name", ["Work\u00a0top", "Vor\u00adrat", "\u0378", "\ue000"])
def test_a_zone_is_named_as_a_person_wrote_it(name):
    one, _ = others(zoned(five(1000), L1=name, L2=name, L3="Pantry", L4="Pantry", L5="Pantry"))
    assert f"zones: {name}, Pantry" in one.reasons
    zones = {leg.id: leg.zone for leg in one.job.legs}
    for budget in budgets(one):
        assert len({zones[leg] for leg in budget.legs}) == 1
    # The present one keeps its part, a new one takes the smallest that does.
    big = zoned(five(1000, S1={"part": "supply-24-96"}), L1="Worktop", L2="Worktop")
    assert [supply.part for supply in others(big)[0].job.supplies] == [
        "supply-24-96", "supply-24-60",
    ]  # fmt: skip
    alike = zoned(five(1000), **{f"L{n}": "Worktop" for n in range(1, 6)})
    assert "a supply for each zone" not in [each.choice for each in others(alike)]


def test_a_leg_with_too_much_drop_gets_a_supply_nearer_its_light():
    far = {"length": 60_000}
    (one,) = others(three_runs(L1={"length": 60_000}))
    assert one.choice == "a supply for L1 in cabinet A2"
    before = plan_job(three_runs(L1=far)).circuits.legs[0].drop.value
    (leg,) = planned(one).circuits.legs
    assert (leg.leg.supply, leg.leg.length) == ("S2", None)
    assert float(leg.drop.value) < float(before)
    assert one.gives.startswith(
        f"L1 {float(leg.drop.value):.1f} % down in place of {float(before):.1f} %"
    )
    assert others(three_runs()) == []


def test_no_supply_is_put_over_a_hob():
    hob = obstacle("O9", 1900, 400, "hob zone")
    (one,) = others(three_runs(L1={"length": 60_000}, obstacles=[hob]))
    assert one.choice == "a supply for L1 in cabinet A3"


# --- All of them ----------------------------------------------------------------------------------


def test_they_follow_the_places():
    found = [one.choice for one in options_for(one_bar(), OWN, "supply", "S1")]
    assert found[0] == "in cabinet A1"
    assert found[-2:] == ["part: supply-24-30", "part: supply-24-96"]


def test_there_is_nothing_to_try_for_what_is_not_known():
    assert whole(supply_options(one_bar(), OWN, "no")) == ()
    assert whole(supply_options(one_bar(S1={"part": "no"}), OWN, "S1")) == ()


@pytest.mark.property
@quick(30)
@given(jobs() | any_job())
def test_any_job_leaves_a_valid_job_with_every_leg_on_a_supply(job):
    job = unbuilt(job)
    for supply in job.supplies[:2]:
        found = whole(supply_options(job, OWN, supply.id))
        assert len({one.choice for one in found}) == len(found)
        for one in found:
            assert one.job is not None
            assert not one.taken
            assert Job.model_validate(one.job.model_dump(by_alias=True)) == one.job
            assert [leg.id for leg in one.job.legs] == [leg.id for leg in job.legs]
            assert one.job.runs == job.runs
            assert all(text.isprintable() for text in (one.choice, one.gives))
            # A zone's name may hold a no-break space, or a letter newer than Python's tables.
            letters = {category(letter) for text in one.reasons for letter in text}
            assert not letters & {"Cc", "Cs", "Zl", "Zp"}
