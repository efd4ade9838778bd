"""The first way for each run that nothing feeds: taken one after another, none that disturbs."""

from collections.abc import Iterator
from typing import NamedTuple

from pelmet.model.edit.options.feeding.ranking import nothing_works, ranked_ways
from pelmet.model.edit.options.feeding.trial import Before, Tried
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook


class Told(NamedTuple):
    """A run, and the way that was taken for it, or why none was."""

    run: str
    says: str


class Fed(NamedTuple):
    """A job as far as its runs have been fed: the ways that were taken, and what is still unfed.

    ``trying`` is the run that ways are tried for, ``trials`` how many there were so far.
    """

    job: Job
    taken: tuple[Told, ...] = ()
    left: tuple[Told, ...] = ()
    trying: str = ""
    trials: int = 0


def feed_runs(job: Job, parts: Catalogue, prices: PriceBook | None = None) -> Iterator[Fed]:
    """Take the first way for each unfed run that works and disturbs nothing; the last is all.

    One run after another, so a leg or a supply that is new by then may feed the next as well.
    What is bought or fitted is left as it is: a way that disturbs it is for a person to pick.
    """
    fed = Fed(job)
    yield fed
    for run in job.runs:
        if run.leg is not None:
            continue
        before = Before.of(fed.job, parts, run.id, prices)
        found: tuple[Tried, ...] = ()
        for ranked in ranked_ways(before):
            found = ranked
            fed = fed._replace(trying=run.id, trials=fed.trials + 1)
            yield fed
        fed = _after(before, fed, found)
        yield fed


def _after(before: Before, fed: Fed, found: tuple[Tried, ...]) -> Fed:
    """Take the first way, or say why not."""
    run = before.run.id
    if not found or not found[0].works:
        why = nothing_works(before, found)
    elif found[0].disturbed:
        why = f"{found[0].way.choice} works, but disturbs {'; '.join(found[0].disturbed)}"
    else:
        way = found[0].way
        return fed._replace(job=way.job, taken=(*fed.taken, Told(run, way.choice)))
    return fed._replace(left=(*fed.left, Told(run, why)))
