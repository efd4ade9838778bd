"""What the keys add, remove and propose, by the step and by what one stands on."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final, NamedTuple

from pelmet.model.edit.change import remove
from pelmet.model.edit.propose import propose_power, propose_runs
from pelmet.model.edit.taking_off import noted_no_more
from pelmet.model.job.built import Done
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import KINDS, Item, Kind
from pelmet.model.job.job import Job
from pelmet.model.order.status import anything_bought
from pelmet.model.refusal import Refusal
from pelmet.model.told.words import shortened
from pelmet.tui.session.place import Place
from pelmet.tui.session.steps import OBSTACLES, PAPERS, POWER, ROOMS, RUNS, Listed, Step

if TYPE_CHECKING:
    from pelmet.model.edit.options.feeding import Fed
    from pelmet.model.job.prices import PriceBook

_MOST_LETTERS: Final = 150  # of what is told under the entry line before what to do
_BY_STEP: dict[str, Kind] = {RUNS.name: "run", OBSTACLES.name: "obstacle"}
_ABOVE: dict[str, dict[Listed, Kind]] = {
    ROOMS.name: {"cabinet": "wall", "wall": "wall", "room": "room", "site": "room"},
    POWER.name: {
        "leg": "supply",
        "supply": "zone",
        "run": "override",
        "zone": "override",
        "override": "supply",
    },
    PAPERS.name: dict.fromkeys(PAPERS.forms, "offer"),
}


def above_kind(place: Place) -> Kind:
    """Give the kind above: the next wall after a cabinet or a wall, the next room after a room.

    In the Power step a supply after a leg, a zone after a supply, an override of a rule after a
    run or a zone, and a supply again after that; in the Papers step an option.
    """
    kind = _ABOVE.get(place.step.name, {}).get(place.kind)
    if kind is None:
        remedy = "Ctrl+N adds the next"
        raise Refusal("Walls and rooms are added in the Rooms step", remedy=remedy)
    return kind


def next_kind(place: Place, job: Job, here: Item | None) -> Kind:
    """Give the kind of the next thing: of what one stands on, or its first part if it has none."""
    if place.step.name in _BY_STEP:
        return _BY_STEP[place.step.name]
    if place.step is POWER:
        if place.kind == "leg" or (here and place.kind == "supply"):
            return "leg"
        if place.kind == "zone" or place.kind == "override":
            return place.kind
        return "supply"
    if place.step is PAPERS:
        return "offer" if place.kind == "offer" else "revision"
    if place.step is not ROOMS:
        remedy = "F2 to F4, F6 and F7 are the steps that add"
        raise Refusal("Nothing is added here", remedy=remedy)
    if place.kind == "room" and here:
        return "wall"
    if place.kind == "wall" and here:
        return "cabinet"
    return "room" if place.kind == "site" or not job.walls else "cabinet"


class Removal(NamedTuple):
    """A job without the thing one stands on; what was noted of it as built and goes along."""

    job: Job
    gone: str
    noted: tuple[str, ...]


def removal(place: Place, job: Job, here: Item | None) -> Removal:
    """Remove the thing one stands on, with all that cannot be without it."""
    kind = place.kind
    if here is None or kind not in KINDS:
        raise Refusal("This cannot be removed")
    if kind == "run" and place.step not in (ROOMS, RUNS, OBSTACLES):
        raise Refusal("Runs are removed in the Runs step, F3")
    left = remove(job, kind, here.id)
    noted = () if isinstance(here, Done) else noted_no_more(job, left)
    return Removal(left, here.id, noted)


class Proposal(NamedTuple):
    """A job with what was proposed for it: the first new thing, its field to start in, in words."""

    job: Job
    kind: Kind
    first: str
    field: str
    words: str


def proposal(step: Step, job: Job, parts: Catalogue) -> Proposal:
    """Propose runs in the Runs step, supply and legs in the Power step."""
    if step is RUNS:
        new = propose_runs(job)
        runs = new.runs[len(job.runs) :]
        return Proposal(
            new, "run", runs[0].id, "cabinets", f"{_counted(len(runs), 'run')} proposed"
        )
    if step is POWER:
        new = propose_power(job, parts)
        legs = new.legs[len(job.legs) :]
        return Proposal(new, "leg", legs[0].id, "supply", f"{_counted(len(legs), 'leg')} proposed")
    raise Refusal("Proposals are for the Runs step (F3) and the Power step (F6)")


def feeding(
    step: Step, job: Job, parts: Catalogue, prices: "PriceBook | None"
) -> "Iterator[Fed] | None":
    """Give the search for ways to feed, where a proposal has to leave be what is bought."""
    unfed = any(run.leg is None for run in job.runs)
    if step is not POWER or not unfed or not anything_bought(job):
        return None
    from pelmet.model.edit.options.feeding import feed_runs

    return feed_runs(job, parts, prices)


def fed_proposal(fed: "Fed") -> Proposal:
    """Propose what was found; ``Refusal`` where no run could be fed."""
    left = "; ".join(f"{run}: {says}" for run, says in fed.left)
    if not fed.taken:
        raise Refusal(shortened(left, _MOST_LETTERS), remedy="F8 on the run lists all ways")
    taken = "; ".join(f"{run}: {says}" for run, says in fed.taken)
    words = f"{taken}. Not fed: {left}" if left else taken
    return Proposal(fed.job, "run", fed.taken[0].run, "leg", f"{words}; Ctrl+Z takes it back")


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
