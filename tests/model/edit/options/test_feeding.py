"""Ways to feed a new run: which there are, what each gives and disturbs, and in which order."""

from decimal import Decimal

import pytest
from feeds import OWN, kitchen, pantry, way, ways, works
from jobs import one_bar, part, row

from pelmet.model.edit.change import altered, rebuilt
from pelmet.model.edit.options import options_for
from pelmet.model.edit.options.feeding import feed_runs, feeding_options, ranking
from pelmet.model.edit.options.option import whole
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook, bundled_prices, overlay_prices
from pelmet.model.plan.stages import plan_job


def said(option, start: str) -> str:
    """Give the reason that begins so."""
    return next(each for each in option.reasons if each.startswith(start))


def fed(job: Job):
    *_, last = feed_runs(job, OWN)
    return last


# --- From what is there ---------------------------------------------------------------------------


def test_a_spare_terminal_of_a_fitted_supply_comes_first_and_leaves_all_as_it_is():
    job = kitchen()
    first = ways(job)[0]
    assert first.choice == "own leg from S1"
    assert works(first)
    assert not any(each.startswith("disturbs") for each in first.reasons)
    assert said(first, "S1:") == "S1: 36.9 W left of 76.8, 0 terminals left"
    assert said(first, "to be proved") == "to be proved again: R1 R2 R3"
    new = first.job
    assert (new.supplies, new.legs[:3], new.runs[:3]) == (job.supplies, job.legs, job.runs[:3])
    assert new.find("run", "R4").leg == new.legs[3].id
    assert new.legs[3].cable == job.legs[2].cable  # copies the choice of the last one


def test_volts_and_light_are_those_of_the_plan_before_and_after():
    tee = way(kitchen(), "tee off L3")
    plan = plan_job(tee.job)
    lowest = {bar.bar: float(bar.lowest.value) for leg in plan.circuits.legs for bar in leg.bars}
    lux = {light.run: float(light.least.value) for light in plan.lights}
    assert said(tee, "R4 at worst") == (
        f"R4 at worst: {lowest['R4.1']:.2f} V at R4.1, {lux['R4']:.0f} lx below R4"
    )
    was = plan_job(kitchen())
    before = min(float(bar.lowest.value) for leg in was.circuits.legs for bar in leg.bars)
    assert f"{before:.2f} V" in said(tee, "the others at worst").partition("before")[2]
    others = min(volts for bar, volts in lowest.items() if not bar.startswith("R4"))
    assert f"{others:.2f} V" in said(tee, "the others at worst").partition("before")[0]


def test_with_no_terminal_left_a_tee_is_first_where_nothing_is_fitted_yet():
    first, *others = ways(kitchen("supply-24-60", "ordered"))
    assert first.choice == "tee off L3"
    assert works(first)
    own = next(each for each in others if each.choice == "own leg from S1")
    assert "terminals short" in own.gives
    assert ways(kitchen("supply-24-96", "ordered"))[0].choice == "tee off L3"  # the nearest leg


def test_a_tee_into_what_is_wired_comes_after_all_that_disturbs_nothing_however_cheap():
    found = ways(kitchen("supply-24-60"))
    kinds = [each.gives.replace(":", ",").partition(",")[0] for each in found]
    assert kinds == sorted(kinds, key=["works", "disturbs", "no"].index)
    assert set(kinds) == {"works", "disturbs", "no"}
    assert found[0].choice.startswith("new supply in ")
    tee = way(kitchen("supply-24-60"), "tee off L3")
    assert tee.gives.startswith("disturbs")
    assert said(tee, "disturbs") == "disturbs R3, proved"
    assert "L3.1" in said(tee, "cut for it or laid anew")


def test_a_leg_of_other_volts_or_channels_is_no_leg_to_join():
    tunable = part("strips", "tunable", channels=2)
    job = row(600, 600, R1={"cabinets": ["A1"]}, parts={"strips": [tunable]}, add={
        "runs": [{"id": "R2", "cabinets": ["A2"], "strip": "tunable"}],
    })  # fmt: skip
    assert not [each for each in ways(job, "R2") if "tee" in each.choice]
    job = altered(job, {"runs": (job.runs[0], altered(job.runs[1], {"strip": "white-12-10"}))})
    assert {each.choice.partition(" in ")[0] for each in ways(job, "R2")} == {"new supply"}


def test_a_supply_that_was_overloaded_before_does_not_take_more():
    job = kitchen("supply-24-30")  # 30.7 W on 24 W that may be used: it stood at stop before
    assert "supply-overloaded" in {each.code for each in plan_job(job).findings}
    for choice in ("own leg from S1", "tee off L3"):
        assert "supply overloaded" in way(job, choice).gives


