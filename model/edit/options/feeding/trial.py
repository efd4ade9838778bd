"""One way to feed a run, planned whole: what it brings, what it costs, what fitted it disturbs."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final, NamedTuple, get_args

from pelmet.model.job.built import past
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg, Supply
from pelmet.model.job.items import Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Strip
from pelmet.model.job.prices import PriceBook, Trade, bundled_prices
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.order.labour import minutes_of
from pelmet.model.order.price_of import unit_price
from pelmet.model.order.status import is_bought, is_fitted, is_laid, runs_on
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

_AN_HOUR: Final = Decimal(60)
_ONCE_MORE: Final = ("mount-supply", "mains-connect")  # for a supply that is fitted already
# Of these a finding that was there before and says another number now is worse, not the same.
_POWER: Final = frozenset({"supply", "leg"})

# Works and disturbs nothing, works, does not; then stops, warnings, and cost.
Rank = tuple[int, int, int, Decimal]


@dataclass(frozen=True, kw_only=True)
class Before:
    """A job with a run that nothing feeds, and all that ways to feed it are held against.

    ``own_parts`` is the user's own catalogue; ``found`` marks what stands at stop or warn.
    """

    job: Job
    own_parts: Catalogue
    prices: PriceBook
    run: Run
    plan: Plan
    folder: Folder
    found: frozenset[tuple[str, ...]]

    @classmethod
    def of(cls, job: Job, parts: Catalogue, run_id: str, prices: PriceBook | None) -> "Before":
        """Work out how a job is before its run is fed."""
        plan = plan_job(job, parts)
        book = prices or bundled_prices()
        return cls(
            job=job,
            own_parts=parts,
            prices=book,
            run=next(run for run in job.runs if run.id == run_id),
            plan=plan,
            folder=make_folder(plan, book),
            found=frozenset(_key(each) for each in plan.findings),
        )

    @property
    def parts(self) -> Catalogue:
        """The catalogue with the user's and the job's own parts."""
        return self.plan.parts

    @property
    def strip(self) -> Strip | None:
        """The strip of the run, if it is known."""
        return find_part(self.parts.strips, self.run.strip)

    @property
    def watts(self) -> float:
        """What the run's bars are rated at [W]."""
        fit = next(each for each in self.plan.fits if each.run.id == self.run.id)
        return sum(float(self.plan.circuits.watts[bar.id].value) for bar in fit.bars)


class Spent(NamedTuple):
    """What a job takes: its material, and the minutes of each trade."""

    material: Decimal
    minutes: dict[Trade, Decimal]

    def less(self, other: "Spent") -> "Spent":
        """Give how much more this is than another."""
        more = {trade: own - other.minutes[trade] for trade, own in self.minutes.items()}
        return Spent(self.material - other.material, more)

    def cost(self, prices: PriceBook) -> Decimal:
        """Give money and time together, before mark-up and tax."""
        times = (own * prices.per_hour(trade) / _AN_HOUR for trade, own in self.minutes.items())
        return self.material + sum(times, Decimal(0))


def spent_on(folder: Folder) -> Spent:
    """Give what a job takes in all."""
    times = {trade: minutes_of(folder.work, trade) for trade in get_args(Trade)}
    return Spent(folder.quote.bought, times)


class Way(NamedTuple):
    """A way to feed the run: what it is called, the job with it, and the leg that feeds the run.

    ``notes`` are reasons that its plan does not tell.
    """

    choice: str
    job: Job
    leg: str
    notes: tuple[str, ...] = ()


