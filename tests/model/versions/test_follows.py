"""What follows from a change is just what the two versions' own papers and data tell otherwise."""

import pytest
from draws import quick
from hypothesis import given
from jobs import any_job
from papers import folder

from pelmet.model.edit.change import set_value
from pelmet.model.edit.giving import give_out
from pelmet.model.examples import read_example
from pelmet.model.job.paperwork import PAPER_NAMES
from pelmet.model.told.data.documents import show_data
from pelmet.model.told.formats.text import ascii_lines
from pelmet.model.told.papers.sheets import mark_of, void_papers
from pelmet.model.versions.follows import what_follows
from pelmet.model.versions.said import differences
from pelmet.model.versions.telling import SAME, diff_blocks, diff_data


def test_a_wider_cabinet_moves_its_bar_its_price_and_the_papers_that_people_hold():
    old = read_example("kitchen")
    held = folder(old)
    old = give_out(old, {name: mark_of(held, name) for name in PAPER_NAMES})
    new = set_value(old, "cabinet", "A1", "opening", (500,))
    follows = what_follows(folder(old), folder(new))
    assert set(follows.void) == set(void_papers(folder(new)))
    assert not what_follows(folder(new), folder(new)).void  # those held no more before
    told = {(each.group, each.about, each.says): (each.before, each.after) for each in
            follows.values}  # fmt: skip
    bars = {about for group, about, _ in told if group == "bars"}
    assert bars == {"R1.1"}
    assert ("price", "", "total") in told
    assert "cut-list" in follows.void


@pytest.mark.property
@quick(15)
@given(any_job())
def test_from_no_change_nothing_follows(job):
    one = folder(job)
    follows = what_follows(one, one)
    assert not any(follows)
    (words,) = diff_blocks(differences(job, job), follows)
    assert words.text == SAME
    assert diff_data((), follows)["same"]


@pytest.mark.cross_check
@quick(25)
@given(any_job(), any_job())
def test_bars_and_loads_are_those_that_both_tell_as_data(one, other):
    """Read them once more out of what ``show --json`` says of each."""
    old, new = folder(one), folder(other)
    before, after = (show_data(each.plan) for each in (old, new))

    def bars(data):
        return {bar["id"]: (bar["length_mm"], bar["lit_mm"]) for bar in data["bars"]}

    changed = {
        name
        for name in {*bars(before), *bars(after)}
        if bars(before).get(name) != bars(after).get(name)
    }
    follows = what_follows(old, new)
    assert {each.about for each in follows.values if each.group == "bars"} == changed
    legs = {leg["id"]: leg["worst_volts"] for leg in after["legs"]}
    for each in follows.values:
        if each.group == "power" and each.says == "lowest" and each.after:
            assert each.after == f"{legs[each.about]:.2f} V"


@pytest.mark.snapshot
def test_the_example_with_its_pantry_beside_the_one_without(snapshot):
    old, new = read_example("kitchen"), read_example("kitchen-with-pantry")
    blocks = diff_blocks(differences(old, new), what_follows(folder(old), folder(new)))
    assert "\n".join(line for block in blocks for line in (*ascii_lines(block), "")) == snapshot
