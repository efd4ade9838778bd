"""The approval against the plan by a second way: lengths, light, looks, switching and options."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from jobs import ONE_BAR, QUICK, any_job, built, obstacle, one_bar, part, row
from papers import cautions, folder, grid, said

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Offer
from pelmet.model.measure.lengths import parse_length
from pelmet.model.told.paper import Blanks, Paper, Picture
from pelmet.model.told.papers.sheets import paper_of

KITCHEN = read_example("kitchen")
NASTY = "=1+1|<b> שלום"


def approval(job: Job) -> Paper:
    return paper_of(folder(job), "approval")


def lengths(cell: str, unit: Any = "mm") -> list[float]:
    return [float(parse_length(each.lstrip("~"), unit)) for each in cell.split(", ")]


@pytest.mark.cross_check
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_lit_and_dark_add_up_to_what_the_bars_take_of_their_wall(unit):
    """Whole cut units are lit; ends, and bands between bars, make up the rest of the way."""
    job = rebuilt(KITCHEN, site=KITCHEN.site.model_copy(update={"length_unit": unit}))
    found = folder(job)
    plan = found.plan
    rows = {each[0]: each for each in grid(paper_of(found, "approval"), "run").rows}
    assert list(rows) == [fit.run.id for fit in plan.fits]
    near = 1.0 if unit == "mm" else 1.6  # rounded to 1 mm, or to 1/16 inch
    for fit in plan.fits:
        _, under, bars, lit, dark, _ = rows[fit.run.id]
        assert under.split() == list(fit.run.cabinets)
        assert int(bars) == len(fit.bars)
        unit_of = next(each for each in plan.parts.strips if each.id == fit.run.strip).cut_unit
        units = sum(int(bar.units.value) for bar in fit.bars)
        assert lengths(lit, unit) == pytest.approx([float(units * unit_of)], abs=near)
        assert len(lengths(dark, unit)) == len(fit.bars) + 1
        whole = float(fit.bars[-1].right - fit.bars[0].left)
        parts = lengths(lit, unit) + lengths(dark, unit)
        assert sum(parts) == pytest.approx(whole, abs=near * len(parts))


@pytest.mark.parametrize(("lux", "so"), [(100, "enough"), (900, "less than wanted")])
def test_light_is_weighed_against_what_is_wanted(lux, so):
    job = one_bar(allowances={"worktop_lux": lux})
    (light,) = folder(job).plan.lights
    (cells,) = grid(approval(job), "run", 1).rows
    assert cells[:2] == ("R1", "A")
    shown = [float(cells[2]), float(cells[4]), float(cells[5])]
    assert shown == pytest.approx(
        [float(light.average.value), float(light.least.value), lux], abs=0.51
    )
    assert cells[7].split(", ")[0] == so
    assert float(cells[6]) == pytest.approx(
        float(light.least.value) / float(light.average.value), abs=0.006
    )


def test_light_that_is_uneven_or_assumed_says_so():
    narrow = row(300, 300, gap=1200, K={"work": "preparation"})
    assert ", uneven" in grid(approval(narrow), "run", 1).rows[0][7]
    (cells,) = grid(approval(one_bar(A1={"assumed": ["opening"]})), "run", 1).rows
    assert cells[7].endswith(", assumed")
    assert "assumed" not in grid(approval(one_bar()), "run", 1).rows[0][7]


def test_a_run_cut_from_an_assumed_reading_is_marked_and_minded():
    job = one_bar(A1={"assumed": ["opening"]})
    assert grid(approval(job), "run").rows[0][-1] == "R1.1"
    assert "assumed" in cautions(approval(job))
    assert grid(approval(one_bar()), "run").rows[0][-1] == "-"
    assert "assumed" not in cautions(approval(one_bar()))


def test_dots_and_the_image_are_told_in_plain_words_by_cover_and_top():
    clear = one_bar(R1={"diffuser": "clear-17"})
    assert "R1: the cover is clear: each point of light shows, " in said(approval(clear))
    none = one_bar(parts={"strips": [part("strips", "line", pitch=0)]}, R1={"strip": "line"})
    assert "R1: one even line, without dots." in said(approval(none))
    dense = one_bar(parts={"strips": [part("strips", "dense", pitch=2)]}, R1={"strip": "dense"})
    assert "R1: no points of light show through the cover, " in said(approval(dense))
    assert "R1: points of light show through the cover, " in said(approval(one_bar()))
    for finish, words in (
        ("matt", "the matt top shows no image of it"),
        ("satin", "a soft gleam of it lies on the satin top"),
        ("polished", "the polished top mirrors it"),
    ):
        assert f"R1: {words}" in said(approval(one_bar(K={"worktop_finish": finish})))


def test_sight_from_a_seat_is_told_where_there_is_one():
    side = {"obstacles": [obstacle("O1", 3000, 0, "open side")]}
    assert "seat" not in said(approval(one_bar()))
    assert "cannot be seen from a seat across O1" in said(approval(one_bar(add=side)))
    bare = one_bar(add=side, A1={"lip": 0, "depth": 320}, R1={"line": "front"})
    assert "can be looked into from a seat across O1" in said(approval(bare))


def test_runs_that_look_the_same_stand_together_with_their_white():
    words = said(approval(KITCHEN))
    assert "R1: the polished top mirrors it, 510 mm from the wall, 10.8 times as bright" in words
    assert "R1 R2 R3: points of light show through the cover, " in words
    assert "R1 R2 R3: 3000 K, warm white; Ra 90" in words
    assert "R4: 3000 K, warm white; Ra 92" in words


def test_how_it_is_switched_and_dimmed():
    assert "all of it (R1): switched by the mains switch, not dimmed." in said(approval(one_bar()))
    assert "Dimmed light looks" not in said(approval(one_bar()))
    job = built(
        {**ONE_BAR, "zones": [{"id": "zone1", "name": NASTY, "switch": "wall-switch"}]},
        L1={"zone": "zone1", "dimmer": "dimmer-5"},
    )
    words = said(approval(job))
    dimmer = next(each.name for each in folder(job).plan.parts.dimmers)
    assert f"{NASTY} (R1): switched by " in words
    assert f"dimmed by {dimmer}." in words
    assert "25 % like 50 %" in words  # the square law: the root of a quarter is a half
    assert "by your own dimmer" in cautions(approval(job))
    assert "by your own dimmer" not in cautions(approval(one_bar()))
    before = one_bar(S1={"dimmer": "mains-dimmer-150"})
    assert "dimmed by" in said(approval(before))


@pytest.mark.cross_check
def test_options_stand_beside_the_plan_and_differ_by_the_price_of_the_whole_other_job():
    found = folder(KITCHEN)
    rows = grid(paper_of(found, "approval"), "option").rows
    assert [each[0] for each in rows] == ["as planned", *(one.name for one in KITCHEN.offers)]
    words = said(paper_of(found, "approval"))
    for offer, cells in zip(KITCHEN.offers, rows[1:], strict=True):
        other = KITCHEN
        for run in KITCHEN.runs:
            other = set_value(other, "run", run.id, "strip", offer.strip)
        priced = folder(other).quote.total
        assert Decimal(cells[4].removesuffix(" EUR").replace(" ", "")) == priced
        off = abs(priced - found.quote.total)
        side = "more" if priced > found.quote.total else "less"
        assert f"{offer.name}: strip " in words
        assert f"; {off} EUR {side}" in words


def test_an_option_is_told_by_all_that_it_changes():
    offers = (
        Offer(id="option1", name=NASTY, line="back", facing="60 to wall", diffuser="satin-17"),
        Offer(id="option2", name="The same"),
    )
    words = said(approval(rebuilt(one_bar(), offers=offers)))
    assert f"{NASTY}: cover " in words
    assert "at the back of the cabinets, throws 60 to wall; " in words
    assert "The same: nothing else; at the same price" in words
    assert "No other option is offered." in said(approval(one_bar()))


def test_it_has_a_plan_to_scale_what_is_not_in_it_and_lines_to_sign():
    found = approval(KITCHEN)
    (picture,) = [each for each in found.blocks if isinstance(each, Picture)]
    assert max(map(len, picture.rows)) <= 110
    assert any("1000 mm" in line for line in picture.rows)
    assert "Mains work: a licensed electrician's, quoted apart." in said(found)
    (lines,) = [each for each in found.blocks if isinstance(each, Blanks)]
    assert lines.labels == ("Option chosen", "Approved by", "Date")


def test_nothing_planned_is_nothing_to_approve():
    assert said(approval(Job())) == "There is nothing to approve yet: no bar is planned."


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_run_with_a_bar_is_in_it_once(job):
    found = folder(job)
    plan = found.plan
    if plan.bars:
        rows = grid(paper_of(found, "approval"), "run").rows
        assert [each[0] for each in rows] == [fit.run.id for fit in plan.fits if fit.bars]
