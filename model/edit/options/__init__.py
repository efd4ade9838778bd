"""What else could be chosen for a thing, each tried out: what it gives, and why or why not."""

from collections.abc import Callable
from typing import TypeAlias

from pelmet.model.edit.change import Subject
from pelmet.model.edit.options.crossings import crossing_options
from pelmet.model.edit.options.feeding import feeding_options, is_unfed
from pelmet.model.edit.options.fixes import leg_fails, leg_options
from pelmet.model.edit.options.lights import lacks_light, light_options
from pelmet.model.edit.options.option import Option, Search, whole
from pelmet.model.edit.options.places import place_options
from pelmet.model.edit.options.runs import run_options
from pelmet.model.edit.options.supplies import supply_options
from pelmet.model.edit.options.wirings import wiring_options
from pelmet.model.edit.options.zones import dimmers, switches
from pelmet.model.edit.taking_off import unbuilt, with_what_stays
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook
from pelmet.model.plan.stages import plan_job

__all__ = ["Option", "Search", "options_for", "options_tried"]


def _of_run(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Give what a run could be: as it is, and what would light better first, if it lacks light."""
    own: tuple[Option, ...] = ()
    for own in run_options(job, parts, item_id):
        yield own
    lacks = lacks_light(plan_job(job, parts), item_id)
    for better in light_options(job, parts, item_id):
        now, *others = own
        offered = {option.choice for option in better}
        rest = tuple(option for option in others if option.choice not in offered)
        yield (now, *better, *rest) if lacks else (now, *rest, *better)


def _of_leg(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Give what a leg could be: as it is and what would put it right first, if it fails."""
    ways: tuple[Option, ...] = ()
    for ways in wiring_options(job, parts, item_id):
        yield ways
    fails = leg_fails(job, parts, item_id)
    before = tuple(way for way in ways if way.taken or not fails)
    after = tuple(way for way in ways if fails and not way.taken)
    first = ways
    for cures in leg_options(job, parts, item_id):
        first = (*before, *cures, *after)
        yield first
    for others in dimmers(job, parts, item_id):
        yield (*first, *others)


def _of_supply(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Give where a supply could sit, then what it could be."""
    places: tuple[Option, ...] = ()
    for places in place_options(job, parts, item_id):
        yield places
    for more in supply_options(job, parts, item_id):
        yield (*places, *more)


_OFF = "takes off what is built"
_Maker: TypeAlias = Callable[[Job, Catalogue, str], Search]
_MAKERS: dict[str, _Maker] = {
    "run": _of_run,
    "obstacle": crossing_options,
    "supply": _of_supply,
    "leg": _of_leg,
    "zone": switches,
}


def options_tried(
    job: Job, parts: Catalogue, kind: Subject, item_id: str, prices: PriceBook | None = None
) -> Search:
    """Try out what else could be chosen for a run, an obstacle, a supply, a leg or a zone.

    What is built is tried like the rest, and an option that takes any of it off says so, after
    those that do not. ``parts`` is the user's own catalogue. After each trial all that are known
    are given, the best first where there is a best; of a run that nothing feeds the ways to feed it
    are the first, priced by ``prices``, or by the bundled book. Nothing for other kinds of thing.
    """
    maker = _MAKERS.get(kind)
    found = _said(job, parts, item_id, maker) if maker else iter(())
    if kind == "run" and is_unfed(job, item_id):
        return _before(feeding_options(job, parts, item_id, prices), found)
    return found


def _said(job: Job, parts: Catalogue, item_id: str, maker: _Maker) -> Search:
    """Give options what is built and stays; those that take any of it off come last.

    What is first told of how things are is told as they are built.
    """
    if unbuilt(job) == job:
        yield from maker(job, parts, item_id)
        return
    now = {each.choice: each for each in next(maker(job, parts, item_id), ()) if each.taken}
    for found in maker(unbuilt(job), parts, item_id):
        options = [now.get(each.choice) or _with_words(job, each) for each in found]
        yield tuple(sorted(options, key=lambda one: bool(one.reasons and _OFF in one.reasons[0])))


def _with_words(job: Job, option: Option) -> Option:
    if option.job is None:
        return option
    changed, words = with_what_stays(job, option.job)
    reasons = (words, *option.reasons) if words else option.reasons
    return option._replace(job=changed, reasons=reasons)


def _before(search: Search, others: Search) -> Search:
    """Let one search come before another, and what it gave stay first."""
    first: tuple[Option, ...] = ()
    for first in search:
        yield first
    for more in others:
        yield (*first, *more)


def options_for(
    job: Job, parts: Catalogue, kind: Subject, item_id: str, prices: PriceBook | None = None
) -> tuple[Option, ...]:
    """Try out all that could be chosen for a thing."""
    return whole(options_tried(job, parts, kind, item_id, prices))
