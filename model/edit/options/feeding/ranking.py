"""The ways to feed a run in their order: as a search for a list, and as they were tried."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.edit.options.feeding.trial import Before, Tried
from pelmet.model.edit.options.feeding.ways import ways_to_feed
from pelmet.model.edit.options.feeding.words import told, why_not
from pelmet.model.edit.options.option import Option, Search
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook

MOST_TRIALS: Final = 160
"""So many plans are made for one run at most; a kitchen takes some twenty."""
_REASONS = 2  # why the least that would does not: a line or two are read, no more


def is_unfed(job: Job, run_id: str) -> bool:
    """Tell whether there is such a run, and nothing feeds it."""
    return any(run.id == run_id and run.leg is None for run in job.runs)


def feeding_options(
    job: Job, parts: Catalogue, run_id: str, prices: PriceBook | None = None
) -> Search:
    """Rank the ways to feed a run: those that work and disturb nothing fitted first, then by cost.

    Where none works the first row says so, and names the least that would: the fewest stops, then
    the fewest warnings, then the cheapest.
    """
    before = Before.of(job, parts, run_id, prices)
    rows: dict[str, tuple[Tried, Option]] = {}
    found: tuple[Tried, ...] = ()
    trials = 0
    for found in ranked_ways(before):
        trials += 1
        for each in found:
            name = each.way.choice
            if name not in rows or rows[name][0] is not each:
                rows[name] = each, told(before, each)
        yield tuple(rows[each.way.choice][1] for each in found)
    options = tuple(rows[each.way.choice][1] for each in found)
    if not found or not found[0].works:
        why = nothing_works(before, found)
        options = Option("nothing works", "Enter says why", (why,), None), *options
    if trials == MOST_TRIALS:
        why = f"{trials} plans were made, and no more are: other ways were not tried"
        options = *options, Option("not all tried", "Enter says why", (why,), None)
    yield options


def ranked_ways(before: Before) -> Iterator[tuple[Tried, ...]]:
    """Give the ways tried so far after each trial, the best first."""
    best: dict[str, Tried] = {}
    for _, tried in zip(range(MOST_TRIALS), ways_to_feed(before), strict=False):
        was = best.get(tried.way.choice)
        if was is None or tried.rank < was.rank:
            best[tried.way.choice] = tried
        yield tuple(sorted(best.values(), key=lambda each: each.rank))


def nothing_works(before: Before, found: tuple[Tried, ...]) -> str:
    """Say that no way works, and which would do with the least: why that one does not."""
    if not found:
        return f"no supply of the catalogue feeds the strip of {before.run.id}"
    return f"the least that would: {found[0].way.choice}, but {why_not(found[0], _REASONS)}"