def test_a_cable_that_will_not_do_gives_way_to_one_that_will_and_nothing_protected_to_a_fuse():
    far = row(1000, 1000, 2600, gap=3000, A={"length": 48_000}, R1={"cabinets": ["A1"]},
              add={"runs": [{"id": "R2", "cabinets": ["A3"], "strip": "white-24-14"}]})  # fmt: skip
    own = way(far, "own leg from S1", "R2")
    assert works(own)
    sections = {each.id: each.mm2 for each in bundled_catalogue().cables}
    assert sections[own.job.legs[1].cable] > sections[far.legs[0].cable]
    free = part("supplies", "free", limited="no", watts=200, terminals=4)
    new = {"runs": [{"id": "R2", "cabinets": ["A2"]}]}
    job = row(600, 600, R1={"cabinets": ["A1"]}, S1={"part": "free"}, L1={"fuse": 2},
              parts={"supplies": [free]}, add=new)  # fmt: skip
    fused = way(job, "own leg from S1", "R2")
    assert works(fused)
    needed = plan_job(fused.job).protections[1].needed
    assert needed is not None
    assert fused.job.legs[1].fuse == Decimal(str(needed.value))
    assert "fuse" in said(fused, "with a fuse")


# --- Another supply, or one more ------------------------------------------------------------------


def test_too_small_a_supply_gives_way_to_a_bigger_one_that_is_paid_whole_and_fitted_again():
    job = kitchen("supply-24-30")
    bigger = way(job, "supply-24-96 for S1, own leg")
    assert bigger.gives.startswith("disturbs")
    assert said(bigger, "disturbs") == "disturbs S1, fitted"
    assert said(bigger, "to be proved") == "to be proved again: R1 R2 R3"
    assert "licensed person" in said(bigger, "supply-24-96 in place of supply-24-30")
    assert bigger.job.supplies == (altered(job.supplies[0], {"part": "supply-24-96"}),)
    # Of one not bought yet only the difference counts, and it is hung once.
    early = way(kitchen("supply-24-30", "approved"), "supply-24-96 for S1, own leg")
    assert works(early)
    assert early.gives.startswith("works")
    costs = [float(each.gives.split()[1]) for each in (bigger, early)]
    book, old = bundled_prices(), 22
    again = 15 * book.per_hour("fitter") / 60 + 60 * book.per_hour("electrician") / 60
    assert costs[0] - costs[1] == pytest.approx(old + float(again), abs=0.011)
    # Bought, but not in its place yet.
    ordered = way(kitchen("supply-24-30", "ordered"), "supply-24-96 for S1, own leg")
    assert said(ordered, "disturbs") == "disturbs S1, bought"


def test_one_more_supply_sits_in_a_closed_cabinet_of_the_room_and_takes_over_no_history():
    job = kitchen("supply-24-60")
    spoken = {"breaker": "B16", "isolator": "spur", "note": "scratched"}
    job = rebuilt(job, supplies=(altered(job.supplies[0], spoken),))
    more = [each for each in ways(job) if each.choice.startswith("new supply")]
    homes = {each.choice.split()[3].rstrip(",") for each in more}
    assert homes == {"A1", "A2", "A3", "B1", "B2"}  # B3 is an open shelf
    new = more[0].job.supplies[1]
    assert (new.part, new.place) == ("supply-24-30", "in cabinet")  # the cheapest that does
    assert (new.breaker, new.isolator, new.note) == ("not known", "", "")
    assert "licensed person" in said(more[0], "supply-24-30 in ")
    assert said(more[0], "for it:")
    assert not any(each.startswith("to be proved") for each in more[0].reasons)


def test_a_source_of_limited_watts_is_not_passed_over_its_regions_ceiling():
    mine = part("supplies", "cheap", watts=150, terminals=9, price=1)
    plain = row(600, 600, R1={"cabinets": ["A1"]}, parts={"supplies": [mine]},
                add={"runs": [{"id": "R2", "cabinets": ["A2"]}]})  # fmt: skip
    there = [each.choice for each in ways(plain, "R2")]
    assert "cheap for S1, own leg" in there
    regional = Job.model_validate(plain.model_dump(by_alias=True) | {"job": {"region": "us"}})
    assert "cheap for S1, own leg" not in [each.choice for each in ways(regional, "R2")]


# --- Behind a door --------------------------------------------------------------------------------


def test_a_pantry_may_have_a_circuit_of_its_own_with_a_door_switch():
    job = pantry()
    own = way(job, "new supply in P1, door switch", "R5")
    assert works(own)
    zone = own.job.zones[0]
    assert (zone.name, zone.switch) == ("Pantry", "door-switch-3")
    assert [leg.id for leg in own.job.legs if leg.zone == zone.id] == [
        own.job.find("run", "R5").leg
    ]
    # A run below wall cabinets, in a room with others, hangs behind no door.
    job = row(600, 600, R1={"cabinets": ["A1"]}, add={"runs": [{"id": "R2", "cabinets": ["A2"]}]})
    assert not [each for each in ways(job, "R2") if "door" in each.choice]


