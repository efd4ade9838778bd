"""What fits what: which parts of a catalogue go on a channel, round a cable, into a panel."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Final, TypeVar

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Run
from pelmet.model.job.parts import Cap, Channel, Diffuser, ForChannel, Serves, Sundry

ON_CHANNEL: Final[frozenset[Serves]] = frozenset({"clip", "joiner", "mitre piece"})
"""What of the small things goes on one size of channel and on no other."""

F = TypeVar("F", bound=ForChannel)


def goes_on(part: ForChannel, channel: Channel) -> bool:
    """Say if a part is made for a channel of this section; a size that it does not say fits."""
    return part.for_face in (None, channel.face) and part.for_depth in (None, channel.depth)


def cap_of(parts: Catalogue, channel: Channel) -> Cap | None:
    """Give the end cap of a channel: the one it names; if that does not go on it, one that does.

    Where none goes on it, the one it names all the same; nothing where that is not known.
    """
    named = find_part(parts.caps, channel.cap)
    if named is None or goes_on(named, channel):
        return named
    return next(_made_for(parts.caps, channel), named)


def cover_of(parts: Catalogue, run: Run) -> Diffuser | None:
    """Give the cover of a run: the one it names; if that does not go on its channel, its like.

    That is the one made for the channel that is as clear and lets through most nearly as much
    light. Where there is none, the one it names all the same; nothing where that is not known.
    """
    named = find_part(parts.diffusers, run.diffuser)
    channel = find_part(parts.channels, run.channel)
    if named is None or channel is None or goes_on(named, channel):
        return named
    able = (each for each in _made_for(parts.diffusers, channel) if each.clear == named.clear)

    def unlike(other: Diffuser) -> Decimal:
        return abs(other.transmission_percent - named.transmission_percent)

    return min(able, key=unlike, default=named)


def sundry_for(parts: Catalogue, serves: Serves, channel: Channel | None = None) -> Sundry | None:
    """Give what serves, of the catalogue's own order; on a channel, what is made for its size.

    What does not say its size is taken only where nothing does that fits.
    """
    able = [each for each in parts.sundries if each.serves == serves]
    if serves in ON_CHANNEL and channel is not None:
        return next(_made_for(able, channel), None)
    return next(iter(able), None)


def mitre_piece_for(parts: Catalogue, channel: Channel, degrees: Decimal) -> Sundry | None:
    """Give what holds two mitred channels together at a corner of so many degrees."""
    able = (each for each in parts.sundries if each.serves == "mitre piece")
    return next(_made_for((each for each in able if each.corner in (None, degrees)), channel), None)


def screw_for(parts: Catalogue, longest: Decimal) -> Sundry | None:
    """Give the longest screw that is no longer than this [mm]; one of no said length counts so."""
    screws = [each for each in parts.sundries if each.serves == "screw"]
    able = [each for each in screws if each.length is not None and each.length <= longest]
    unsaid = (each for each in screws if each.length is None)
    return max(able, key=lambda each: each.length or 0, default=next(unsaid, None))


def tape_for(parts: Catalogue, channel: Channel) -> Sundry | None:
    """Give the widest mounting tape that is no wider than a channel; else one of no said width."""
    tapes = [each for each in parts.sundries if each.serves == "mounting tape"]
    able = [each for each in tapes if each.width is not None and each.width <= channel.face]
    unsaid = (each for each in tapes if each.width is None)
    return max(able, key=lambda each: each.width or 0, default=next(unsaid, None))


def tail_for(parts: Catalogue, cores: int, amps: float) -> Sundry | None:
    """Give the thinnest tail wire of so many cores that carries this [A], else the thickest."""
    wires = [each for each in parts.sundries if each.serves == "tail wire" and each.cores == cores]
    able = [each for each in wires if each.amps is None or float(each.amps) >= amps]
    by_copper = sorted(able or wires, key=lambda each: each.mm2 or 0, reverse=not able)
    return next(iter(by_copper), None)


def smallest_grommet(grommets: Iterable[Sundry], bundle: Decimal) -> Sundry | None:
    """Give the smallest of some grommets whose bore lets so much through [mm], or nothing."""
    able = [each for each in grommets if each.bore is not None and each.bore >= bundle]
    return min(able, key=lambda each: each.bore or 0, default=None)


def _made_for(some: Iterable[F], channel: Channel) -> Iterator[F]:
    """Give those that go on a channel, those that say so before those that say nothing."""
    able = [each for each in some if goes_on(each, channel)]
    return iter(sorted(able, key=lambda each: each.for_face is None and each.for_depth is None))
