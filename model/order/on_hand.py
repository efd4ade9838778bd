"""What of a part is on hand for a job: ordered and still whole, off-cuts drawn, rests kept.

A stock length is sawn once: what came out of it is its pieces and its rest, and the rest is stock
only if somebody kept it.
"""

from collections import Counter
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.built import CutLength
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import OffCut


class OnHand(NamedTuple):
    """What of a part is there: ordered, by length [mm] and how many; off-cuts; cuts with a rest."""

    ordered: tuple[tuple[Decimal, int], ...]
    off_cuts: tuple[OffCut, ...]
    rests: tuple[CutLength, ...]


def on_hand(job: Job, part: str) -> OnHand:
    """Give what of a part is there and not cut up."""
    cuts = [cut for cut in job.cuts if cut.part == part]
    gone = {cut.offcut or cut.rest_of for cut in cuts}
    sawn = lengths_sawn(job, part)
    ordered = []
    for length, count in lengths_ordered(job, part).items():
        if whole := max(count - sawn[length], 0):
            ordered.append((length, whole))
    return OnHand(
        tuple(ordered),
        tuple(each for each in job.offcuts if each.part == part and each.id not in gone),
        tuple(cut for cut in cuts if cut.kept == "kept" and cut.rest and cut.id not in gone),
    )


def lengths_ordered(job: Job, part: str) -> Counter[Decimal]:
    """Count what was ordered of a part that goes by length, by that [mm]."""
    counts: Counter[Decimal] = Counter()
    for each in job.ordered:
        if each.part == part and each.length is not None:
            counts[each.length] += int(each.amount)
    return counts


def lengths_sawn(job: Job, part: str) -> Counter[Decimal]:
    """Count the whole lengths of a part that were cut up, by length [mm]."""
    return Counter(
        cut.stock
        for cut in job.cuts
        if cut.part == part and cut.offcut is None and cut.rest_of is None
    )
