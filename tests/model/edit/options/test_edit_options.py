"""What else could be chosen: every option is tried out, and gives what planning it gives."""

from typing import Any

import pytest
from choices import (
    FIELDS,
    OWN,
    SUBJECTS,
    changes,
    choices,
    corner,
    name,
    numbers,
    options,
    three_runs,
    tried,
)
from draws import examples, quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, obstacle, one_bar, part
from strategies import jobs

from pelmet.model.edit.options import Option, options_for
from pelmet.model.edit.options.option import whole
from pelmet.model.edit.options.runs import run_options
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.items import KINDS, Kind
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.crossings import SUITED, WORK
from pelmet.model.plan.ways.cable import laying_minutes

# --- Each option is what it says ------------------------------------------------------------------


def named(one: Option, kind: Kind, item_id: str) -> dict[tuple[str, str], str]:
    """Give the fields that a choice names, of which thing, and what they are to be."""
    what, _, value = one.choice.partition(": ")
    if kind == "supply":
        sits, _, cabinet = one.choice.rpartition(" ")
        return {(item_id, "place"): sits, (item_id, "cabinet"): cabinet}
    if kind != "run":
        return {(item_id, {"obstacle": "crossing", "leg": "wiring"}[kind]): one.choice}
    if what == "end clearance":
        return {("allowances", "end_clearance"): value.removesuffix(" mm")}
    return {(item_id, FIELDS[what]): value} if value else {}


@pytest.mark.parametrize(("job", "kind", "item_id"), SUBJECTS, ids=name)
def test_an_option_differs_from_what_is_in_what_it_names_and_nothing_else(job, kind, item_id):
    found = tried(job, kind, item_id)
    assert len({one.choice for one, _, _ in found}) == len(found)
    for one, changed, _ in found:
        Job.model_validate(changed.model_dump(by_alias=True))
        wanted = named(one, kind, item_id)
        assert changes(job, changed) <= wanted.keys()
        for (about, field), value in wanted.items():
            thing = changed.allowances if about == "allowances" else changed.find(kind, about)
            assert str(getattr(thing, field)) == value


@pytest.mark.parametrize(("job", "kind", "item_id"), SUBJECTS, ids=name)
def test_how_things_are_now_is_marked(job, kind, item_id):
    for one, changed, _ in tried(job, kind, item_id):
        assert one.taken == (changed == job), one.choice
    if kind != "obstacle":
        assert [one.taken for one in options(job, kind, item_id)].count(True) == 1


def test_a_crossing_is_taken_once_it_is_chosen():
    def taken(**how: str) -> list[str]:
        job = one_bar(add={"obstacles": [obstacle("O1", 900, 20, **how)]})
        return [one.choice for one in options(job, "obstacle", "O1") if one.taken]

    assert taken() == []
    assert taken(crossing="over") == ["over"]
    assert taken(crossing="none") == ["none"]


def of_run(plan: Plan, item_id: str) -> list[float]:
    (fit,) = [fit for fit in plan.fits if fit.run.id == item_id]
    lights = [light for light in plan.lights if light.run == item_id]
    return [
        float(sum(bar.lit.value for bar in fit.bars)),
        float(sum(bar.opening.clear.value for bar in fit.bars)),
        round(float(fit.bars[0].dark_left.value), 1),
        round(float(fit.bars[-1].dark_right.value), 1),
        *(round(float(band.across.value), 1) for band in fit.bands),
        *(
            round(min(float(getattr(light, name).value) for light in lights), places)
            for name, places in (("average", 0), ("least", 0), ("evenness", 2))
        ),
    ]


def of_obstacle(plan: Plan, item_id: str) -> list[float]:
    cables = plan.routes.cables
    metres = sum(float(cable.length.value) for cable in cables) / 1000
    every = [*plan.routes.links, *plan.routes.leads]
    shut = sum(one.length is None for one in every)
    return [*([shut] if shut else []), round(metres, 1), len(plan.holes)]


def of_supply(plan: Plan, item_id: str) -> list[float]:
    legs = [leg.id for leg in plan.job.legs if leg.supply == item_id]
    leads = [lead for leg in legs for lead in plan.routes.leads_of(leg)]
    return [round(laying_minutes(leads, plan.job.allowances))]


def of_leg(plan: Plan, item_id: str) -> list[float]:
    leads = plan.routes.leads_of(item_id)
    (circuit,) = [each for each in plan.circuits.legs if each.leg.id == item_id]
    ids = {lead.id for lead in leads}
    return [
        round(sum(float(lead.length.value) for lead in leads) / 1000, 1),
        len(leads),
        sum(not ids.isdisjoint(hole.cables) for hole in plan.holes),
        round(laying_minutes(leads, plan.job.allowances)),
        round(float(circuit.worst.value), 2),
    ]


PLANNED = {"run": of_run, "obstacle": of_obstacle, "supply": of_supply, "leg": of_leg}


@pytest.mark.cross_check
@pytest.mark.parametrize(("job", "kind", "item_id"), SUBJECTS, ids=name)
def test_the_figures_of_an_option_are_those_of_planning_it(job, kind, item_id):
    for one, _, plan in tried(job, kind, item_id):
        found = numbers(one.gives)
        if kind == "supply":
            found = found[2:]  # its points, and how many there could be
        assert found == pytest.approx(PLANNED[kind](plan, item_id), abs=0.051), one.choice


