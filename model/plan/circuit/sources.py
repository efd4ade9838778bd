"""What a supply's label and sheet say of its output: the most it drives, and what it is.

Class 2 says how much a source gives, SELV that it is isolated, of few volts and not earthed; class
II, how its case insulates, is a third thing. None of them says another.
"""

from decimal import Decimal
from typing import Final

from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.rules import rule

_LOW_BAND: Final = Decimal(30)  # [V] up to which a Class 2 source is limited by its amps
_PERCENT: Final = 100


def is_class_2(part: SupplyPart) -> bool | None:
    """Say if a label says Class 2; nothing if nobody has read whether it does."""
    return {"class 2": True, "no": False}.get(part.limited)


def is_selv(part: SupplyPart) -> bool | None:
    """Say if a label says SELV; nothing if nobody has read whether it does."""
    if part.selv is not None:
        return part.selv
    return {"SELV": True, "no": False}.get(part.limited)


def label_words(part: SupplyPart) -> str:
    """Say what a label says of the output: each of its protections, and what nobody has read."""
    kinds = (("Class 2", is_class_2(part)), ("SELV", is_selv(part)))
    says = [name for name, known in kinds if known]
    denies = [name for name, known in kinds if known is False]
    unread = [name for name, known in kinds if known is None]
    most = f"drives at most {part.most_amps:f} A by its sheet" if part.most_amps else ""
    told = (
        " and ".join(says),
        f"not {' nor '.join(denies)}" if denies else "",
        f"{' and '.join(unread)} not read" if unread else "",
        most,
    )
    return ", ".join(text for text in told if text)


def most_driven(job: Job, part: SupplyPart) -> Figure | None:
    """Give the most a supply drives, overloaded or into a fault [A]; nothing if nothing limits it.

    By its sheet; else of a Class 2 source what constant-voltage supplies drive before they limit,
    and no more than such a source may. Its rated amps limit nothing, nor does a label that is not
    read, nor SELV, which says nothing of amps.
    """
    if part.most_amps:
        return given("most amps", part.most_amps, "A", "part", part.id)
    if not is_class_2(part):
        return None
    ceiling = _class_2_ceiling(job, part)
    if ceiling and float(ceiling.value) < float(full_load(part).value):
        return None  # no such label fits what it is rated at
    limits = [limit for limit in (overload(job, part), ceiling) if limit]
    return derived("most driven", "A", least_driven, part.id, *limits) if limits else None


def overload(job: Job, part: SupplyPart) -> Figure | None:
    """Give what a constant-voltage supply drives before it limits [A]; nothing if no rule says."""
    ruled = rule(job, "source-overload")
    if ruled is None or ruled.limit is None:
        return None
    share = given("source overload", ruled.limit, "%", "rule", part.id)
    return derived("overload", "A", overload_amps, part.id, full_load(part), share)


def _class_2_ceiling(job: Job, part: SupplyPart) -> Figure | None:
    """Give the most amps of a Class 2 source of these volts [A]; nothing if no rule says."""
    low = part.volts <= _LOW_BAND
    ruled = rule(job, "class-2-fault-amps" if low else "class-2-fault-watts")
    if ruled is None or ruled.limit is None:
        return None
    if low:
        return given("Class 2 at most", ruled.limit, "A", "rule", part.id)
    watts = given("Class 2 at most", ruled.limit, "W", "rule", part.id)
    volts = given("supply volts", part.volts, "V", "part", part.id)
    return derived("Class 2 amps", "A", full_load_amps, part.id, watts, volts)


def full_load(supply: SupplyPart) -> Figure:
    """Give the amps of a supply at full load [A]."""
    watts = given("rating", supply.watts, "W", "part", supply.id)
    volts = given("supply volts", supply.volts, "V", "part", supply.id)
    return derived("full load", "A", full_load_amps, supply.id, watts, volts)


@works_out("full load amps")
def full_load_amps(watts: float, volts: float) -> float:
    """Give what flows out of a supply that gives its rated watts [A]."""
    return watts / volts


@works_out("overload amps")
def overload_amps(full: float, share: float) -> float:
    """Give what a supply drives before it limits [A]: a share [%] of its amps at full load."""
    return full * share / _PERCENT


@works_out("most driven")
def least_driven(*amps: float) -> float:
    """Give what a source drives by all that limits it [A]."""
    return min(amps)
