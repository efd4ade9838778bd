"""How long a kitchen takes: against the trade's own figure, and each kind of time by itself."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, row
from papers import folder, paper, said

from pelmet.model.job.job import Job
from pelmet.model.order.folder import Folder
from pelmet.model.order.labour import minutes_of


def minutes(found: Folder, task: str) -> Decimal:
    own = [each for each in found.work if each.task.id == task]
    return sum((each.minutes for each in own), Decimal(0))


def on_site(found: Folder) -> Decimal:
    """Give the hours of one fitter on site, low-voltage side [h]."""
    own = [each for each in found.work if each.visit == "second fix"]
    return minutes_of(own, "fitter") / 60


def kitchen(bars: int, underside: str, wiring: str) -> Job:
    """So many cabinets in a row, each or two and two with a bar; the supply in the first."""
    widths = [600] * (bars if underside == "framed" else 2 * bars)
    job = row(*widths, underside="framed", L1={"wiring": wiring})
    if underside == "framed":
        return job
    # Pairs of flush cabinets, 20 apart from the next pair.
    flush = tuple(
        each.model_copy(update={"underside": "flush", "at": each.at + 20 * (place // 2)})
        for place, each in enumerate(job.cabinets)
    )
    return job.model_copy(update={"cabinets": flush})


@pytest.mark.published
@pytest.mark.parametrize("bars", [4, 5, 6])
@pytest.mark.parametrize("underside", ["framed", "flush"])
def test_four_to_six_ready_made_bars_take_one_fitter_two_to_three_hours_on_site(bars, underside):
    """Common practice: the low-voltage side, nothing in walls; bench, survey and travel apart."""
    found = folder(kitchen(bars, underside, "branched"))
    assert len(found.plan.bars) == bars
    assert not any(
        way.kind == "in wall" for cable in found.plan.routes.cables for way in cable.ways
    )
    assert Decimal("1.75") <= on_site(found) <= Decimal("3.1")  # about two to three


@pytest.mark.regression
def test_each_opening_is_measured_once_however_many_bars_are_made_of_it():
    def measured(job: Job) -> Decimal:
        found = folder(job)
        return next(each.amount for each in found.work if each.task.id == "measure-opening")

    assert measured(one_bar()) == measured(one_bar(R1={"pieces": 3})) == 1
    # One bar past three flush cabinets: three openings are read.
    assert len(folder(row(600, 600, 600, underside="flush")).plan.bars) == 1
    assert measured(row(600, 600, 600, underside="flush")) == 3


@pytest.mark.property
@QUICK
@given(any_job())
def test_the_quote_tells_every_kind_of_hours_apart_and_they_add_up(job):
    found = folder(job)
    if not found.plan.bars:
        return
    (told,) = re.findall(r"Hours, of all people: (.*)\. They are", said(paper(job, "quote")))
    apart = re.findall(r"([a-z ]+?) ([\d.]+) h", told)
    assert len(apart) == len({name for name, _ in apart})
    whole = sum((each.minutes for each in found.work), Decimal(0)) / 60
    assert abs(sum(Decimal(hours) for _, hours in apart) - whole) <= Decimal("0.05") * len(apart)
    assert minutes(found, "travel") == 30 * sum(name.strip() in ("first fix", "second fix")
                                               for name, _ in apart)  # fmt: skip
