"""What stands below a plan: the scale, the key of the marks that were drawn, what is not shown."""

from collections.abc import Iterator, Sequence
from typing import Final

from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.drawing import Drawing, Role, Words, flow
from pelmet.model.told.drawings.plan.bars import DARK, FEED, LIT, UNFED
from pelmet.model.told.drawings.plan.cables import CABLE, HOLE, IN_WALL
from pelmet.model.told.drawings.plan.lines import WALL
from pelmet.model.told.drawings.plan.marks import FAULT, OBSTACLES, UPPER

_MARKS: Final[tuple[tuple[Role, str, str], ...]] = (
    ("wall", WALL, "wall"),
    ("run", LIT, "lit"),
    ("dark", DARK, "dark"),
    ("feed", FEED, "feed end"),
    ("fault", UNFED, "no cable to it"),
    ("cable", CABLE, "cable"),
    ("cable", IN_WALL, "cable in the wall"),
    ("hole", HOLE, "hole"),
    *(("obstacle", mark.char, kind) for kind, mark in OBSTACLES.items()),
    ("fault", FAULT, "does not fit"),
)
_CROWDED: Final = 2  # rows for ids without room, where the drawing's height is limited


def explain_marks(
    plan: Plan, marks: set[tuple[Role, str]], *, upper: bool, guessed: bool
) -> Iterator[Words]:
    """Explain the marks that were drawn, and no others.

    ``upper``: something hangs above a cabinet; ``guessed``: nobody measured some wall.
    """
    if ("wall", WALL) in marks:
        yield Words(f"walls in {plan.job.site.unit_name}", "key")
    for role, char, word in _MARKS:
        if (role, char) in marks:
            yield Words(f"{char} {word}", "key")
    if upper:
        yield Words(f"( ) {UPPER} higher up", "key")
    if guessed:
        yield Words("? not measured", "key")


def elsewhere(plan: Plan) -> Iterator[Words]:
    """Name the supplies that have no place on any plan."""
    for supply in plan.job.supplies:
        if supply.place == "elsewhere":
            yield Words(f"[{supply.id}] elsewhere", "supply", supply.id)
        elif supply.cabinet is None:
            yield Words(f"[{supply.id}] no cabinet", "supply", supply.id)


def no_room(unplaced: Sequence[Words], width: int, *, limited: bool) -> Drawing:
    """List the ids for which the drawing had no room; a limited list is cut short in words."""
    if not unplaced:
        return Drawing((), ())
    title = Words("No room for:", "key")
    whole = flow([title, *unplaced], width, gap=1)
    if not limited or len(whole.rows) <= _CROWDED:
        return whole
    shown = len(whole.first(_CROWDED).spans) - 1
    while True:
        more = Words(f"and {len(unplaced) - shown} more", "key")
        short = flow([title, *unplaced[:shown], more], width, gap=1)
        if shown == 0 or len(short.rows) <= _CROWDED:
            return short.first(_CROWDED)
        shown -= 1
