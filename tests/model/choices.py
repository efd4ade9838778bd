"""What else could be chosen for a thing, and jobs to choose in: helpers of the options' tests."""

import re
from typing import Any

from jobs import obstacle, one_bar, row

from pelmet.model.edit.options import Option, options_for
from pelmet.model.edit.options.option import whole
from pelmet.model.edit.options.places import place_options
from pelmet.model.edit.options.runs import run_options
from pelmet.model.edit.options.wirings import wiring_options
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import KINDS, Kind
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

OWN = Catalogue()
FIELDS = {  # of a run, by what a choice calls them
    "dark rest": "dark_rest", "strip": "strip",
    "at the corner": "corner", "if too long": "over_length",
}  # fmt: skip


def options(job: Job, kind: Kind, item_id: str) -> tuple[Option, ...]:
    """Give the options of a thing; of a run its own, of a leg its wirings, of a supply its places.

    Their other options are tested by themselves.
    """
    if kind == "run":
        return whole(run_options(job, OWN, item_id))
    if kind == "leg":
        return whole(wiring_options(job, OWN, item_id))
    if kind == "supply":
        return whole(place_options(job, OWN, item_id))
    return options_for(job, OWN, kind, item_id)


def tried(job: Job, kind: Kind, item_id: str) -> list[tuple[Option, Job, Plan]]:
    """Give the options that are not refused, with their jobs worked out."""
    found = [(one, one.job) for one in options(job, kind, item_id)]
    return [(one, own, plan_job(own, OWN)) for one, own in found if own is not None]


def choices(job: Job, kind: Kind, item_id: str) -> list[str]:
    return [one.choice for one in options(job, kind, item_id)]


def numbers(text: str) -> list[float]:
    return [float(number) for number in re.findall(r"(?<![\w-])-?\d+(?:\.\d+)?", text)]


def changes(old: Job, new: Job) -> set[tuple[str, str]]:
    """Give what differs between two jobs, as pairs of a thing and its field."""
    found = set()
    for kind in KINDS:
        for one, other in zip(old.table(kind), new.table(kind), strict=True):
            assert one.id == other.id
            found |= {
                (one.id, name)
                for name in type(one).model_fields
                if getattr(one, name) != getattr(other, name)
            }
    for name in type(old.allowances).model_fields:
        if getattr(old.allowances, name) != getattr(new.allowances, name):
            found.add(("allowances", name))
    assert (old.site, old.catalogue) == (new.site, new.catalogue)
    return found


def corner() -> Job:
    """A run round a corner, too long for one bar on its second wall."""
    walls = [{"id": "A", "room": "K", "length": 1383}, {"id": "B", "room": "K", "length": 4000}]
    more = [
        {"id": f"B{n}", "wall": "B", "at": at, "width": 900, "depth": 320, "bottom_height": 1400}
        for n, at in enumerate((320, 1220, 2120), 1)
    ]
    return one_bar(
        drop=["A"],
        add={"walls": walls, "cabinets": more},
        R1={"cabinets": ["A1", "B1", "B2", "B3"]},
        allowances={"longest_bar": 2000},
    )


def three_runs(**how: Any) -> Job:
    """Three cabinets 700 apart with a run each on one leg; the supply is in the first."""
    runs = [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1"} for n in (2, 3)]
    things = [obstacle(f"O{n}", at, 700, "window") for n, at in ((1, 1100), (2, 2400))]
    add = {"runs": runs, "obstacles": [*things, *how.pop("obstacles", [])]}
    return row(600, 600, 600, gap=700, R1={"cabinets": ["A1"]}, add=add, **how)


KITCHEN = read_example("kitchen")
SUBJECTS: list[tuple[Job, Kind, str]] = [
    *((KITCHEN, kind, one.id) for kind in ("run", "obstacle", "supply", "leg")
      for one in KITCHEN.table(kind)),
    (corner(), "run", "R1"),
    (one_bar(R1={"channel": "corner-18", "facing": "60 to wall"}), "run", "R1"),
    (one_bar(A1={"opening": [919], "width": 919}), "run", "R1"),
    (three_runs(), "obstacle", "O1"),
    (three_runs(), "supply", "S1"),
    (three_runs(L1={"wiring": "chained"}), "leg", "L1"),
]  # fmt: skip


def name(subject: object) -> str:
    return subject if isinstance(subject, str) else ""
