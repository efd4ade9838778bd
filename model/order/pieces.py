"""What has to be cut: each piece of channel, diffuser, strip and cable, with its length.

A bar that is spliced, or whose diffuser is joined, is cut in several pieces.
"""

from collections.abc import Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from itertools import pairwise
from math import cos, radians
from typing import Final, Literal, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.parts import Strip
from pelmet.model.job.piece_names import SPARE, bar_of
from pelmet.model.plan.bars.bar import Bar, longest_edge
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.mounting.bench import BenchWork
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.openings import Edge

Kind = Literal["channel", "diffuser", "strip", "cable"]
KINDS: Final[tuple[Kind, ...]] = ("channel", "diffuser", "strip", "cable")
SAWN: Final[tuple[Kind, ...]] = ("channel", "diffuser")
_TENTH: Final = Decimal("0.1")
_LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"


class Piece(NamedTuple):
    """One piece to cut; ``name`` is its bar's or its cable's, with a letter if there are more.

    ``run`` and ``room`` are empty for a spare; ``assumed`` says that a reading nobody took lies
    behind its length [mm]. A mitre takes ``saw`` more of the stock than a square cut: the blade
    goes through it aslant [mm]. ``cut`` tells that it is cut already. ``starts`` says where after a
    joint of its reel a piece of strip may start, the nearest first [mm]; anywhere if it is empty.
    """

    kind: Kind
    part: str
    name: str
    length: Decimal
    run: str
    room: str
    assumed: bool
    saw: Decimal = Decimal(0)
    cut: bool = False
    starts: tuple[Decimal, ...] = ()


def pieces_of(plan: Plan) -> tuple[Piece, ...]:
    """Give every piece of a plan, in the order of the bench: bars run by run, then cables."""
    pieces = (*_bars(plan), *_spares(plan), *_cables(plan))
    job = plan.job
    cut = {(each.part, name) for each in job.cuts for name in each.pieces}
    hung = {(each.run, each.bar) for each in job.hung}
    laid = {cable.id for cable in plan.routes.cables if cable.laid}
    if not (cut or hung or laid):
        return pieces

    def is_cut(piece: Piece) -> bool:
        there = piece.name in laid if piece.kind == "cable" else bar_of(piece.name) in hung
        return there or (piece.part, piece.name) in cut

    return tuple(piece._replace(cut=is_cut(piece)) for piece in pieces)


def _bars(plan: Plan) -> Iterator[Piece]:
    rooms = {wall.id: wall.room for wall in plan.job.walls}
    bench = {one.bar.id: one for one in plan.bench}
    for fit in plan.fits:
        strip = find_part(plan.parts.strips, fit.run.strip)
        for bar in fit.bars:
            room, kerf = rooms[bar.wall], plan.job.allowances.saw_kerf
            longest = Decimal(str(longest_edge(bar).value))
            one = bench.get(bar.id)
            lengths = _between(longest, bar.splices)
            yield from _sawn("channel", fit.run.channel, bar, room, lengths, kerf)
            if one and one.diffuser:
                lengths = _between(Decimal(str(one.diffuser.value)), one.diffuser_joints)
                yield from _sawn("diffuser", fit.run.diffuser, bar, room, lengths, kerf)
            if strip:
                lit = Decimal(str(bar.lit.value))
                lengths = _strips(fit, strip, lit)
                starts = _starts(strip, one) if len(lengths) == 1 else ()
                for piece in _pieces("strip", strip.id, bar, room, lengths):
                    yield piece._replace(starts=starts)


def _pieces(
    kind: Kind, part: str, bar: Bar, room: str, lengths: Sequence[Decimal]
) -> Iterator[Piece]:
    for at, length in enumerate(lengths):
        letters = _letters(at) if len(lengths) > 1 else ""
        yield Piece(kind, part, bar.id + letters, length, bar.run, room, bar.length.assumed)


def _sawn(
    kind: Kind, part: str, bar: Bar, room: str, lengths: Sequence[Decimal], kerf: Decimal
) -> Iterator[Piece]:
    """Give pieces that are sawn, the outer ends of the first and the last maybe aslant."""
    left, right = _aslant(bar, kerf)
    last = len(lengths) - 1
    for at, piece in enumerate(_pieces(kind, part, bar, room, lengths)):
        yield piece._replace(saw=left * (at == 0) + right * (at == last))


def _aslant(bar: Bar, kerf: Decimal) -> tuple[Decimal, Decimal]:
    """Give how much more than its kerf the saw takes along a bar at each end, up to 0.1 mm."""

    def more(edge: Edge) -> Decimal:
        if edge.setting is None:
            return Decimal(0)
        wide = float(kerf) * (1 / cos(radians(float(edge.setting.value))) - 1)
        return Decimal(str(round(wide, 6))).quantize(_TENTH, ROUND_CEILING)

    left, right = bar.opening.ends
    return more(left), more(right)


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


def _starts(strip: Strip, one: BenchWork | None) -> tuple[Decimal, ...]:
    if strip.factory_joint_every is None or one is None or one.reel is None:
        return ()
    return tuple(skip * strip.cut_unit for skip in one.reel.skips)


def _strips(fit: RunFit, strip: Strip, lit: Decimal) -> list[Decimal]:
    """Give a bar's pieces of strip: one, or several where joints are allowed and a reel ends."""
    longest = strip.reel // strip.cut_unit * strip.cut_unit
    if fit.run.strip_joints == "none" or lit <= longest:
        return [lit]
    whole, rest = divmod(lit, longest)
    return [longest] * int(whole) + ([rest] if rest else [])


def _spares(plan: Plan) -> Iterator[Piece]:
    """A piece of each strip stays with the client: of the same batch, in whole units."""
    spare = plan.job.allowances.strip_spare
    for item_id in dict.fromkeys(fit.run.strip for fit in plan.fits if fit.bars):
        strip = find_part(plan.parts.strips, item_id)
        if strip and spare:
            units = (spare / strip.cut_unit).to_integral_value(ROUND_CEILING)
            yield Piece("strip", item_id, SPARE, units * strip.cut_unit, "", "", assumed=False)


def _cables(plan: Plan) -> Iterator[Piece]:
    parts = {leg.id: leg.cable for leg in plan.job.legs}
    routes = plan.routes
    links = (link for fit in plan.fits if fit.run.leg for link in feed_reach(fit, routes).links)
    for cable in (*routes.leads, *(link.cable for link in links if link.cable)):
        if cable.length and cable.leg:
            length = Decimal(str(cable.length.value))
            assumed = cable.length.assumed
            run = cable.run or ""
            yield Piece("cable", parts[cable.leg], cable.id, length, run, cable.room, assumed)
