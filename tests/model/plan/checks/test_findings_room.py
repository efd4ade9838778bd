"""Room for supplies: a check that fires, one that only just does not, and what obeys it."""

from decimal import Decimal
from itertools import permutations
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, built, one_bar, part, row
from rooms import SHAPES

from pelmet.model.edit.options.places import place_options
from pelmet.model.edit.propose import propose_power, propose_runs
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.plan.checks import room
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.survey.space import Space, goes_in

D = Decimal


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in room.CHECKS for finding in check(plan)]


def boxed(size: list[Any], air: int | None = 10, **how: Any) -> Job:
    """The one bar with a supply of this size; A1 is 847 x 320 x 688 inside."""
    own = part("supplies", "mine", size=size, air=air)
    supply = {"part": "mine", **how.pop("S1", {})}
    return one_bar(S1=supply, parts={"supplies": [own], **how.pop("parts", {})}, **how)


def on_shelf(high: int, place: str = "in cabinet") -> Job:
    return one_bar(A1={"kind": "shelf", "height": high}, S1={"place": place})


CASES = (
    # 60 W: 170 x 55 x 35 mm and 20 mm of air on every side.
    Case("no-room", "stop", "supply", "S1", "place", on_shelf(25),
         on_shelf(25, "on top of cabinet"),
         ("210 x 95 x 75 mm with air", "in cabinet A1 has 883 x 320 x 25 mm")),
    Case("no-room", "stop", "supply", "S1", "place",
         one_bar(S1={"place": "elsewhere", "space": [60, 320, 700]}),
         one_bar(S1={"place": "elsewhere", "space": [75, 320, 700]}), ("where S1 sits",)),
    Case("no-room", "stop", "supply", "S1", "place", one_bar(A1={"width": 110}),
         one_bar(A1={"width": 111})),
    Case("no-room", "stop", "supply", "S1", "place",
         one_bar(S1={"place": "in plinth"}, allowances={"plinth_height": 74}),
         one_bar(S1={"place": "in plinth"}, allowances={"plinth_height": 75})),
    # Whichever way it lies: its longest side goes along the longest of the place.
    Case("no-room", "stop", "supply", "S1", "place", boxed([828, 30, 30]), boxed([30, 827, 30])),
    Case("no-room", "stop", "supply", "S1", "place", boxed([301, 301, 669]),
         boxed([300, 301, 669])),
    Case("no-room", "stop", "supply", "S1", "place", boxed([827, 300, 669], air=10),
         boxed([847, 320, 688], air=0)),
    # A dimmer sits beside it.
    Case("no-room", "stop", "supply", "S1", "place",
         one_bar(L1={"dimmer": "wide"}, parts={"dimmers": [part("dimmers", "wide",
                                                                size=[900, 20, 20])]}),
         one_bar(L1={"dimmer": "wide"}, parts={"dimmers": [part("dimmers", "wide",
                                                                size=[800, 20, 20])]}),
         ("wide, 900 x 20 x 20 mm",)),
    Case("no-room", "stop", "supply", "S1", "place",
         boxed([400, 300, 600], L1={"dimmer": "wide"},
               parts={"dimmers": [part("dimmers", "wide", size=[510, 300, 600], air=10)]}),
         boxed([400, 300, 600], L1={"dimmer": "wide"},
               parts={"dimmers": [part("dimmers", "wide", size=[480, 300, 600], air=10)]}),
         ("together",)),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_there_is_only_just_room(case):
    assert_silent(found, case)


SIDE = st.integers(10, 400)


@pytest.mark.cross_check
@given(st.tuples(SIDE, SIDE, SIDE), st.tuples(SIDE, SIDE, SIDE), st.integers(0, 30))
def test_a_box_goes_in_if_it_does_one_of_the_six_ways_it_can_lie(size, sides, air):
    box = SupplyPart.model_validate(part("supplies", "mine", size=list(size), air=air))
    by_hand = any(
        all(side + 2 * air <= clear for side, clear in zip(lying, sides, strict=True))
        for lying in permutations(size)
    )
    space = Space("here", (D(sides[0]), D(sides[1]), D(sides[2])))
    assert goes_in(box, space, Allowances()) is by_hand


@pytest.mark.regression
def test_what_is_not_known_has_room_and_what_is_fitted_stays():
    assert found(one_bar(S1={"part": "mine"}, parts={"supplies": [part("supplies", "mine")]},
                         A1={"width": 50})) == []  # fmt: skip
    fitted = {"id": "fitted1", "supply": "S1", "part": "supply-24-60", "place": "in cabinet",
              "cabinet": "A1"}  # fmt: skip
    job = on_shelf(25)
    assert found(job)
    assert found(Job.model_validate(job.model_dump(by_alias=True) | {"fitted": [fitted]})) == []


def narrow_and_boards() -> Job:
    """A narrow cabinet, shelves, and one that a supply goes into."""
    return row(110, 300, 600, R1={"feed_end": "right"}, A2={"kind": "shelf", "height": 25})


@pytest.mark.regression
@pytest.mark.parametrize("part_id", ["supply-24-30", "supply-24-60", "supply-24-96"])
def test_the_places_that_are_offered_have_room(part_id):
    job = narrow_and_boards()
    job = job.model_copy(update={
        "supplies": (job.supplies[0].model_copy(update={"part": part_id}),)
    })  # fmt: skip
    *_, last = place_options(job, Catalogue(), "S1")
    taken = [each for each in last if each.job]
    assert taken
    assert [found(each.job) for each in taken if each.job] == [[]] * len(taken)
    refused = {each.choice for each in last if each.job is None and "no room" in each.reasons[0]}
    assert "in cabinet A2" in refused


@pytest.mark.property
@pytest.mark.parametrize("shape", SHAPES)
def test_what_is_proposed_has_room(shape):
    job = SHAPES[shape]()
    bare = job.model_copy(update={
        "supplies": (), "legs": (), "zones": (),
        "runs": tuple(run.model_copy(update={"leg": None, "far_leg": None}) for run in job.runs),
    })  # fmt: skip
    assert found(propose_power(bare, bundled_catalogue())) == []


@pytest.mark.property
@QUICK
@given(st.lists(st.tuples(st.sampled_from([60, 120, 300, 600]), st.booleans()), min_size=1,
                max_size=5))  # fmt: skip
def test_whatever_stands_there_what_is_proposed_has_room_if_anything_has(things):
    at, cabinets = 0, []
    for number, (width, board) in enumerate(things, 1):
        own = {"kind": "shelf", "height": 25} if board else {}
        cabinets.append({"id": f"A{number}", "wall": "A", "at": at, "width": width, "depth": 320,
                         "bottom_height": 1400, **own})  # fmt: skip
        at += width
    job = built({"rooms": [{"id": "K", "name": "Invented"}],
                 "walls": [{"id": "A", "room": "K", "length": 4000}],
                 "cabinets": cabinets})  # fmt: skip
    proposed = propose_power(propose_runs(job), bundled_catalogue())
    roomy = any(width >= 300 for width, _ in things)
    assert not roomy or found(proposed) == []
