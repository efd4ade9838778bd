"""The sheet holds all a plan has to say, in plain ASCII, no wider than the page."""

from importlib.resources import files
from itertools import pairwise

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, part, planned, row

from pelmet.model.file.job.reading import read_job
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.sheet import finding_lines, findings_lines, sheet

EXAMPLES = sorted(
    (entry for entry in files("pelmet.model.examples").iterdir() if entry.name.endswith(".toml")),
    key=lambda entry: entry.name,
)
HOSTILE = "Küche [/] \u4e2d\u6587 {0} %s =1+1 \N{COMBINING ACUTE ACCENT}" * 3


def fits(text: str) -> bool:
    return all(
        len(line) <= 78 and line.isascii() and (line.isprintable() or not line)
        for line in text.split("\n")
    )


def section(plan: Plan, title: str) -> str:
    """The lines below a heading, folded into one."""
    blocks = sheet(plan).split("\n\n")
    return next(" ".join(block.split()) for block in blocks if block.startswith(title))


@pytest.mark.parametrize("entry", EXAMPLES, ids=lambda entry: entry.name)
def test_every_example_gives_a_sheet_that_fits(entry: object) -> None:
    plan = plan_job(read_job(entry.read_bytes(), entry.name))  # type: ignore[attr-defined]
    text = sheet(plan)
    assert fits(text)
    for bar in plan.bars:
        assert bar.id in text
    for need in plan.needs:
        assert need.part in text
    for finding in plan.findings:
        assert finding.code in text


def test_what_stays_dark_between_three_bars_or_more_is_told_in_all() -> None:
    plan = plan_job(row(600, 600, 600))
    dark = [right.lit_left - left.lit_right for left, right in pairwise(plan.bars)]
    assert len(dark) == 2
    assert f"R1: {sum(dark)} mm dark between its bars in all" in " ".join(sheet(plan).split())
    for job in (row(600, 600), row(600)):
        assert "between its bars in all" not in sheet(plan_job(job))


def test_hostile_names_show_as_plain_text() -> None:
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
    plan = plan_job(job.model_copy(update={"site": site}))
    text = sheet(plan)
    assert fits(text)
    assert plan.worst_leg
    assert "K?che [/] ?? {0} %s =1+1" in text


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_gives_a_sheet_that_fits(job: Job) -> None:
    assert fits(sheet(plan_job(job)))


def test_lengths_stand_in_the_unit_of_the_job() -> None:
    job = one_bar(A1={"opening": ["34 5/8 in"]})
    site = job.site.model_copy(update={"length_unit": "in"})
    plan = plan_job(job.model_copy(update={"site": site}))
    assert " 34 5/8 " in section(plan, "Bars [in]")


def test_the_bars_table_holds_the_worked_example() -> None:
    # 883 mm, clearance 2, cap 2, start 10, end 3, unit 50: bar 875, 17 units, 850 lit, 25 dark
    assert "R1 R1.1 883 875 17 850 25 A1" in section(planned(), "Bars")


def test_a_run_without_a_bar_is_not_passed_over() -> None:
    assert "R1: no bar" in section(planned(R1={"strip": "nothing"}), "Bars")
    assert "R1: no bar under A1" in section(planned(A1={"opening": [40]}), "Bars")


def test_a_finding_tells_level_code_place_reason_and_remedy() -> None:
    finding = planned(allowances={"worktop_lux": 5000}).findings[0]
    text = " ".join(" ".join(finding_lines(finding)).split())
    for words in (finding.level, finding.code, finding.about, finding.says, finding.remedy):
        assert words in text
    assert finding.source.title in text


def test_no_findings_are_said_to_be_none() -> None:
    assert findings_lines(planned()) == ("none",)


def test_what_is_assumed_is_listed_with_the_bars_cut_from_it() -> None:
    plan = planned(A1={"assumed": ["opening"]})
    assert "A1: opening not measured yet" in section(plan, "Assumed")
    assert "R1.1" in section(plan, "Assumed")
    assert "no reading is marked as assumed" in section(planned(), "Assumed")


def test_every_allowance_left_alone_is_listed_as_a_default_used() -> None:
    listed = section(planned(), "Defaults used")
    for info in Allowances.model_fields.values():
        assert f"{info.title} " in listed
    assert "Slack 150 mm" in listed
    assert "Supply load 80 %" in listed


def test_an_allowance_that_was_changed_is_no_default() -> None:
    assert "Slack" not in section(planned(allowances={"termination_slack": 100}), "Defaults used")


def test_sizes_the_survey_left_out_are_listed_as_defaults_used() -> None:
    assert "Worktop height 910 mm (K)" in section(planned(), "Defaults used")
    measured = planned(K={"worktop_height": 905})
    assert "Worktop height" not in section(measured, "Defaults used")


def test_cautions_are_those_the_job_calls_for() -> None:
    whole = section(planned(), "Mind")
    for words in ("low-voltage", "licensed person", "unplugged", "these bars alone", "invented"):
        assert words in whole
    bare = section(planned(drop=["R1", "L1", "S1"]), "Mind")
    assert "unplugged" not in bare
    assert "these bars alone" not in bare
    assert "invented" not in bare


def test_a_part_with_data_of_its_own_is_not_called_invented() -> None:
    own = part("strips", "white-24-10", lumens_per_metre=1234, led_volts=18)
    assert "white-24-10" in section(planned(), "Mind")
    assert "white-24-10" not in section(planned(parts={"strips": [own]}), "Mind")
