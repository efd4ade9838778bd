"""What the order finds: each fires with its place, and keeps still where there is nothing."""

from decimal import Decimal

import pytest
from jobs import one_bar, part

from pelmet.model.edit.change import rebuilt
from pelmet.model.edit.giving import give_out, note_order
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import OffCut
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job


def _of_order(job: Job) -> tuple[Finding, ...]:
    """Give what the order adds to the findings of a plan."""
    plan = plan_job(job)
    return tuple(each for each in make_folder(plan).plan.findings if each not in plan.findings)


def codes(job: Job) -> dict[str, tuple[str, str, str]]:
    return {each.code: (each.level, each.kind, each.about)
            for each in _of_order(job)}  # fmt: skip


def test_a_sound_job_and_the_examples_have_nothing():
    for job in (one_bar(), read_example("kitchen"), read_example("kitchen-with-pantry"), Job()):
        assert codes(job) == {}


@pytest.mark.parametrize(
    ("own", "field", "level"),
    [
        ({"channels": [part("channels", "mine", stock=[884], price=1)]}, "channel", "stop"),
        ({"diffusers": [part("diffusers", "mine", stock=[860], price=1)]}, "diffuser", "stop"),
        ({"strips": [part("strips", "mine", reel=800, price=1)]}, "strip", "stop"),
    ],
)
def test_a_stock_shorter_than_a_bar_is_a_stop(own, field, level):
    """875 of channel and 5 trimmed at each end want 885; the diffuser is a little shorter."""
    found = codes(one_bar(R1={field: "mine"}, parts=own))
    assert found["stock-short"] == (level, "run", "R1")
    longer = {kind: [{**rows[0], "stock": [885]}] if field != "strip" else
              [{**rows[0], "reel": 1500}] for kind, rows in own.items()}  # fmt: skip
    assert "stock-short" not in codes(one_bar(R1={field: "mine"}, parts=longer))


def test_a_piece_drawn_twice_is_a_stop():
    twice = tuple(
        OffCut(id=f"piece{at}", piece="c7", part="surface-17", length=Decimal(900)) for at in (1, 2)
    )
    assert codes(rebuilt(one_bar(), offcuts=twice))["piece-drawn-twice"] == (
        "stop", "offcut", "piece1",
    )  # fmt: skip
    assert "piece-drawn-twice" not in codes(rebuilt(one_bar(), offcuts=twice[:1]))


def test_what_nothing_serves_is_told():
    wide = one_bar(L1={"cable": "thick"}, parts={"cables": [part("cables", "thick", outside=40)]})
    job = read_example("kitchen")
    legs = tuple(leg.model_copy(update={"cable": "thick"}) for leg in job.legs)
    thick = rebuilt(job, legs=legs, catalogue=wide.catalogue)
    assert codes(thick)["nothing-serves"][:2] == ("warn", "run")


def test_papers_are_noted_once_as_long_as_they_stay_the_same():
    job = give_out(Job(), {"order": "0" * 16, "wiring": "1" * 16})
    assert [(each.id, each.paper, each.revision) for each in job.given] == [
        ("given1", "order", 0),
        ("given2", "wiring", 0),
    ]
    assert give_out(job, {"order": "0" * 16}) == job
    again = give_out(job, {"order": "2" * 16})
    assert [each.paper for each in again.given] == ["order", "wiring", "order"]


def test_an_order_is_noted_line_by_line():
    job = note_order(Job(), [("cap-17", None, Decimal(4)), ("x", Decimal(2000), Decimal(1))])
    assert [(each.id, each.part, each.length, each.amount) for each in job.ordered] == [
        ("order1", "cap-17", None, 4),
        ("order2", "x", 2000, 1),
    ]
