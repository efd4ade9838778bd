"""From a finding one gets to the field where its remedy starts, whatever step one is in."""

from pathlib import Path

import pytest
from draws import examples
from hypothesis import given
from jobs import any_job, built, one_bar

from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
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
