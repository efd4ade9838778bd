"""Which opening a bar that is cut or hangs is in, and what else there is still to be made.

A bar that hangs stays, whatever the survey says now: it is in the opening that it hangs in, else in
that of its number, or in one of its own where there is none any more; and what an opening would
take in its place is not made. A bar that is only cut goes into the opening of its number.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from pelmet.model.plan.bars.bar import BarSpec
from pelmet.model.plan.figure import given
from pelmet.model.plan.standing import StandingBar
from pelmet.model.plan.survey.openings import Cover, Edge, Opening

Placed = tuple[Opening, StandingBar | None]


def with_built(
    openings: Sequence[Opening], built: Sequence[StandingBar], spec: BarSpec
) -> Iterator[Placed]:
    """Give the openings that take a bar, each with the bar that is built for it, left to right."""
    hanging = [each for each in built if each.at is not None]
    cut = {each.number: each for each in built if each.at is None}
    if not built:
        yield from ((opening, None) for opening in openings)
        return
    placed: list[Placed] = []
    left = [*hanging]
    elsewhere = {each.number: each for each in hanging if not any(
        _overlap(opening, each) > 0 for opening in openings)}  # fmt: skip
    for number, opening in enumerate(openings, 1):
        over = [each for each in hanging if _overlap(opening, each) > 0]
        free = [each for each in over if each in left]
        if free:
            own = max(free, key=lambda each: (each.number == number, _overlap(opening, each)))
            left.remove(own)
            placed.append((opening, own))
        elif not over:
            own_number = elsewhere.get(number)
            if own_number:  # its cabinet is said to be somewhere else now
                left.remove(own_number)
            placed.append((opening, own_number or cut.get(number)))
    placed += [(_own_opening(each, openings, spec), each) for each in left]
    walls = list(dict.fromkeys(opening.wall for opening in openings))
    yield from sorted(placed, key=lambda one: _place(one, walls)) if left else placed


def _overlap(opening: Opening, bar: StandingBar) -> Decimal:
    """Give how much of an opening a bar that hangs covers [mm]."""
    if bar.at is None or bar.wall != opening.wall:
        return Decimal(0)
    return min(opening.right, bar.at + bar.length) - max(opening.left, bar.at)


def _own_opening(bar: StandingBar, openings: Sequence[Opening], spec: BarSpec) -> Opening:
    """Give a bar that hangs where the survey has no opening any more just what it takes."""
    assert bar.at is not None, "it hangs"
    like = min(
        openings, key=lambda each: (each.wall != bar.wall, -_overlap(each, bar)), default=None
    )
    edge = Edge("free")
    taken = spec.taken(edge)
    about = f"{spec.run.id}.{bar.number}"
    clear = given("opening", bar.length + 2 * taken, "mm", "built", about)
    if like is None:
        first = spec.run.cabinets[0]
        cover = Cover(first, bar.at, bar.at + bar.length)
        return Opening(bar.wall, (cover,), bar.at - taken, clear, (), (edge, edge), first)
    whole = like._replace(wall=bar.wall, places=())
    return whole.part(bar.at - taken, clear, (edge, edge))


def _place(placed: Placed, walls: Sequence[str]) -> tuple[int, Decimal]:
    opening, bar = placed
    at = bar.at if bar and bar.at is not None else opening.left
    return (walls.index(opening.wall) if opening.wall in walls else len(walls)), at
