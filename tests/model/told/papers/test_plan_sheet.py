"""The plan sheet: all a plan has to say, of the papers' own blocks; its text is plain and fits."""

from typing import Any

import pytest
from fed_rooms import FED
from hypothesis import given
from jobs import QUICK, any_job, many_bars, one_bar, part, planned
from papers import cautions, said, table, words

from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.job import Job
from pelmet.model.job.region_words import words_of
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.one_line import draw_one_line
from pelmet.model.told.drawings.elevation.view import elevation
from pelmet.model.told.drawings.plan.view import plan_view
from pelmet.model.told.drawings.section.cut import cuts
from pelmet.model.told.drawings.section.view import section
from pelmet.model.told.figures import brief
from pelmet.model.told.formats.text import ascii_text
from pelmet.model.told.paper import Block, Cautions, Grid, Heading, Paper, Picture, Points
from pelmet.model.told.papers.drill_list import drill_list_paper
from pelmet.model.told.papers.mains import mains_paper
from pelmet.model.told.papers.mounting import mounting_paper
from pelmet.model.told.papers.plan_sheet import sheet_of
from pelmet.model.told.papers.proof_record import reading_blocks
from pelmet.model.told.papers.wiring import wiring_paper

HOSTILE = "Küche [/] \u4e2d\u6587 {0} %s =1+1 \N{COMBINING ACUTE ACCENT}" * 3
JOBS: dict[str, Job] = {
    **{name: read_example(name) for name in EXAMPLES},
    **{shape: make() for shape, make in FED.items()},
    "thirty bars": many_bars(),
    "dimmed": one_bar(L1={"dimmer": "dimmer-5"}, A1={"assumed": ["opening"]}),
    "no leg": one_bar(drop=["L1"], R1={"leg": None}),
}
every_job = pytest.mark.parametrize("name", JOBS)


def sheet(job: Job) -> Paper:
    return sheet_of(plan_job(job))


def fits(text: str) -> bool:
    return all(
        len(line) <= 78 and line.isascii() and (line.isprintable() or not line)
        for line in text.split("\n")
    )


def section_of(plan: Plan, title: str) -> str:
    """The words below a heading."""
    found: dict[str, list[Block]] = {"": []}
    at = ""
    for block in sheet_of(plan).blocks:
        if isinstance(block, Heading):
            at = block.text
        found.setdefault(at, []).append(block)
    return " ".join(words(found[title]).split())


# --- It holds every fact --------------------------------------------------------------------------


@every_job
def test_it_holds_the_very_blocks_of_the_papers_that_follow_from_the_plan(name):
    """All but cautions, which stand together; of mounting and mains every table."""
    plan = plan_job(JOBS[name])
    blocks = sheet_of(plan).blocks
    papers = (
        drill_list_paper(plan, "as one"),
        wiring_paper(plan, "as one"),
        tuple(reading_blocks(plan)),
    )
    mounting, mains = mounting_paper(plan, "as one"), mains_paper(plan)
    for block in (block for paper in papers for block in paper):
        assert isinstance(block, Cautions) or block in blocks
    for paper in (mounting, mains):
        for block in paper:
            assert block in blocks or not isinstance(block, Grid)
    for paper in (*papers, mounting, mains):
        for block in paper:
            if isinstance(block, Cautions):
                assert set(block.texts) <= set(cautions_of(blocks))


def cautions_of(blocks: tuple[Block, ...]) -> list[str]:
    return [text for each in blocks if isinstance(each, Cautions) for text in each.texts]


@every_job
def test_every_drawing_is_on_it(name):
    plan = plan_job(JOBS[name])
    drawn = [each.rows for each in sheet_of(plan).blocks if isinstance(each, Picture)]
    assert plan_view(plan, 78).rows in drawn
    assert all(section(plan, run, 78).rows in drawn for cut in cuts(plan) for run in cut.runs[:1])
    for wall in {cabinet.wall for cabinet in plan.job.cabinets}:
        assert elevation(plan, wall, 78).rows in drawn
    assert not draw_one_line(plan) or draw_one_line(plan) in drawn


@every_job
def test_every_thing_of_the_plan_has_its_row_with_its_figures(name):
    plan = plan_job(JOBS[name])
    blocks, site = sheet_of(plan).blocks, plan.job.site
    bars, bench, holes = (table(blocks, own) for own in ("bars", "bench", "drill-list"))
    assert list(bars) == list(bench) == [bar.id for bar in plan.bars]
    for bar in plan.bars:
        assert brief(bar.length, site) in bars[bar.id]
        assert brief(bar.lit, site) in bars[bar.id]
    for hole in plan.holes:
        for figure in (hole.diameter, hole.across, hole.out, hole.height, hole.grommet):
            assert brief(figure, site) in holes[hole.id]
    cables = [*plan.routes.leads, *(link.cable for link in plan.routes.links if link.cable)]
    for own in ("wiring", "wiring-ends", "ways"):
        assert list(table(blocks, own)) == [cable.id for cable in cables]
    assert list(table(blocks, "legs")) == [leg.leg.id for leg in plan.circuits.legs]
    assert list(table(blocks, "supplies")) == [each.supply for each in plan.supplies]
    assert list(table(blocks, "materials")) == [need.part for need in plan.needs]
    text = said(sheet_of(plan))
    for finding in plan.findings:
        for fact in (finding.code, finding.says, finding.remedy, finding.source.title):
            assert fact in text
    for light in plan.lights:
        assert f"least {light.least.value:.0f} lx" in text