def test_a_way_that_nobody_knows_is_no_way_yet_but_says_what_to_measure():
    found = way(pantry(), "own leg from S1", "R5")
    assert "way not known" in found.gives
    assert "give the lead length of L4" in said(found, "no way from S1")
    assert not [each for each in ways(pantry(), "R5") if "tee" in each.choice]


# --- Nothing works --------------------------------------------------------------------------------


def too_long() -> Job:
    """A new run of some 110 W: more than any supply of the catalogue may be loaded with."""
    return row(*[1000] * 9, A={"length": 20_000}, R1={"cabinets": ["A1"], "status": "proved"},
               add={"runs": [{"id": "R2", "cabinets": [f"A{n}" for n in range(2, 10)],
                              "strip": "white-24-14"}]})  # fmt: skip


def test_where_nothing_works_it_says_so_and_names_the_least_that_would():
    first, second, *_ = ways(too_long(), "R2")
    assert (first.choice, first.job) == ("nothing works", None)
    assert f"the least that would: {second.choice}" in first.reasons[0]
    assert "is asked for" in first.reasons[0]
    assert not works(second)
    left = fed(too_long())
    assert left.job == too_long()
    assert left.left[0].run == "R2"
    assert "the least that would" in left.left[0].says


def test_a_strip_that_no_supply_is_for_has_no_way():
    odd = part("strips", "odd", volts=5, led_volts=3)
    new = {"runs": [{"id": "R2", "cabinets": ["A2"], "strip": "odd"}]}
    job = row(600, 600, R1={"cabinets": ["A1"]}, parts={"strips": [odd]}, add=new)
    (only,) = ways(job, "R2")
    assert only.choice == "nothing works"
    assert "no supply of the catalogue" in only.reasons[0]


def test_no_more_plans_are_made_than_are_allowed_and_that_is_said(monkeypatch):
    monkeypatch.setattr(ranking, "MOST_TRIALS", 3)
    steps = [*feeding_options(kitchen(), OWN, "R4")]
    assert len(steps) == 4  # each trial, then that this is all
    assert steps[-1][-1].choice == "not all tried"
    assert "3 plans" in steps[-1][-1].reasons[0]


# --- The list, prices, and what is taken of itself ------------------------------------------------


def test_the_ways_come_before_what_else_the_run_could_be_and_only_while_it_is_unfed():
    every = options_for(kitchen(), OWN, "run", "R4")
    own = ways(kitchen())
    assert every[: len(own)] == own
    assert every[len(own)].choice == "as it is"
    assert options_for(kitchen(), OWN, "run", "R3")[0].choice == "as it is"


def test_the_users_own_prices_decide():
    dear = PriceBook.model_validate({"electrician_per_hour": 0, "fitter_per_hour": 500})
    book = overlay_prices(bundled_prices(), dear)
    first = whole(feeding_options(kitchen(), OWN, "R4", book))[0]
    assert first.choice == "new supply in B2"  # no hour of the electrician's costs anything


def test_each_run_is_fed_in_turn_by_what_disturbs_nothing_and_may_use_what_is_new():
    job = pantry()
    shelf = altered(job.cabinets[-1], {"id": "P2", "bottom_height": 1900, "opening": ()})
    job = rebuilt(job, cabinets=(*job.cabinets, shelf))
    job = rebuilt(job, runs=(*job.runs, altered(job.runs[-1], {"id": "R6", "cabinets": ("P2",)})))
    last = fed(job)
    assert [each.run for each in last.taken] == ["R5", "R6"]
    assert not last.left
    assert len(last.job.supplies) == 2  # one new for both
    assert last.job.supplies[0] == job.supplies[0]
    assert {run.leg for run in last.job.runs} <= {leg.id for leg in last.job.legs}


def test_what_only_works_by_disturbing_is_left_for_a_person_to_pick():
    # Over a hob all along, so that no supply may sit anywhere else.
    hob = {"id": "O1", "wall": "A", "kind": "hob zone", "at": 0, "width": 9000}
    job = row(600, 600, R1={"cabinets": ["A1"], "status": "wired"},
              S1={"part": "one", "cabinet": None, "place": "elsewhere"}, L1={"length": 1000},
              parts={"supplies": [part("supplies", "one", watts=60, terminals=1)]},
              add={"runs": [{"id": "R2", "cabinets": ["A2"]}], "obstacles": [hob]})  # fmt: skip
    tee = next(each for each in ways(job, "R2") if each.choice == "tee off L1")
    assert tee.gives.startswith("disturbs")
    last = fed(job)
    assert last.job == job
    assert "disturbs R1, wired" in last.left[0].says


def test_a_run_that_is_fed_is_left_alone():
    job = one_bar(R1={"status": "ordered"})
    assert fed(job).job == job
    assert not fed(job).left