class Tried(NamedTuple):
    """A way that was planned whole.

    ``brought`` are the findings at stop and warn that were not there before, or are worse;
    ``known`` tells whether the volts of the leg could be worked out, ``disturbed`` what is bought
    or fitted and changed, in words.
    """

    way: Way
    plan: Plan
    folder: Folder
    brought: tuple[Finding, ...]
    known: bool
    disturbed: tuple[str, ...]
    more: Spent
    cost: Decimal

    @property
    def works(self) -> bool:
        """Whether the run is fed by it, and nothing is worse for it."""
        return self.known and not self.brought

    @property
    def rank(self) -> Rank:
        """The order of ways: those that work and disturb nothing first, then by cost."""
        if self.works:
            return bool(self.disturbed), 0, 0, self.cost
        stops = sum(each.level == "stop" for each in self.brought)
        return 2, stops, len(self.brought) - stops + (not self.known), self.cost

    @property
    def circuit(self) -> LegCircuit:
        """The leg that feeds the run."""
        return next(each for each in self.plan.circuits.legs if each.leg.id == self.way.leg)

    @property
    def supply(self) -> Supply:
        """The supply that feeds the run."""
        return next(each for each in self.way.job.supplies if each.id == self.circuit.leg.supply)


def try_way(before: Before, way: Way) -> Tried:
    """Plan a way whole, and hold it against the job before."""
    plan = plan_job(way.job, before.own_parts)
    folder = make_folder(plan, before.prices)
    leg = next(each for each in way.job.legs if each.id == way.leg)
    circuit = next(each for each in plan.circuits.legs if each.leg.id == way.leg)
    leads = plan.routes.leads_of(way.leg)
    known = circuit.worst is not None and all(lead.length is not None for lead in leads)
    more = _with_lost(before, way.job, spent_on(folder).less(spent_on(before.folder)))
    return Tried(
        way,
        plan,
        folder,
        tuple(each for each in plan.findings if _is_brought(before, leg, each)),
        known,
        tuple(_disturbed(before.job, way)),
        more,
        more.cost(before.prices),
    )


def proved_on(way: Way, run: Run) -> tuple[str, ...]:
    """Give the runs that were proved, and share the leg, the supply or the zone of a run now."""
    leg = next(each for each in way.job.legs if each.id == way.leg)
    shared = {
        each.id
        for each in way.job.legs
        if each.supply == leg.supply or (leg.zone is not None and each.zone == leg.zone)
    }
    on = runs_on(way.job, shared)
    return tuple(each.id for each in on if each.id != run.id and past(each, "proved"))


def _key(finding: Finding) -> tuple[str, ...]:
    says = finding.says if finding.kind in _POWER else ""
    return finding.level, finding.code, finding.kind, finding.about, says


def _is_brought(before: Before, leg: Leg, finding: Finding) -> bool:
    """Tell whether a finding is new, worse, or stands in the way of feeding anything from there."""
    if finding.level == "ask":
        return False
    stops = finding.level == "stop" and finding.about in (leg.id, leg.supply)
    return stops or _key(finding) not in before.found


def _swapped(job: Job, new: Job) -> list[Supply]:
    """Give the supplies that are there, are bought, and become something else."""
    kept = set(new.supplies)
    return [each for each in job.supplies if each not in kept and is_bought(job, each)]


def _disturbed(job: Job, way: Way) -> list[str]:
    swapped = [
        f"{each.id}, {'fitted' if is_fitted(job, each) else 'bought'}"
        for each in _swapped(job, way.job)
    ]
    # A tee is cut into what feeds others; a leg by itself leaves them as they are.
    laid = {leg.id for leg in job.legs if leg.id == way.leg and is_laid(job, leg)}
    teed = [f"{run.id}, {run.status}" for run in runs_on(job, laid) if past(run, "wired")]
    return [*swapped, *teed]


def _with_lost(before: Before, new: Job, more: Spent) -> Spent:
    """Add what is lost of supplies that are bought: nothing comes back of them, nor of the work."""
    material, minutes = more.material, dict(more.minutes)
    for old in _swapped(before.job, new):
        material += unit_price(before.prices, before.parts, old.part) or Decimal(0)
        if is_fitted(before.job, old):
            for task in map(before.prices.task, _ONCE_MORE):
                minutes[task.trade] += task.minutes
    return Spent(material, minutes)
