"""One quantity of one thing has one figure, whichever paper tells it, or another name."""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import NamedTuple

import pytest
from draws import quick
from hypothesis import given
from jobs import QUICK, any_job, many_bars, row
from mesh import random_leg

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.circuit.worst import STATES
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Block, Grid, Picture
from pelmet.model.told.papers.sheets import SHEETS

FEW = quick(12)
NUMBER = re.compile(r"^-?\d[\d.]*")
CABLE = re.compile(r"\| (?P<id>\S+) [^,]*, (?P<length>[\d.]+) mm[^,]*, (?P<amps>[\d.]+) A")
SUPPLY = re.compile(r"^(?P<id>\S+) [^:]*: .*gives at most (?P<amps>[\d.]+) A")
DRAWS = re.compile(r"^(?P<id>L\d+) draws (?P<amps>[\d.]+) A")
ELECTRICAL = ("V", "A", "W", "ohm", "ohm/m", "%", "kWh")
HALF = 0.0051  # of the last digit that amps and volts are printed with, and a little


class Told(NamedTuple):
    """What is told: of which thing, and which quantity of it."""

    thing: str
    quantity: str


def blocks(job: Job) -> Iterator[tuple[str, Block]]:
    """Give every block of every paper of a job, with the name of the paper."""
    folder = make_folder(plan_job(job))
    for name, sheet in SHEETS.items():
        yield from ((name, block) for block in sheet.blocks(folder, "as one"))


def facts(job: Job) -> Mapping[Told, Mapping[str, set[str]]]:
    """Read every number off every paper: what is told of it, and by which papers."""
    found: dict[Told, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for paper, block in blocks(job):
        if isinstance(block, Grid):
            for told, number in of_grid(block):
                found[told][number].add(paper)
        elif isinstance(block, Picture):
            for told, number in of_picture(block):
                found[told][number].add(paper)
    return found


def of_grid(grid: Grid) -> Iterator[tuple[Told, str]]:
    """Read a table: a row is about what stands first in it, if nothing else is about that."""
    firsts = [cells[0] for cells in grid.rows]
    unit = grid.head.index("unit") if "unit" in grid.head else None
    for cells in grid.rows:
        if not cells[0] or firsts.count(cells[0]) > 1:
            continue
        for at in sorted(grid.numbers):
            number = NUMBER.match(cells[at]) if at < len(cells) else None
            if number:
                quantity = grid.head[at] + (f" {cells[unit]}" if unit is not None else "")
                yield Told(cells[0], quantity), number.group()


def of_picture(picture: Picture) -> Iterator[tuple[Told, str]]:
    """Read the diagram of one line, whose rows may be broken."""
    whole = re.sub(r"\n[|+ ]* {3,}(?=[^|+@*o~#-])", " ", "\n".join(picture.rows))
    for line in whole.splitlines():
        if found := CABLE.search(line):
            yield Told(found["id"], "A"), found["amps"]
            yield Told(found["id"], "length [mm]"), found["length"]


def clashes(job: Job) -> dict[Told, dict[str, set[str]]]:
    return {told: dict(ways) for told, ways in facts(job).items() if len(ways) > 1}


EXAMPLES = [
    read_example("kitchen"),
    read_example("kitchen-with-pantry"),
    many_bars(1, 4),
    row(600, 800, L1={"length": 40_000, "fuse": 2}),
    *(random_leg(seed) for seed in range(6)),
]


@pytest.mark.regression
@pytest.mark.parametrize("job", EXAMPLES, ids=range(len(EXAMPLES)))
def test_no_two_papers_tell_one_quantity_of_a_thing_otherwise(job):
    assert clashes(job) == {}
    assert any(told.quantity == "A" for told in facts(job)), "nothing was read"


@pytest.mark.property
@FEW
@given(any_job())
def test_no_two_papers_of_any_job_tell_one_quantity_of_a_thing_otherwise(job):
    assert clashes(job) == {}


@pytest.mark.property
@QUICK
@given(any_job())
def test_figures_of_one_name_of_one_thing_are_one_figure(job):
    """What the command for figures prints, and what papers take theirs from."""
    found: dict[tuple[str, str, str], set[str]] = defaultdict(set)
    for figure in plan_job(job).figures():
        if figure.about and figure.unit in ELECTRICAL:
            found[figure.name, figure.about, figure.unit].add(f"{float(figure.value):.9g}")
    assert {key: values for key, values in found.items() if len(values) > 1} == {}


@pytest.mark.regression
@pytest.mark.parametrize("job", EXAMPLES, ids=range(len(EXAMPLES)))
def test_what_a_supply_gives_is_the_sum_of_what_its_legs_are_told_to_draw(job):
    plan, told = plan_job(job), facts(job)
    drawn = (line for paper, block in blocks(job) if paper == "wiring"
             for line in (block.rows if isinstance(block, Picture) else ()))  # fmt: skip
    lines = [found for line in drawn if (found := SUPPLY.match(line))]
    assert lines
    for found in lines:
        legs = [leg.id for leg in plan.job.legs if leg.supply == found["id"]]
        amps = [next(float(each) for each in told[Told(leg, "A")]) for leg in legs]
        assert float(found["amps"]) == pytest.approx(sum(amps), abs=HALF * (len(legs) + 1))


@pytest.mark.regression
@pytest.mark.parametrize("job", EXAMPLES, ids=range(len(EXAMPLES)))
def test_the_amps_of_a_leg_are_the_most_of_those_that_a_meter_is_to_read(job):
    plan = plan_job(job)
    told = facts(job)
    for reading in plan.readings():
        if reading.unit != "A":
            continue
        (own,) = (leg for leg in plan.circuits.legs if leg.leg.id == reading.about)
        bands = (reading.cold.expected, reading.hot.expected)
        most = max(float(figure.value) for figure in (*bands, planned(own.amps)))
        (printed,) = told[Told(reading.about, "A")]
        assert float(printed) == pytest.approx(most, abs=HALF)


def planned(amps: Figure) -> Figure:
    """Give what a figure is as planned: the first of its states, or itself if all are the same."""
    return amps.inputs[0] if len(amps.inputs) == len(STATES) else amps


@pytest.mark.regression
def test_what_a_finding_says_a_leg_draws_stands_on_the_papers():
    job = row(600, 800, L1={"fuse": Decimal("0.5")})
    plan: Plan = plan_job(job)
    says = [found for each in plan.findings if (found := DRAWS.match(each.says))]
    assert says
    for found in says:
        assert facts(job)[Told(found["id"], "A")].keys() == {found["amps"]}
