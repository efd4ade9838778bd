"""The thinnest cable that will do, by all that a plan would stop at, warn of, or ask about it."""

from collections.abc import Callable, Collection, Sequence
from typing import Final, Literal, NamedTuple, get_args

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.job import Job, Site
from pelmet.model.job.parts import Cable
from pelmet.model.job.rules import Region
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.circuit.protection import (
    Takes,
    ampacity,
    fuses_that_do,
    heaviest_amps,
    joints,
    largest_fuse,
    limited_to,
    section_mm2,
)
from pelmet.model.plan.circuit.sections import thin_by
from pelmet.model.plan.circuit.sources import most_driven
from pelmet.model.plan.circuit.worst import worst_drop_with
from pelmet.model.plan.ways.routes import Routes

Test = Literal["drop", "ampacity", "section", "terminals", "protection"]
TESTS: Final[tuple[Test, ...]] = get_args(Test)


class CableNeeds(NamedTuple):
    """What a leg needs of its cable.

    ``amps`` is what it draws through a fuse at its supply, ``heaviest`` the most that one of its
    cables carries, ``drop`` the most it may lose [% of the supply's volts], ``takes`` the sections
    that all its terminals and connectors take. ``source`` is the most its supply can drive [A],
    nothing when no label limits it; ``fuse`` the one that was chosen [A], if any; ``fuse_share``
    the part of its rating that a fuse may carry all the time [%].
    """

    amps: float
    heaviest: float
    drop: float
    takes: Takes
    source: float | None
    fuse: float | None
    fuse_share: float
    region: Region


class CableTrial(NamedTuple):
    """One cable tried: its copper [mm2], the drop with it [%] if it works, and what it fails.

    ``fuse`` is the one it asks for [A], where nothing that is there protects it.
    """

    cable: str
    mm2: float
    by_gauge: bool
    drop: float | None
    fails: tuple[Test, ...]
    fuse: float | None = None

    @property
    def will_not_do(self) -> bool:
        """Whether a plan would stop at it or warn of it, and not only ask."""
        return any(test != "section" for test in self.fails)


class CableChoice(NamedTuple):
    """The cable chosen, if any passes; what ruled out the next thinner one; every cable tried.

    ``decided_by`` is empty when no thinner cable of its kind was tried. Mostly it holds one test;
    two or more when the next thinner cable failed them together.
    """

    chosen: str | None
    decided_by: tuple[Test, ...]
    trials: tuple[CableTrial, ...]

    @property
    def words(self) -> str:
        """Name the cable chosen, the fuse it asks for, and what decides it."""
        fuse = next((each.fuse for each in self.trials if each.cable == self.chosen), None)
        with_fuse = f" with a fuse of {fuse:g} A" if fuse else ""
        by = f", decided by {' and '.join(self.decided_by)}" if self.decided_by else ""
        return f"{self.chosen}{with_fuse}{by}"


def by_gauge(site: Site) -> bool:
    """Say if a job thinks in AWG: in the region us, or when its lengths are in inches."""
    return site.region == "us" or site.length_unit == "in"


def cable_needs(
    job: Job, parts: Catalogue, routes: Routes, circuit: LegCircuit
) -> CableNeeds | None:
    """Give what a leg needs of its cable; nothing while it cannot be worked out."""
    leg, most = circuit.leg, heaviest_amps(circuit)
    part = next(supply.part for supply in job.supplies if supply.id == leg.supply)
    supply = find_part(parts.supplies, part)
    if circuit.amps is None or most is None or supply is None:
        return None
    own = {flow.cable for flow in circuit.flows}
    takes = Takes.of(supply)
    for joint in joints(parts, routes, (circuit,)):
        if joint.cable in own and joint.connector:
            takes = takes.also(Takes.of(joint.connector))
    source = most_driven(job, supply)
    return CableNeeds(
        amps=float(circuit.amps.value),
        heaviest=float(most.value),
        drop=float(job.allowances.drop_warn),
        takes=takes,
        source=float(source.value) if source else None,
        fuse=float(leg.fuse) if leg.fuse else None,
        fuse_share=float(job.allowances.fuse_share),
        region=job.site.region,
    )


