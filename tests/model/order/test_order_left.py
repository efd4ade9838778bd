"""What is ordered once, and then built as it is listed, is neither too much nor too little."""

from decimal import Decimal

import pytest
from fed_rooms import FED
from histories import built, sent
from jobs import one_bar
from papers import folder

from pelmet.model.edit.building import note_built
from pelmet.model.edit.giving import note_order
from pelmet.model.examples import read_example
from pelmet.model.job.items import Status
from pelmet.model.job.job import Job
from pelmet.model.order.left import all_of, left_of, proving


def nothing_over(job: Job) -> None:
    found = folder(job)
    assert [line for line in found.lines if line.over] == []
    assert [each for each in found.plan.findings if each.code == "ordered-too-much"] == []


_ON_SITE: tuple[Status, ...] = ("mounted", "wired", "proved")
# A bar round an outside corner starts before its wall does: that is no place that can be noted.
SHAPES = sorted(set(FED) - {"run round 270 degrees"})


@pytest.mark.parametrize("shape", SHAPES)
def test_what_was_ordered_is_never_sent_back_for_building_it(shape):
    job = sent(FED[shape]())
    nothing_over(job)
    for run in job.runs:
        job = note_built(folder(job), [run.id], "cut")
        nothing_over(job)
    runs = [run.id for run in job.runs]
    for status in _ON_SITE:
        job = note_built(folder(job), runs, status)
        nothing_over(job)


def test_cable_by_the_metre_is_opened_by_its_first_length():
    ordered = sent(one_bar())
    stages: tuple[tuple[Status, bool], ...] = (("mounted", True), ("wired", False))
    for status, over in stages:
        job = note_built(folder(ordered), ["R1"], status)
        (leg,) = job.legs
        more = note_order(job, [(leg.cable, None, Decimal(7))])
        (line,) = [each for each in folder(more).lines if each.part == leg.cable]
        assert line.unit == "metre"
        assert (line.over > 0) is over


@pytest.mark.parametrize("shape", SHAPES)
def test_of_what_is_all_built_nothing_is_left(shape):
    job = built(FED[shape]())
    found = folder(job)
    left = left_of(found.plan, found.pieces)
    assert left.fitted == {each.id for each in job.supplies}
    assert not left.pieces
    assert not (left.bars | left.cables | left.holes | left.legs)
    assert found.change
    assert found.change.work == ()
    assert [line for line in found.lines if line.packs or line.over] == []


@pytest.mark.parametrize("name", ["kitchen", "kitchen-with-pantry"])
def test_of_what_is_not_built_all_is_left(name):
    job = sent(read_example(name))
    found = folder(job)
    assert left_of(found.plan, found.pieces) == all_of(found.plan, found.pieces)
    assert found.change
    assert found.change.work == found.work
    assert set(proving(found.plan).legs.values()) == {""}
