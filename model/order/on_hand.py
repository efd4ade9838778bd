"""What of a part is on hand for a job: ordered and still whole, off-cuts drawn, rests kept.

A stock length is sawn once: what came out of it is its pieces and its rest, and the rest is stock
only if somebody kept it.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.built import CutLength
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import OffCut


class OnHand(NamedTuple):
    """What of a part is there: ordered, by length [mm] and how many; off-cuts; cuts with a rest.

    ``begins`` gives by cut where its rest began on what was bought [mm].
    """

    ordered: tuple[tuple[Decimal, int], ...]
    off_cuts: tuple[OffCut, ...]
    rests: tuple[CutLength, ...]
    begins: tuple[tuple[str, Decimal], ...] = ()


def on_hand(job: Job, part: str) -> OnHand:
    """Give what of a part is there and not cut up."""
    cuts = [cut for cut in job.cuts if cut.part == part]
    gone = {cut.offcut or cut.rest_of for cut in cuts}
    sawn = lengths_sawn(job, part)
    ordered = []
    for length, count in lengths_ordered(job, part).items():
        if whole := max(count - sawn[length], 0):
            ordered.append((length, whole))
    rests = tuple(cut for cut in cuts if cut.kept == "kept" and cut.rest and cut.id not in gone)
    return OnHand(
        tuple(ordered),
        tuple(each for each in job.offcuts if each.part == part and each.id not in gone),
        rests,
        tuple(_begins(rests, {cut.id: cut for cut in cuts})),
    )


def _begins(
    rests: Iterable[CutLength], cuts: Mapping[str, CutLength]
) -> Iterator[tuple[str, Decimal]]:
    """Give where each rest began on the length that was bought, unless it is of an off-cut [mm]."""
    for rest in rests:
        first, seen = rest, {rest.id}
        while (before := cuts.get(first.rest_of or "")) and before.id not in seen:
            first = before
            seen.add(first.id)
        if first.offcut is None and first.rest_of is None:
            yield rest.id, first.stock - rest.rest


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
