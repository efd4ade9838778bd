"""What has to be cut: each piece of channel, diffuser, strip and cable, with its length.

A bar that is spliced, or whose diffuser is joined, is cut in several pieces; strip stands longer
by what is skipped after a joint of its reel.
"""

from collections.abc import Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from itertools import pairwise
from typing import Final, Literal, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.parts import Strip
from pelmet.model.plan.fitting import RunFit
from pelmet.model.plan.preparing import Prepared
from pelmet.model.plan.wired import reached
from pelmet.model.plan.worked import Worked

Kind = Literal["channel", "diffuser", "strip", "cable"]
KINDS: Final[tuple[Kind, ...]] = ("channel", "diffuser", "strip", "cable")
SPARE: Final = "spare"
_LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"


class Piece(NamedTuple):
    """One piece to cut; ``name`` is its bar's or its cable's, with a letter if there are more.

    ``run`` and ``room`` are empty for a spare; ``assumed`` says that a reading nobody took lies
    behind its length [mm].
    """

    kind: Kind
    part: str
    name: str
    length: Decimal
    run: str
    room: str
    assumed: bool


def pieces_of(worked: Worked) -> tuple[Piece, ...]:
    """Give every piece of a plan, in the order of the bench: bars run by run, then cables."""
    return (*_bars(worked), *_spares(worked), *_cables(worked))


def _bars(worked: Worked) -> Iterator[Piece]:
    walls = {wall.id: wall.room for wall in worked.job.walls}
    ready = {one.bar.id: one for one in worked.bench}
    for fit in worked.fits:
        strip = find_part(worked.parts.strips, fit.run.strip)
        for bar in fit.bars:
            room = walls[bar.wall]
            longest = max(Decimal(str(each.value)) for each in (bar.length, *bar.points))
            assumed = bar.length.assumed

            def cut(
                kind: Kind,
                part: str,
                lengths: Sequence[Decimal],
                own: str = bar.id,
                run: str = fit.run.id,
                room: str = room,
                assumed: bool = assumed,  # noqa: FBT001 - of this bar
            ) -> Iterator[Piece]:
                for at, length in enumerate(lengths):
                    letter = _letters(at) if len(lengths) > 1 else ""
                    yield Piece(kind, part, own + letter, length, run, room, assumed)

            yield from cut("channel", fit.run.channel, _between(longest, bar.splices))
            one = ready.get(bar.id)
            if one and one.diffuser:
                # Like its channel, a mitred one is cut out of a piece as long as its longer edge.
                whole = Decimal(str(one.diffuser.value)) + longest - Decimal(str(bar.length.value))
                yield from cut("diffuser", fit.run.diffuser, _between(whole, one.diffuser_joints))
            if strip:
                yield from cut("strip", strip.id, _strips(fit, strip, one, Decimal(bar.lit.value)))


def _letters(at: int) -> str:
    """Give the letters of a piece by its number from 0: a to z, then aa, ab.

    >>> _letters(0), _letters(25), _letters(26)
    ('a', 'z', 'aa')
    """
    before, own = divmod(at, len(_LETTERS))
    return (_letters(before - 1) if before else "") + _LETTERS[own]


def _between(whole: Decimal, joints: Sequence[Decimal]) -> list[Decimal]:
    """Give the lengths that joints part a whole into."""
    inside = [joint for joint in joints if 0 < joint < whole]
    return [right - left for left, right in pairwise([Decimal(0), *inside, whole])]


def _strips(fit: RunFit, strip: Strip, one: Prepared | None, lit: Decimal) -> list[Decimal]:
    """Give a bar's pieces of strip: one, or several where joints are allowed and a reel ends."""
    skipped = one.reel.skip_units * strip.cut_unit if one and one.reel else Decimal(0)
    longest = strip.reel // strip.cut_unit * strip.cut_unit
    if fit.run.strip_joints == "none" or lit <= longest:
        return [lit + min(skipped, max(longest - lit, Decimal(0)))]
    whole, rest = divmod(lit, longest)
    return [longest] * int(whole) + ([rest] if rest else [])


def _spares(worked: Worked) -> Iterator[Piece]:
    """A piece of each strip stays with the client: of the same batch, in whole units."""
    spare = worked.job.allowances.strip_spare
    for own_id in dict.fromkeys(fit.run.strip for fit in worked.fits if fit.bars):
        strip = find_part(worked.parts.strips, own_id)
        if strip and spare:
            units = (spare / strip.cut_unit).to_integral_value(ROUND_CEILING)
            yield Piece("strip", own_id, SPARE, units * strip.cut_unit, "", "", assumed=False)


def _cables(worked: Worked) -> Iterator[Piece]:
    parts = {leg.id: leg.cable for leg in worked.job.legs}
    routes = worked.routes
    links = (link for fit in worked.fits if fit.run.leg for link in reached(fit, routes.links)[1])
    for cable in (*routes.leads, *(link.cable for link in links if link.cable)):
        if cable.length and cable.leg:
            length = Decimal(str(cable.length.value))
            assumed = cable.length.assumed
            run = cable.run or ""
            yield Piece("cable", parts[cable.leg], cable.id, length, run, cable.room, assumed)