def test_a_users_own_parts_are_tried_too():
    mine = Catalogue.model_validate({"strips": [part("strips", "mine", cut_unit=10)]})
    found = {one.choice: one.gives for one in whole(run_options(one_bar(), mine, "R1"))}
    assert found["strip: mine"].startswith("lit 860 of 883 mm")
    assert "strip: mine" not in choices(one_bar(), "run", "R1")


# --- Runs -----------------------------------------------------------------------------------------


def lit(plan: Plan) -> list[tuple[Any, float]]:
    return [(bar.opening.clear.value, float(bar.lit.value)) for bar in plan.bars]


@pytest.mark.property
@examples(50)
@given(st.integers(150, 2900), st.sampled_from(bundled_catalogue().strips))
def test_a_finer_strip_never_lights_less_of_the_same_opening(width, strip):
    job = one_bar(A1={"width": width, "opening": [width]}, R1={"strip": strip.id})
    found = tried(job, "run", "R1")
    now = lit(found[0][2])
    for one, _, plan in found:
        if one.choice.startswith("strip: "):
            for (clear, before), (same, after) in zip(now, lit(plan), strict=True):
                assert clear == same
                assert after >= before


def test_only_strips_that_are_finer_fit_the_channel_and_have_the_same_volts_are_tried():
    strips = {strip.id: strip for strip in bundled_catalogue().strips}
    found = choices(one_bar(R1={"strip": "even-24-10"}), "run", "R1")
    finer = {one.removeprefix("strip: ") for one in found if one.startswith("strip: ")}
    assert finer == {
        own
        for own, strip in strips.items()
        if (strip.volts, strip.channels) == (24, 1) and strip.cut_unit < 100
    }
    slim = one_bar(R1={"strip": "even-24-10", "channel": "slim-12"})  # takes 8 mm
    assert [one for one in choices(slim, "run", "R1") if "strip" in one] == ["strip: line-24-10"]


def test_corners_and_over_length_are_for_runs_that_have_them():
    at = {"at the corner: second passes", "at the corner: mitre", "if too long: splice"}
    assert at <= set(choices(corner(), "run", "R1"))
    assert at.isdisjoint(choices(one_bar(), "run", "R1"))


@pytest.mark.parametrize(
    ("opening", "tighter"),
    [
        # Clearances, caps and zones take 21: what is left for units of 50 is 2 short of 900.
        # Common practice: clearances of 1 to 3 mm at each end.
        (919, "end clearance: 1 mm"),
        (920, "end clearance: 1.5 mm"),
        (918, None),
        (921, None),
    ],
)
def test_a_tighter_clearance_is_tried_where_it_makes_room_for_one_unit(opening, tighter):
    job = one_bar(A1={"width": opening, "opening": [opening]})
    found = {one.choice: one.gives for one in options(job, "run", "R1")}
    assert [one for one in found if one.startswith("end")] == ([tighter] if tighter else [])
    if tighter:
        assert found["as it is"].startswith(f"lit 850 of {opening} mm")
        assert found[tighter].startswith(f"lit 900 of {opening} mm")


# --- Obstacles ------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", sorted(SUITED))
def test_the_crossings_that_suit_are_tried_with_who_makes_them_and_when(kind):
    job = one_bar(add={"obstacles": [obstacle("O1", 900, 20, kind)]})
    found = options(job, "obstacle", "O1")
    assert [one.choice for one in found] == [*SUITED[kind], "none"]
    for one in found[:-1]:
        work = WORK[one.choice]
        assert work.who in one.reasons[0]
        assert work.when in one.reasons[0]
    assert "a leg of its own" in found[-1].reasons[0]


def test_what_shows_behind_an_open_hood_is_said():
    def behind(cover: str) -> tuple[str, ...]:
        job = one_bar(add={"obstacles": [obstacle("O1", 900, 20, "hood", cover=cover)]})
        (one,) = [one for one in options(job, "obstacle", "O1") if one.choice == "behind"]
        return one.reasons

    assert any("shows" in reason for reason in behind("open"))
    assert not any("shows" in reason for reason in behind("covered"))


def test_what_none_leaves_without_a_way_is_counted():
    found = {one.choice: one.gives for one in options(three_runs(), "obstacle", "O1")}
    assert "2 cables with no way" in found["none"]  # both runs beyond it
    assert "no way" not in found["over"]


# --- Nothing to choose, and no job that breaks it -------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "item_id"),
    [("room", "K"), ("wall", "A"), ("cabinet", "A1"), ("site", ""), ("allowances", ""),
     ("obstacle", "O1"), ("obstacle", "O2"), ("run", "no"), ("supply", "no"), ("leg", "no"),
     ("obstacle", "no")],
)  # fmt: skip
def test_there_is_nothing_to_choose_for_other_things(kind, item_id):
    things = [obstacle("O1", 900, 20, "socket"), obstacle("O2", 900, 20, "hob zone")]
    assert options_for(one_bar(add={"obstacles": things}), OWN, kind, item_id) == ()


@pytest.mark.property
@quick(40)
@given(jobs() | any_job())
def test_any_job_has_options_and_each_of_them_leaves_a_valid_job(job):
    for kind in KINDS:
        for thing in job.table(kind)[:2]:
            for one in options(job, kind, thing.id):
                assert one.choice.isprintable()
                if one.job is None:
                    assert (one.gives, one.taken) == ("refused", False)
                    assert one.reasons
                else:
                    Job.model_validate(one.job.model_dump(by_alias=True))
