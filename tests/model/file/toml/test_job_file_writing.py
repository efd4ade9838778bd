"""A job as text: what stands in it, in which order, and that it comes back the same."""

import tomllib
from decimal import Decimal
from typing import Any

import pytest
import tomli_w
from hypothesis import given
from strategies import jobs

from pelmet.model.examples import EXAMPLES, example_bytes, read_example
from pelmet.model.file.job.reading import read_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.items import Cabinet, Room, Run, Wall
from pelmet.model.job.job import Job, Site

# Invented: no such house.
SMALL = Job(
    site=Site(name='The "=1+1" house', note="first line\nsecond line"),
    rooms=(Room(id="galley", name="Galley"),),
    walls=(Wall(id="A", room="galley", length=Decimal("3000.0")),),
    cabinets=(
        Cabinet(
            id="A1",
            wall="A",
            at=Decimal(0),
            width=Decimal("600.075"),
            depth=Decimal("3.2E+2"),
            bottom_height=Decimal(1360),
            opening=(Decimal(564), Decimal("563.50"), Decimal(564)),
            underside="framed",
            assumed=("depth", "width"),
            note="swollen door",
        ),
    ),
    runs=(Run(id="R1", cabinets=("A1",), feed_end="left"),),
)
SMALL_TEXT = '''\
schema = 1

[job]
name = "The \\"=1+1\\" house"
note = """
first line
second line"""

[[room]]
id = "galley"
name = "Galley"

[[wall]]
id = "A"
room = "galley"
length = 3000

[[cabinet]]
id = "A1"
wall = "A"
at = 0
width = 600.075
opening = [564, 563.5, 564]
depth = 320
bottom_height = 1360
underside = "framed"
assumed = ["depth", "width"]
note = "swollen door"

[[run]]
id = "R1"
cabinets = ["A1"]
'''


def test_a_small_job_is_written_like_this() -> None:
    assert job_text(SMALL) == SMALL_TEXT


def test_a_job_of_which_nothing_is_said_is_one_line() -> None:
    assert job_text(Job()) == "schema = 1\n"


def test_metric_text_is_saved_as_millimetres() -> None:
    typed = SMALL_TEXT.replace("600.075", '"60.0075 cm"')
    assert "width = 600.075\n" in job_text(read_job(typed.encode(), "typed.toml"))


@pytest.mark.regression
@pytest.mark.parametrize(
    ("typed", "saved", "mm"),
    [
        ("23 5/8 in", "23 5/8 in", "600.075"),
        ("1 1/64 in", "1 1/64 in", "25.796875"),
        ('23-5/8\\"', "23 5/8 in", "600.075"),
        ("1' 11 5/8\\\"", "1 ft 11 5/8 in", "600.075"),
    ],
)
def test_inches_are_saved_as_they_were_typed(typed: str, saved: str, mm: str) -> None:
    job = read_job(SMALL_TEXT.replace("600.075", f'"{typed}"').encode(), "typed.toml")
    assert job.cabinets[0].width == Decimal(mm)
    assert job_text(job) == SMALL_TEXT.replace("600.075", f'"{saved}"')
    assert job_text(read_job(job_text(job).encode(), "typed.toml")) == job_text(job)


def test_an_added_cabinet_is_one_added_block() -> None:
    more = SMALL.model_copy(
        update={"cabinets": (*SMALL.cabinets, SMALL.cabinets[0].model_copy(update={"id": "A2"}))}
    )
    before, after = job_text(SMALL).split("\n\n"), job_text(more).split("\n\n")
    assert [block for block in after if block not in before] == [before[4].replace("A1", "A2")]
    assert [block for block in after if block in before] == before


def test_a_long_note_changes_no_other_line() -> None:
    room = SMALL.rooms[0].model_copy(update={"note": "x" * 500})
    longer = job_text(SMALL.model_copy(update={"rooms": (room,)}))
    assert longer == job_text(SMALL).replace(
        'name = "Galley"\n', f'name = "Galley"\nnote = "{"x" * 500}"\n'
    )


@pytest.mark.property
@given(jobs())
def test_any_job_reads_back_as_itself(job: Any) -> None:
    assert read_job(job_text(job).encode(), "any.toml") == job


@pytest.mark.property
@given(jobs())
def test_two_writings_are_byte_for_byte_the_same(job: Any) -> None:
    text = job_text(job)
    assert job_text(read_job(text.encode(), "any.toml")) == text
    assert "\r" not in text
    assert text.endswith("\n")
    assert not text.endswith("\n\n")


@pytest.mark.cross_check
@given(jobs())
def test_the_text_holds_what_tomli_w_would_write(job: Any) -> None:
    said = job.model_dump(by_alias=True, exclude_defaults=True, exclude_none=True) | {"schema": 1}
    plain = tomllib.loads(tomli_w.dumps(said), parse_float=Decimal)
    assert tomllib.loads(job_text(job), parse_float=Decimal) == plain


def test_the_catalogue_of_a_job_is_written_by_kind() -> None:
    text = """\
schema = 1

[[catalogue.cap]]
id = "mine"
name = "Invented cap"
thickness = 1.5

[[catalogue.connector]]
id = "mine"
name = "Invented connector"
ways = 2
amps = 10
bare_wire = 9
note = "an id stands once within a kind"
"""
    assert job_text(read_job(text.encode(), "parts.toml")) == text


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_stands_as_it_would_be_saved(name):
    assert job_text(read_example(name)) == example_bytes(name).decode()
