"""From a finding one gets to the field where its remedy starts, whatever step one is in."""

from decimal import Decimal
from pathlib import Path

import pytest
from draws import examples
from hypothesis import given
from jobs import any_job, built, one_bar

from pelmet.model.edit.change import rebuilt
from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.file.job.reading import load_job, open_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Ordered
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.finding import LEVELS
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.budget import budget_segments
from pelmet.model.told.data.documents import check_data, show_data
from pelmet.model.told.paper import Grid
from pelmet.model.told.papers.sheets import paper_of
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import STEPS

FILE = Path("kitchen.toml")


def begun(job: Job | None = None) -> Session:
    """Begin with a job as it was read from a file."""
    return Session(job or read_example("kitchen"), Catalogue(), FILE, "digest")


def at(session: Session) -> tuple[str, str, str, str]:
    place = session.place
    return place.step.name, place.kind, place.id, place.field


FAULTY = {
    "bars": one_bar(R1={"strip": "white-24-14", "channel": "slim-12", "facing": "45 to wall"}),
    "survey": one_bar(
        A1={"opening": [900, 880], "at": 2500},
        S1={"cabinet": None},
        add={"cabinets": [{"id": "A2", "wall": "A", "at": 2600, "width": 300, "depth": 320,
                           "bottom_height": 1400}]},
    ),
    "power": one_bar(
        R1={"strip": "white-12-10"}, S1={"place": "on top of cabinet", "part": "supply-24-30"},
        L1={"dimmer": "dimmer-5", "cable": "pair-20", "length": 50_000},
    ),
    "parts": one_bar(R1={"strip": "none", "channel": "none"}, L1={"cable": "none"}),
    "unfed": one_bar(R1={"leg": None}),
    "no run": built({
        "rooms": [{"id": "K", "name": "K"}], "walls": [{"id": "A", "room": "K", "length": 3000}],
        "cabinets": [{"id": "A1", "wall": "A", "at": 0, "width": 600, "depth": 320,
                      "bottom_height": 1400}],
    }),
    "example": read_example("kitchen"),
}  # fmt: skip


@pytest.mark.parametrize("job", FAULTY.values(), ids=FAULTY.keys())
@pytest.mark.parametrize("step", STEPS, ids=[step.name for step in STEPS])
def test_a_finding_is_jumped_to_from_any_step(job, step):
    session = begun(job)
    assert session.plan.findings
    for finding in session.plan.findings:
        session.go(step)
        session.go_to_finding(finding)
        assert at(session)[1:] == (finding.kind, finding.about, finding.field)
        assert session.form.here is not None
        assert session.form.question is not None


@pytest.mark.property
@examples(40)
@given(any_job())
def test_every_finding_of_any_job_can_be_jumped_to(job):
    session = begun(job)
    for finding in session.plan.findings:
        session.go_to_finding(finding)
        assert at(session)[1:] == (finding.kind, finding.about, finding.field), finding


def told_of_one_file(job: Job, path: Path) -> list[set[tuple[str, str, str]]]:
    """Give what each way of looking at a file finds in it: level, code and what is said."""
    save_job(job, path, None)
    session = Session.of(open_job(path), Catalogue())
    session.catch_up()
    folder = make_folder(plan_job(load_job(path)))
    sheet = next(
        (each.rows for each in paper_of(folder, "sheet").blocks
         if isinstance(each, Grid) and each.name == "findings"), (),
    )  # fmt: skip
    counted = budget_segments(session.plan, 400, session.findings)
    ways = [
        [(one.level, one.code, one.says) for one in session.findings],
        [(one["level"], one["code"], one["says"]) for one in check_data(folder.plan)["findings"]],
        [(one["level"], one["code"], one["says"]) for one in show_data(folder.plan)["findings"]],
        [(level, *text.split("\n")[:2]) for level, text in sheet],
    ]
    assert len({len(each) for each in ways}) == 1
    for level in LEVELS:
        count = sum(one.level == level for one in session.findings)
        assert any(each.text.strip() == f"{count} {level}" for each in counted)
    ways[3] = [(level, code.partition(":")[0], says) for level, code, says in ways[3]]
    return [set(each) for each in ways]


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_file_has_one_list_of_findings_wherever_it_is_looked_at(name, tmp_path):
    job = read_example(name)
    for each in (job, rebuilt(job, ordered=(*job.ordered, MORE))):
        first, *others = told_of_one_file(each, tmp_path / f"{len(each.ordered)}.toml")
        assert all(other == first for other in others)


@pytest.mark.property
@examples(15)
@given(any_job())
def test_any_file_has_one_list_of_findings(tmp_path_factory, job):
    first, *others = told_of_one_file(job, tmp_path_factory.mktemp("job") / "job.toml")
    assert all(other == first for other in others)


MORE = Ordered(id="order99", part="supply-24-96", amount=Decimal(3))