# --- As plain text --------------------------------------------------------------------------------


@every_job
def test_its_text_fits_and_cuts_no_name(name):
    plan = plan_job(JOBS[name])
    text = ascii_text(sheet_of(plan))
    assert fits(text)
    whole = text.replace("\n", " ").split()
    for own in (*(bar.id for bar in plan.bars), *(hole.id for hole in plan.holes)):
        assert own in whole


def hostile() -> Job:
    leg, supply, strip = "l" * 24, "s" * 24, "t" * 24
    job = one_bar(
        drop=["L1", "S1"],
        add={
            "legs": [{"id": leg, "supply": supply}],
            "supplies": [{"id": supply, "cabinet": "A1"}],
        },
        K={"name": HOSTILE[:120]},
        parts={"strips": [part("strips", strip, name=HOSTILE[:120])]},
        R1={"strip": strip, "leg": leg},
    )
    site = job.site.model_copy(update={"name": HOSTILE[:120], "note": f"{HOSTILE}\n{HOSTILE}"})
    return job.model_copy(update={"site": site})


def test_hostile_names_show_as_plain_text_and_whole():
    plan = plan_job(hostile())
    text = ascii_text(sheet_of(plan))
    assert fits(text)
    assert plan.worst_leg
    assert "K?che [/] ?? {0} %s =1+1" in text
    for letter in "lst":
        assert letter * 24 in text


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_gives_a_text_that_fits(job):
    assert fits(ascii_text(sheet(job)))


# --- What only it tells ---------------------------------------------------------------------------


def test_what_is_assumed_is_listed_with_the_bars_cut_from_it():
    plan = planned(A1={"assumed": ["opening"]})
    assert "A1: opening not measured yet" in section_of(plan, "Assumed")
    assert "R1.1" in section_of(plan, "Assumed")
    assert "no reading is marked as assumed" in section_of(planned(), "Assumed")


def test_every_allowance_left_alone_is_listed_as_a_default_used():
    listed = section_of(planned(), "Defaults used")
    for info in Allowances.model_fields.values():
        assert f"{words_of('eu').said(info.title)} " in listed
    assert "Slack 150 mm" in listed
    assert "Supply load 80 %" in listed


def test_an_allowance_that_was_changed_is_no_default():
    changed = planned(allowances={"termination_slack": 100})
    assert "Slack" not in section_of(changed, "Defaults used")


def test_sizes_the_survey_left_out_are_listed_as_defaults_used():
    assert "Worktop height 910 mm (K)" in section_of(planned(), "Defaults used")
    measured = planned(K={"worktop_height": 905})
    assert "Worktop height" not in section_of(measured, "Defaults used")


def test_dim_levels_are_told_where_there_is_a_dimmer():
    assert "Dimmed light looks" in section_of(plan_job(JOBS["dimmed"]), "Seen")
    assert "Dimmed" not in section_of(planned(), "Seen")


def test_no_findings_are_said_to_be_none():
    assert section_of(planned(), "Findings") == "Findings Nothing is found."


def test_an_empty_job_says_under_each_heading_that_there_is_nothing():
    plan = plan_job(Job())
    headings = [each.text for each in sheet_of(plan).blocks if isinstance(each, Heading)]
    for heading in headings:
        assert section_of(plan, heading).removeprefix(heading).strip()


def test_cautions_are_those_the_job_calls_for():
    whole = cautions(sheet(one_bar()))
    for caution in ("low-voltage", "licensed person", "unplugged", "these bars alone", "invented"):
        assert caution in whole
    bare = cautions(sheet(one_bar(drop=["R1", "L1", "S1"])))
    for caution in ("unplugged", "these bars alone", "invented"):
        assert caution not in bare


def test_a_part_with_data_of_its_own_is_not_called_invented():
    own: Any = part("strips", "white-24-10", lumens_per_metre=1234, led_volts=18)
    assert "white-24-10" in cautions(sheet(one_bar()))
    assert "white-24-10" not in cautions(sheet(one_bar(parts={"strips": [own]})))


def test_lengths_stand_in_the_unit_of_the_job():
    job = one_bar(A1={"opening": ["34 5/8 in"]})
    site = job.site.model_copy(update={"length_unit": "in"})
    assert " | 34 5/8 | " in section_of(plan_job(job.model_copy(update={"site": site})), "Bars")


def test_points_are_never_empty():
    for job in (*JOBS.values(), Job()):
        for block in sheet(job).blocks:
            assert not isinstance(block, Points) or block.texts
