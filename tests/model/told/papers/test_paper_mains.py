"""The mains sheet against supplies, rules and questions of the region."""

import pytest
from jobs import ONE_BAR, UNANSWERED, built, one_bar
from papers import cautions, folder, grid, paper, said

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.rule_tables import colours
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.mains_sheet import DEFAULTS, mains_rows
from pelmet.model.told.paper import Blanks

KITCHEN = read_example("kitchen")
NASTY = "=1+1|<b> שלום"
SECOND = {**ONE_BAR["supplies"][0], "id": "S2"}


def answers(job: Job, item_id: str) -> dict[str, str]:
    rows = grid(paper(job, "mains"), "supply").rows
    return {what: text for own, what, text in rows if own == item_id and what}


def test_every_supply_has_all_that_is_known_of_its_mains_side():
    job = one_bar(add={"supplies": [SECOND]})
    plan = plan_job(job)
    rows = grid(paper(job, "mains"), "supply").rows
    assert {row[0] for row in rows} == {"S1", "S2"}
    for supply, budget in zip(job.supplies, plan.supplies, strict=True):
        own = [row[1:] for row in rows if row[0] == supply.id]
        assert own[0] == ("part", f"{supply.part}, in cabinet A1, Kitchen")
        assert own[1:] == list(mains_rows(supply, budget, plan))


def test_answers_stand_as_given_and_what_is_open_has_room_to_write():
    told = answers(one_bar(S1={"circuit": NASTY}), "S1")
    assert told["circuit"] == NASTY
    assert told["breaker"] == "B16"
    assert told["protection"] == "RCD 30 mA"
    told = answers(one_bar(S1=UNANSWERED), "S1")
    for what in ("connected", "circuit", "breaker", "protection", "isolator"):
        assert set(told[what]) == {"_"}


@pytest.mark.parametrize("region", ["eu", "uk", "us"])
def test_colours_are_those_of_the_region(region):
    rows = grid(paper(set_value(KITCHEN, "site", "", "region", region), "mains"), "circuit").rows
    wanted = [
        (each.circuit, each.conductor, each.colour, each.screw or "-") for each in colours(region)
    ]
    assert [row[:4] for row in rows] == wanted
    assert all(row[4] for row in rows)  # each with its source
    assert any(row[3] != "-" for row in rows) is (region == "us")


def test_what_the_licensed_person_is_asked_stands_until_it_is_answered():
    asked = [
        each.says
        for each in plan_job(KITCHEN).findings
        if each.level == "ask" and each.kind in ("supply", "leg")
    ]
    assert asked
    words = said(paper(KITCHEN, "mains"))
    assert all(text in words for text in asked)
    assert "Nothing is asked." in said(paper(one_bar(), "mains"))


def test_what_stops_on_the_mains_side_is_to_settle_too():
    walled = one_bar(S1={"place": "walled in"})
    stops = [each for each in plan_job(walled).findings if each.code == "supply-walled-in"]
    assert stops[0].says in said(paper(walled, "mains"))


def test_rules_put_aside_are_told_with_the_reason_and_who_said_so():
    rules = [{"id": "rule2", "rule": "class-2-watts", "limit": 90, "reason": NASTY, "by": "Dana"}]
    words = said(paper(one_bar(add={"overrides": rules}), "mains"))
    assert f"class-2-watts: limit 90, for {NASTY} (Dana)" in words
    assert "least-section-short: put aside, for flat flex, settled with them\n" in words
    bare = rebuilt(one_bar(), overrides=())
    assert "None." in said(paper(bare, "mains"))


def test_it_is_signed_with_a_line_for_each_serial_number():
    found = paper(one_bar(add={"supplies": [SECOND]}), "mains")
    labels = [label for each in found.blocks if isinstance(each, Blanks) for label in each.labels]
    assert labels[:2] == ["Electrician", "Licence or registration no."]
    assert labels[-2:] == ["Serial number of S1", "Serial number of S2"]


def test_cautions_are_those_the_job_calls_for():
    one = cautions(paper(one_bar(), "mains"))
    assert "prove dead" in one
    assert "outputs of two supplies" not in one
    assert "within reach: S1." in one
    assert "outputs of two supplies" in cautions(
        paper(one_bar(add={"supplies": [SECOND]}), "mains")
    )
    free = one_bar(S1={"place": "elsewhere", "cabinet": None})
    assert "within reach" not in cautions(paper(free, "mains"))


def test_defaults_are_explained_only_where_there_is_one():
    assert DEFAULTS not in said(paper(KITCHEN, "mains"))
    known = folder(one_bar()).plan.parts.supplies
    own = next(each for each in known if each.id == "supply-24-60")
    silent = own.model_copy(update={"efficiency": None})
    catalogue = one_bar().catalogue.model_copy(update={"supplies": (silent,)})
    assert DEFAULTS in said(paper(rebuilt(one_bar(), catalogue=catalogue), "mains"))


def test_without_a_supply_there_is_no_mains_work():
    words = said(paper(built(ONE_BAR, drop=["S1", "L1", "R1"]), "mains"))
    assert words == "There is no supply, so there is no mains work."
