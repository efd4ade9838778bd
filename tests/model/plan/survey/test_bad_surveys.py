"""Surveys that cannot be right: each is told, with a place and a remedy, and drawn all the same."""

from typing import Any, NamedTuple

import pytest
from drawn import check_form, picture
from draws import quick
from hypothesis import given
from jobs import Fields, any_job, built, obstacle, one_bar, row
from strategies import jobs, without_names

from pelmet.model.job.job import MODELS, Job
from pelmet.model.plan.finding import LEVELS, Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.drawings.drawing import Drawing
from pelmet.model.told.drawings.elevation.view import elevations
from pelmet.model.told.drawings.plan.view import plan_view
from pelmet.model.told.drawings.section.view import sections

DRAW = {"plan": plan_view, "elevations": elevations, "sections": sections}
SIZES = ((80, None), (80, 20), (34, 12))


def cabinet(item_id: str, at: float, width: float = 600, **more: Any) -> Fields:
    return {"id": item_id, "wall": item_id[0], "at": at, "width": width, "depth": 320,
            "bottom_height": 1400, **more}  # fmt: skip


def upright(item_id: str, at: float, **more: Any) -> Fields:
    return cabinet(item_id, at, 18, kind="upright", depth=560, **more) | {
        "bottom_height": 80, "height": 2200,
    }  # fmt: skip


def shelf(item_id: str, at: float, width: float, **more: Any) -> Fields:
    return cabinet(item_id, at, width, kind="shelf", height=25, **more)


def round_room(*things: Fields, cabinets: tuple[Fields, ...], **how: Any) -> Job:
    """Three walls of 3 m round a room, a run under all these cabinets, the supply in the first."""
    names = [each["id"] for each in cabinets]
    return built(
        {
            "rooms": [{"id": "K", "name": "Invented room"}],
            "walls": [{"id": wall, "room": "K", "length": 3000} for wall in "ABC"],
            "cabinets": cabinets,
            "obstacles": things,
            "runs": [{"id": "R1", "cabinets": names, "leg": "L1"}],
            "supplies": [{"id": "S1", "cabinet": names[0]}],
            "legs": [{"id": "L1", "supply": "S1"}],
        },
        **how,
    )


def every_kind_shut() -> Job:
    """Four cabinets on each of three walls, something that is never passed after every one."""
    kinds = ("stile", "partition", "hood", "window", "corner", "pipe", "fridge gap")
    cabinets = tuple(cabinet(f"{wall}{n}", 700 * n) for wall in "ABC" for n in range(4))
    things = [
        obstacle(f"O{row}", each["at"] + 600, 100, kinds[row % 7], crossing="none")
        | {"wall": each["wall"]}
        for row, each in enumerate(cabinets)
    ]
    return round_room(*things, cabinets=cabinets)


def zero_wide() -> Job:
    """Things of no width: in a cabinet, at its sides, where two meet, and two in one place."""
    places = (500, 800, 800, 1100, 1400, 1700)
    kinds = ("stile", "partition", "pipe", "stile", "hood", "window")
    things = [
        obstacle(f"O{n}", at, 0, kind)
        for n, (at, kind) in enumerate(zip(places, kinds, strict=True), 1)
    ]
    return row(600, 600, underside="flush", add={"obstacles": things})


class Bad(NamedTuple):
    """A survey, and codes of findings it must have with what they are about."""

    job: Job
    told: frozenset[tuple[str, str]]


def bad(job: Job, *told: tuple[str, str]) -> Bad:
    return Bad(job, frozenset(told))


