"""The user sheet against the plan: switches, watts left, where supplies are, whom to call."""

from decimal import Decimal
from math import floor

import pytest
from hypothesis import given
from jobs import ONE_BAR, QUICK, any_job, built, one_bar, part
from papers import cautions, folder, grid, paper, said

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook, bundled_prices, overlay_prices
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Blanks
from pelmet.model.told.papers.sheets import paper_of

PANTRY = read_example("kitchen-with-pantry")
NASTY = "=1+1|<b> שלום"


def test_light_that_is_in_no_zone_hangs_on_the_mains_switch():
    (row,) = grid(paper(PANTRY, "user"), "switched together").rows
    assert row == ("all of it", "the mains switch", "R1 R2 R3 R4 R5", "not dimmed")


def test_zones_come_first_and_the_rest_after_them():
    zoned = built(
        {**ONE_BAR, "zones": [{"id": "zone1", "name": NASTY, "switch": "motion-sensor-4"}]},
        L1={"zone": "zone1", "dimmer": "dimmer-5"},
        add={"runs": [{"id": "R2", "cabinets": ["A1"], "line": "back", "leg": "L2"}],
             "legs": [{"id": "L2", "supply": "S1"}]},
    )  # fmt: skip
    parts = folder(zoned).plan.parts
    sensor = next(each.name for each in parts.switches if each.id == "motion-sensor-4")
    dimmer = next(each.name for each in parts.dimmers if each.id == "dimmer-5")
    assert grid(paper(zoned, "user"), "switched together").rows == (
        (NASTY, sensor, "R1", dimmer),
        ("all other light", "the mains switch", "R2", "not dimmed"),
    )


def test_a_dimmer_before_the_supply_is_named_as_well():
    (row,) = grid(
        paper(one_bar(S1={"dimmer": "mains-dimmer-150"}), "user"), "switched together"
    ).rows
    assert row[3] != "not dimmed"
    (row,) = grid(paper(one_bar(S1={"dimmer": "no-such"}), "user"), "switched together").rows
    assert row[3] == "no-such"


@pytest.mark.cross_check
@pytest.mark.property
@QUICK
@given(any_job())
def test_no_supply_is_said_to_have_more_left_than_it_has(job):
    found = folder(job)
    words = said(paper_of(found, "user"))
    if not found.plan.bars:
        assert words == "There is no light yet."
        return
    for budget in found.plan.supplies:
        left = None if budget.left is None else float(budget.left.value)
        if left is None:
            assert f"Supply {budget.supply}: what it has left is not known" in words
        elif left < 1:
            assert f"Supply {budget.supply} is full" in words
        else:
            assert f"Supply {budget.supply} has {floor(left)} W left" in words


def test_watts_left_are_whole_and_rounded_down_and_less_than_one_is_none():
    left = float(folder(PANTRY).plan.supplies[0].left.value)
    assert left % 1 > 0.4
    assert f"Supply S1 has {floor(left)} W left" in said(paper(PANTRY, "user"))
    tight = {"supplies": [part("supplies", "tight", watts=Decimal(12))]}
    job = one_bar(S1={"part": "tight"}, parts=tight)
    assert 0 < float(folder(job).plan.supplies[0].left.value) < 1
    assert "Supply S1 is full: add no light to it." in said(paper(job, "user"))


def test_watts_left_of_an_assumed_length_are_assumed():
    assert " W left (assumed)." in said(paper(one_bar(A1={"assumed": ["opening"]}), "user"))
    assert " W left." in said(paper(one_bar(), "user"))


def test_where_supplies_are_and_where_they_are_switched_off():
    words = said(paper(one_bar(S1={"isolator": NASTY}), "user"))
    assert f"Supply S1: in cabinet A1, Kitchen; switched off at: {NASTY}" in words
    assert "switched off at: ____" in said(paper(one_bar(S1={"isolator": ""}), "user"))


def test_who_is_called_stands_by_name_or_has_room_for_one():
    job = set_value(one_bar(), "site", "", "electrician", NASTY)
    job = set_value(job, "site", "", "reference", "77|8")
    book = overlay_prices(bundled_prices(), PriceBook(from_name="A & B"))
    named = paper_of(make_folder(plan_job(job), book), "user")
    assert not any(isinstance(each, Blanks) for each in named.blocks)
    words = said(named)
    for text in ("Light: A & B", f"Mains: {NASTY}", "Tell them the reference: 77|8"):
        assert text in words
    blank = [each for each in paper(one_bar(), "user").blocks if isinstance(each, Blanks)]
    assert blank == [Blanks(("Light", "Mains"))]


def test_how_it_is_kept_and_the_spare_strip_only_if_there_is_one():
    assert "not for you to change" in said(paper(one_bar(), "user"))
    assert "soft damp cloth" in said(paper(one_bar(), "user"))
    assert "Keep the spare piece of White strip" in said(paper(one_bar(), "user"))
    none = one_bar(allowances={"strip_spare": 0})
    assert "spare piece" not in said(paper(none, "user"))


def test_cautions_go_with_what_is_there():
    assert "isolator" in cautions(paper(one_bar(), "user"))
    bare = built(ONE_BAR, drop=["S1", "L1"], R1={"leg": None})
    assert "isolator" not in cautions(paper(bare, "user"))
    assert "bare strip" in cautions(paper(bare, "user"))
    assert "Nothing is fed yet." in said(paper(bare, "user"))
    assert cautions(paper(Job(), "user")) == ""
