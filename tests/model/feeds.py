"""Jobs that have come some way, with a run that nothing feeds yet: helpers of several tests."""

from pelmet.model.edit.change import altered, rebuilt
from pelmet.model.edit.options.feeding import feeding_options
from pelmet.model.edit.options.option import Option, whole
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Status
from pelmet.model.job.job import Job

OWN = Catalogue()


def unfed(job: Job, run_id: str, status: Status = "proved") -> Job:
    """Take a run off its leg, and a leg that feeds nothing then; the others have come so far."""
    runs = tuple(
        altered(run, {"leg": None} if run.id == run_id else {"status": status}) for run in job.runs
    )
    left = {run.leg for run in runs}
    return rebuilt(job, runs=runs, legs=tuple(leg for leg in job.legs if leg.id in left))


def kitchen(part: str = "supply-24-96", status: Status = "proved") -> Job:
    """The example, its shelf R4 not fed; three legs leave S1 and carry 30.7 W."""
    job = unfed(read_example("kitchen"), "R4", status)
    return rebuilt(job, supplies=tuple(altered(each, {"part": part}) for each in job.supplies))


def pantry(status: Status = "proved") -> Job:
    """The example with a pantry that nothing feeds, in a room to which no way is known."""
    return unfed(read_example("kitchen-with-pantry"), "R5", status)


def ways(job: Job, run_id: str = "R4") -> tuple[Option, ...]:
    """Give all ways to feed a run."""
    return whole(feeding_options(job, OWN, run_id))


def way(job: Job, choice: str, run_id: str = "R4") -> Option:
    """Give the way of this name."""
    return next(each for each in ways(job, run_id) if each.choice == choice)


def works(option: Option) -> bool:
    """Tell whether an option says that it feeds the run."""
    return option.gives.startswith(("works", "disturbs"))