def thinnest_cable(
    job: Job, parts: Catalogue, fits: tuple[RunFit, ...], routes: Routes, circuit: LegCircuit
) -> CableChoice | None:
    """Choose the thinnest cable for a leg as it is laid, solving it with each of the catalogue."""
    needs = cable_needs(job, parts, routes, circuit)
    chosen = find_part(parts.cables, circuit.leg.cable)
    if needs is None or chosen is None:
        return None
    cables = [cable for cable in parts.cables if cable.cores == chosen.cores]
    return choose_cable(
        needs,
        cables,
        lambda cable: worst_drop_with(job, parts, fits, routes, circuit.leg, cable),
        thin=[each.id for each in cables if thin_by(job, routes, circuit.leg, each)],
        gauge_first=by_gauge(job.site),
    )


def choose_cable(
    needs: CableNeeds,
    candidates: Sequence[Cable],
    drop_of: Callable[[Cable], float | None],
    *,
    thin: Collection[str] = (),
    gauge_first: bool,
) -> CableChoice:
    """Choose the thinnest cable that passes all tests, metric and AWG rows by their copper.

    ``drop_of`` gives the leg's drop [%] with a cable, or nothing when the leg does not work
    with it; ``thin`` are those of which the region asks for more
    copper. ``gauge_first`` says that the job
    thinks in AWG; a cable of the other kind is taken only when none of its own passes. One that
    asks for a fuse which nobody chose is taken only where all of its kind do. Candidates must have
    as many cores as the leg needs.
    """
    ordered = sorted(candidates, key=lambda cable: (section_mm2(cable), cable.id))
    trials = tuple(_trial(needs, cable, drop_of(cable), thin=cable.id in thin) for cable in ordered)
    for kind in (gauge_first, not gauge_first):
        own = [trial for trial in trials if trial.by_gauge == kind]
        able = [trial for trial in own if not trial.fails]
        if able:
            chosen = next((trial for trial in able if trial.fuse is None), able[0])
            place = own.index(chosen)
            return CableChoice(chosen.cable, _ruled_out(own[place - 1]) if place else (), trials)
    return CableChoice(None, (), trials)


def _ruled_out(trial: CableTrial) -> tuple[Test, ...]:
    """Give what rules a cable out: what it fails, or that it asks for a fuse."""
    return trial.fails or ("protection",)


def _trial(needs: CableNeeds, cable: Cable, drop: float | None, *, thin: bool) -> CableTrial:
    carries = float(ampacity(cable, needs.region).value)
    mm2 = section_mm2(cable)
    passed: dict[Test, bool] = {
        "drop": drop is not None and drop <= needs.drop,
        "ampacity": needs.heaviest <= carries,
        "section": not thin,
        "terminals": needs.takes.takes(mm2),
        "protection": _protected(needs, cable, carries),
    }
    fails = tuple(test for test in TESTS if not passed[test])
    fuse = _fuse_asked(needs, cable, carries)
    return CableTrial(cable.id, mm2, cable.awg is not None, drop, fails, fuse)


def _protected(needs: CableNeeds, cable: Cable, carries: float) -> bool:
    """Say if the source, the fuse that was chosen, or one that could be, protects a cable."""
    if limited_to(needs.source, carries):
        return True
    if needs.fuse is not None:
        return needs.fuse <= float(largest_fuse(cable, needs.region).value)
    return _fuse_asked(needs, cable, carries) is not None


def _fuse_asked(needs: CableNeeds, cable: Cable, carries: float) -> float | None:
    """Give the smallest fuse that protects a cable [A], where nothing that is there does."""
    if limited_to(needs.source, carries) or needs.fuse is not None:
        return None
    largest = float(largest_fuse(cable, needs.region).value)
    return next(iter(fuses_that_do(needs.amps, needs.fuse_share, largest)), None)