BAD = {
    "cabinets overlap": bad(row(600, 600, gap=-300), ("cabinets-overlap", "A2")),
    "two cabinets in one place": bad(row(600, 600, gap=-600), ("cabinets-overlap", "A2")),
    "two cabinets and two runs in one place": bad(
        row(600, 600, gap=-600, R1={"cabinets": ["A1"]},
            add={"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]}),
        ("cabinets-overlap", "A2"), ("runs-share-a-place", "R2"),
    ),
    "three in one place": bad(
        row(600, 600, 600, gap=-600), ("cabinets-overlap", "A2"), ("cabinets-overlap", "A3")
    ),
    "an opening longer than its wall": bad(
        one_bar(A1={"opening": [3500]}), ("opening-wider-than-cabinet", "A1")
    ),
    "an opening as long as a file may say": bad(
        one_bar(A1={"opening": [20_000]}), ("opening-wider-than-cabinet", "A1")
    ),
    "a cabinet longer than its wall": bad(
        one_bar(A={"length": 300}, A1={"at": 0}), ("off-the-wall", "A1")
    ),
    "a cabinet that starts past the end of its wall": bad(
        one_bar(A1={"at": 50_000}), ("off-the-wall", "A1")
    ),
    "an opening of one millimetre": bad(one_bar(A1={"opening": [1]}), ("opening-too-short", "R1")),
    "a stile nowhere near": bad(
        one_bar(add={"obstacles": [obstacle("O1", 2500, 20)]}), ("obstacle-apart", "O1")
    ),
    "a stile past the end of the wall": bad(
        one_bar(add={"obstacles": [obstacle("O1", 40_000, 20)]}),
        ("obstacle-apart", "O1"), ("off-the-wall", "O1"),
    ),
    "no feed way": bad(
        row(600, 600, gap=600, R1={"cabinets": ["A2"]},
            add={"obstacles": [obstacle("O1", 1100, 600, "window", crossing="none")]}),
        ("no-feed-way", "L1"),
    ),
    "a leg kept out of everything": bad(
        row(600, 600, L1={"avoid": ["A1", "A2"], "via": ["A1"]}),
        ("no-feed-way", "L1"), ("through-and-kept-out", "L1"),
    ),
    "a cabinet on the wrong side of the room": bad(
        round_room(cabinets=(cabinet("A1", 500), cabinet("C1", 500), cabinet("A2", 1100))),
        ("cable-in-wall", "L1"),
    ),
    "a cabinet in another room": bad(
        one_bar(
            add={"rooms": [{"id": "P", "name": "Invented pantry"}],
                 "walls": [{"id": "B", "room": "P", "length": 900}],
                 "cabinets": [cabinet("B1", 0)]},
            R1={"cabinets": ["A1", "B1"]},
        ),
        ("no-way-past", "R1"),
    ),
    "everything crossed by no cable": bad(every_kind_shut(), ("no-way-past", "R1")),
    "uprights without shelves": bad(
        round_room(cabinets=(upright("A1", 0), upright("A2", 900), upright("A3", 2000)))
    ),
    "an upright higher than a room": bad(
        round_room(cabinets=(upright("A1", 0) | {"height": 19_000, "opening": [20_000]},)),
        ("opening-wider-than-cabinet", "A1"),
    ),
    "a shelf under an upright": bad(
        round_room(
            cabinets=(upright("A1", 900), shelf("A2", 500, 800) | {"bottom_height": 40})
        )
    ),
    "a shelf through an upright": bad(
        round_room(cabinets=(upright("A1", 900), shelf("A2", 500, 800))), ("cabinets-overlap", "A2")
    ),
    "an upright in a cabinet": bad(
        one_bar(add={"cabinets": [upright("A2", 900)],
                     "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]}),
        ("cabinets-overlap", "A2"),
    ),
    "obstacles of no width": bad(zero_wide(), ("crossing-not-chosen", "O2")),
    "an obstacle over all there is": bad(
        row(600, 600, add={"obstacles": [obstacle("O1", 0, 10_000, "window")]}), ("no-light", "R1")
    ),
    "forty stiles in one cabinet": bad(
        one_bar(add={"obstacles": [obstacle(f"O{n}", 500 + 22 * n, 4) for n in range(40)]}),
        ("opening-too-short", "R1"),
    ),
    "one cabinet named again and again": bad(one_bar(R1={"cabinets": ["A1"] * 60})),
    "a run against the tape": bad(row(600, 600, 600, R1={"cabinets": ["A3", "A1", "A2"]})),
    "a cabinet on the floor": bad(
        one_bar(A1={"bottom_height": 0}), ("light-under-worktop", "R1")
    ),
    "a supply in a shelf nobody measured": bad(
        one_bar(A1={"kind": "movable shelf", "height": 1,
                    "assumed": ["at", "width", "bottom_height"]}),
        ("movable-shelf", "R1"),
    ),
    # Of three bars round the second wall the first is wholly under the first wall's cabinet.
    "many bars round a corner": bad(
        one_bar(
            A={"length": 1383},
            add={"walls": [{"id": "B", "room": "K", "length": 2000}],
                 "cabinets": [cabinet("B1", 320)]},
            R1={"cabinets": ["A1", "B1"], "corner": "second passes", "pieces": 3},
        )
    ),
    "walls that turn back on themselves": bad(
        round_room(
            cabinets=(cabinet("A1", 2400), cabinet("B1", 0), cabinet("B2", 2400), cabinet("C1", 0)),
            A={"corner_degrees": 20}, B={"corner_degrees": 340},
        )
    ),
}  # fmt: skip


def faults_of(finding: Finding, job: Job) -> list[str]:
    faults = []
    if finding.field not in MODELS[finding.kind].model_fields:
        faults.append(f"{finding.kind} has no field {finding.field}")
    if finding.about not in {item.id for item in job.table(finding.kind)}:
        faults.append(f"{finding.about} is no {finding.kind} of this job")
    texts = (finding.code, finding.says, finding.remedy, finding.source.title)
    plain = [without_names(text, job) for text in texts]
    faults += [text for text in plain if not (text.isascii() and text.isprintable() and text)]
    if finding.level not in LEVELS:
        faults.append(f"no level {finding.level}")
    return faults


def drawn(plan: Plan, focus: str | None = None) -> list[Drawing]:
    """Draw all three at several sizes, checking that each is plain and fits."""
    found = []
    for draw in DRAW.values():
        for width, height in SIZES:
            found.append(draw(plan, width, height, focus))
            check_form(found[-1], width, height)
    return found


@pytest.mark.parametrize("survey", BAD.values(), ids=BAD)
def test_what_is_wrong_is_told_with_a_place_and_a_remedy(survey):
    findings = plan_job(survey.job).findings
    assert [fault for one in findings for fault in faults_of(one, survey.job)] == []
    assert len(set(findings)) == len(findings)
    assert survey.told <= {(one.code, one.about) for one in findings}


@pytest.mark.parametrize("survey", BAD.values(), ids=BAD)
def test_a_survey_that_cannot_be_right_is_drawn(survey):
    plan = plan_job(survey.job)
    assert all(drawing.rows for drawing in drawn(plan))
    for item_id in dict.fromkeys(one.about for one in plan.findings):
        assert all(drawing.rows for drawing in drawn(plan, item_id))


@pytest.mark.parametrize("survey", BAD.values(), ids=BAD)
def test_every_cabinet_is_somewhere_on_the_plan(survey):
    whole = picture(plan_view(plan_job(survey.job), 200))
    assert [each.id for each in survey.job.cabinets if each.id not in whole] == []


def test_a_run_of_nothing_but_uprights_lights_no_worktop_and_has_its_bars():
    plan = plan_job(BAD["uprights without shelves"].job)
    assert [bar.upright for bar in plan.bars] == [True] * 3
    assert plan.lights == ()


def test_cabinets_on_facing_walls_are_never_one_opening():
    plan = plan_job(BAD["a cabinet on the wrong side of the room"].job)
    assert [bar.opening.cabinets for bar in plan.bars] == [("A1", "A2"), ("C1",)]


def test_a_cabinet_named_again_has_one_bar():
    assert len(plan_job(BAD["one cabinet named again and again"].job).bars) == 1


def test_cabinets_named_out_of_order_are_taken_along_the_wall():
    plan = plan_job(BAD["a run against the tape"].job)
    assert [bar.opening.cabinets for bar in plan.bars] == [("A1",), ("A2",), ("A3",)]


@pytest.mark.property
@quick(50)
@given(any_job() | jobs())
def test_any_job_is_told_and_drawn(job):
    plan = plan_job(job)
    assert [fault for one in plan.findings for fault in faults_of(one, job)] == []
    assert len(set(plan.findings)) == len(plan.findings), "the same thing is said twice"
    drawn(plan)
