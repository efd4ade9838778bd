"""Walking the drawing: the arrows go from thing to thing on it, and Enter to its form."""

from typing import TYPE_CHECKING

from pelmet.model.job.items import KINDS, Kind, Room
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import as_cable, bare, printed
from pelmet.tui.panes.drawings import (
    DRAWINGS,
    LIGHT,
    VOLTS,
    drawings_in,
    make_drawing,
    thing_beside,
)
from pelmet.tui.session.steps import STEPS
from pelmet.tui.wizard.host import Host

if TYPE_CHECKING:
    from textual import events

    from pelmet.model.told.drawings.drawing import Drawing

# What a drawing of one such thing turns to when one walks to another.
_HOMES = {VOLTS: ("leg",), LIGHT: ("run",)}
_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


class Walking:
    """Which drawing a wizard shows, and the thing on it one walks to."""

    def __init__(self, host: Host) -> None:
        self._host = host
        self._drawing = DRAWINGS[0]
        self.on = False
        self._at = ""
        self._home = ""  # what the drawing is of: it stays so while one walks on it

    @property
    def drawing(self) -> str:
        """Which drawing is shown: the one turned to, or the first where that has no place."""
        shown = drawings_in(self._host.session.place.step)
        return self._drawing if self._drawing in shown else shown[0]

    @property
    def focus(self) -> str | None:
        """The id of the thing that is marked."""
        return (self._at if self.on else self._host.session.place.id) or None

    def draw(self, width: int, height: int) -> "Drawing":
        """Draw what is shown, to a size."""
        plan = self._host.session.plan
        return make_drawing(plan, self.drawing, width, height, self.focus, self._home or None)

    def begin(self) -> None:
        """Start walking, from the thing one stands on; walking already, turn to the next one."""
        if self.on:
            self.turn()
            return
        place = self._host.session.place
        self.on, self._at = True, place.id if place.kind in KINDS else ""
        self._turn_to_here()
        self._tell()

    def turn(self) -> None:
        """Show the next drawing."""
        shown = drawings_in(self._host.session.place.step)
        self._drawing = shown[(shown.index(self.drawing) + 1) % len(shown)]
        self._turn_to_here()
        self._tell()

    def end(self) -> None:
        """Walk no more; the drawing stays."""
        self.on, self._home = False, ""

    def take(self, event: "events.Key") -> bool:
        """Act on a key while walking; false for one that ends it and has its own effect."""
        if event.key in _ARROWS:
            self._step(*_ARROWS[event.key])
            self._tell()
        elif event.key in ("space", "ctrl+d"):
            self.turn()
        elif event.key == "enter":
            self._go()
        elif event.key == "escape":
            self.end()
            self._host.load()
        elif event.is_printable:
            self._tell()
        else:
            self.end()
            self._host.load()
            return False
        return True

    def _turn_to_here(self) -> None:
        """Have the drawing be of where one is now."""
        subject = _subject(self._host.session.plan, self._at)
        self._home = subject[1] if subject else ""

    def _step(self, across: int, down: int) -> None:
        """Go one on, on a drawing on which nothing gives way to what is in focus."""
        plan, size = self._host.session.plan, self._host.plan_size()
        if not size:
            return
        still = make_drawing(plan, self.drawing, *size, None, self._home or None)
        self._at = thing_beside(still, self._at, across, down)
        subject = _subject(plan, self._at)
        homes = _HOMES.get(self.drawing, ("room", "wall"))
        if subject and subject[0] in homes:
            self._turn_to_here()

    def _tell(self) -> None:
        self._host.refresh_panes()
        there = f"{words_for(self._host.session.plan, self._at)}. " if self._at else ""
        self._host.say(
            f"{there}Walking the {self.drawing}: arrows, Space next drawing, Enter form, Esc back",
            "plain",
        )

    def _go(self) -> None:
        """Go to the form of the thing one has walked to."""
        host, session = self._host, self._host.session
        subject = _subject(session.plan, self._at)
        self.end()
        if subject:
            kind, item_id = subject
            session.go_to(kind, item_id, _first_field(kind))
            host.show_form()
        host.load()


def _first_field(kind: Kind) -> str:
    """Give the first field that any step asks of a kind of thing."""
    return next(step.forms[kind][0] for step in STEPS if kind in step.forms)


def _subject(plan: Plan, item_id: str) -> tuple[Kind, str] | None:
    """Give the thing of the job whose form is about what one has walked to."""
    kinds = {item.id: kind for kind in KINDS for item in plan.job.table(kind)}
    homes = {bar.id: bar.run for bar in plan.bars}
    homes |= {cable.id: cable.leg or cable.run or "" for cable in plan.routes.cables}
    homes |= {hole.id: hole.owner for hole in plan.holes}
    home = homes.get(item_id, item_id)
    return (kinds[home], home) if home in kinds else None


def words_for(plan: Plan, item_id: str) -> str:
    """Say in a few words what a thing on the drawing is."""
    for hole in plan.holes:
        if hole.id == item_id:
            cables = " ".join(hole.cables)
            bit = bare(hole.diameter, plan.job.site)
            kinds: dict[str, str] = {obstacle.id: obstacle.kind for obstacle in plan.job.obstacles}
            place = kinds.get(hole.owner, f"the {hole.panel} of")
            return f"{item_id}: {bit} through {place} {hole.owner}, for {cables}"
    for cable in plan.routes.cables:
        if cable.id == item_id and cable.length:
            return f"{cable.label}, {printed(as_cable(cable.length, plan.job.site), plan.job.site)}"
    subject = _subject(plan, item_id)
    if subject is None:
        return item_id
    kind, home = subject
    thing = plan.job.find(kind, home)
    if isinstance(thing, Room):
        return f"{thing.name}: room"
    what = getattr(thing, "kind", kind)
    return f"{item_id}: {what}" if item_id == home else f"{item_id}, of {kind} {home}"
