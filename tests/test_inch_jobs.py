"""A job in inches tells no millimetres: in no finding, option, paper, form or refusal."""

import re
from collections.abc import Iterable, Iterator

import pytest
from draws import examples
from histories import built
from hypothesis import given
from inches import typed_in_inches
from jobs import any_job
from papers import said

from pelmet.model.edit.answer import set_answer
from pelmet.model.edit.options import options_for
from pelmet.model.edit.question import question_for
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal
from pelmet.model.told.figures import figures_text
from pelmet.model.told.papers.sheets import SHEETS, paper_of
from pelmet.model.versions.said import differences
from pelmet.tui.session.form import Form
from pelmet.tui.session.outline import outline_of
from pelmet.tui.session.place import Place
from pelmet.tui.session.steps import PAPERS, STEPS, form_of

EXAMPLES = ("kitchen", "kitchen-with-pantry", "kitchen-proved-pantry-begun")
STEPS_OF_PLAN = [step for step in STEPS if step is not PAPERS]
# What a part is called is its maker's, who thinks in millimetres.
NAMES = re.compile(
    "|".join(
        sorted(
            {re.escape(part.name) for table in Catalogue.model_fields
             for part in getattr(bundled_catalogue(), table)},
            key=len, reverse=True,
        )
    )
)  # fmt: skip
BOTH = re.compile(r"\(least .*\)|\([\d.;m ]+ mm\??\)|[\d.]+ mm \([\d./ ]+ in\)")
MILLIMETRES = re.compile(r"\bmm\b|~\d")


def metric(texts: Iterable[str]) -> list[str]:
    """Give the texts that tell millimetres, or that a length is not quite so, and no inches."""
    found = (BOTH.sub("", NAMES.sub("", text)) for text in texts)
    return [text for text in found if MILLIMETRES.search(text)]


def inch_job(name: str) -> Job:
    return typed_in_inches(read_example(name))


def findings_of(folder: Folder) -> Iterator[str]:
    for finding in folder.plan.findings:
        yield from (finding.says, finding.remedy)


def test_what_tells_millimetres_is_found():
    assert metric(["bar R1.1 is 875 mm", "[mm]", "~34 7/16", "2 mm (5/64 in)", "1.5 mm2"]) == [
        "bar R1.1 is 875 mm", "[mm]", "~34 7/16",
    ]  # fmt: skip


@pytest.mark.regression
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_paper_and_no_finding_tells_millimetres(name):
    for job in (inch_job(name), built(inch_job(name), "mounted")):
        folder = make_folder(plan_job(job))
        assert metric(findings_of(folder)) == []
        assert metric(figures_text(folder.plan).split("\n")) == []
        for sheet in SHEETS:
            assert metric(said(paper_of(folder, sheet)).split("\n")) == [], sheet


@pytest.mark.property
@examples(40)
@given(any_job())
def test_no_finding_of_any_job_in_inches_tells_millimetres(job):
    assert metric(findings_of(make_folder(plan_job(typed_in_inches(job))))) == []


@pytest.mark.regression
@pytest.mark.parametrize("kind", ["run", "obstacle", "supply", "leg", "zone"])
def test_no_option_tells_millimetres(kind):
    job = inch_job("kitchen-with-pantry")
    things = job.table(kind)
    for thing in things[:: max(len(things) // 2, 1)]:
        for option in options_for(job, bundled_catalogue(), kind, thing.id):
            assert metric([option.choice, option.gives, *option.reasons]) == []


@pytest.mark.regression
@pytest.mark.parametrize("step", STEPS_OF_PLAN, ids=lambda step: step.name)
def test_no_form_tells_millimetres_alone(step):
    job = inch_job("kitchen-with-pantry")
    plan = plan_job(job)
    for row in outline_of(step, plan):
        assert metric([row.text]) == []
        if row.kind in ("bar", "paper"):
            continue
        form = Form(job, plan.parts, Place(step, row.kind, row.id), listed=True)
        for field in form_of(step, row.kind, row.id):
            asked = question_for(row.kind, field)
            assert metric([form.listed_as(field), asked.help_in(job.site)]) == []


@pytest.mark.regression
@pytest.mark.parametrize("typed", ["0.01", "9000", "22 1/4 1/2", "22 1/5", "1' 13\"", "-5", "x"])
def test_no_refusal_of_inches_tells_a_range_in_millimetres(typed):
    with pytest.raises(Refusal) as caught:
        set_answer(inch_job("kitchen"), "cabinet", "A1", "width", typed)
    assert not re.search(r"\d mm\b(?! or)", str(caught.value))


@pytest.mark.regression
def test_what_was_typed_in_inches_is_told_so_where_it_changed():
    job = inch_job("kitchen")
    changed = set_answer(job, "cabinet", "A1", "width", "22 1/4")
    told = [each for one in differences(job, changed) for each in one.fields]
    assert "22 1/4" in {each.after for each in told}
    assert metric(f"{each.before} {each.after}" for each in told) == []
