"""Every command once: its key, its words, what it does, and when it cannot act, why.

The bindings, the footer, the palette and the F1 help are made from this table.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, NamedTuple

from textual.binding import Binding

from pelmet.tui.session.steps import PAPERS, POWER, ROOMS, RUNS, STEPS, Step

if TYPE_CHECKING:
    from pelmet.tui.session.session import Session
    from pelmet.tui.wizard.actions import Actions


def _always(_: "Session") -> str:
    return ""


def _no_undo(session: "Session") -> str:
    return "" if session.can_undo else "Nothing to take back"


def _no_redo(session: "Session") -> str:
    return "" if session.can_redo else "Nothing was taken back"


def _no_propose(session: "Session") -> str:
    ready = session.place.step in (RUNS, POWER)
    return "" if ready else "Proposals are for the Runs step (F3) and the Power step (F6)"


def _no_above(session: "Session") -> str:
    ready = session.place.step in (ROOMS, POWER, PAPERS)
    return "" if ready else "Only in Rooms (next wall, room), Power (next supply), Papers (option)"


def _no_findings(session: "Session") -> str:
    return "" if session.findings else "No findings"


def _no_options(session: "Session") -> str:
    things = ("run", "obstacle", "supply", "leg", "zone")
    ready = session.place.step is PAPERS or (session.form.here and session.place.kind in things)
    last = "a supply, a leg or a zone" if session.job.zones else "a supply or a leg"
    return "" if ready else f"Stand on a run, an obstacle, {last}"


def _no_walk(session: "Session") -> str:
    return "" if session.place.step is not PAPERS else "Not in the Papers step; F2 to F6 show it"


def _no_remove(session: "Session") -> str:
    return "" if session.form.here else "Stand on a thing in the list first"


_PALETTE: Final = "ctrl+p"


class Command(NamedTuple):
    """One command; ``why_not`` gives the reason it cannot act now, or nothing.

    One without a key is in the palette.
    One that only ``looks``, or leaves, is not held up by a field that cannot be read.
    """

    name: str
    key: str
    short: str
    help: str
    act: "Callable[[Actions], None]"
    why_not: "Callable[[Session], str]" = _always
    in_footer: bool = False
    looks: bool = False

    @property
    def shown(self) -> str:
        """The key as a person reads it."""
        return (self.key or _PALETTE).upper().replace("CTRL+", "^")


def _help(do: "Actions") -> None:
    from pelmet.tui.dialogs.explain import HelpRow

    moves = [HelpRow(key, words) for key, words in MOVES]
    now = [HelpRow(each.shown, each.help, each.why_not(do.session)) for each in COMMANDS]
    do.help(moves, now)


def _go_to(step: Step) -> "Callable[[Actions], None]":
    return lambda do: do.go_to_step(step)


COMMANDS: tuple[Command, ...] = (
    Command(
        "help",
        "f1",
        "Help",
        "This help: keys, and what the field wants",
        _help,
        in_footer=True,
        looks=True,
    ),
    *(
        Command(
            f"step_{at}",
            step.key,
            step.name,
            f"Go to the {step.name} step",
            _go_to(step),
        )
        for at, step in enumerate(STEPS)
    ),
    Command(
        "add_next",
        "ctrl+n",
        "Next",
        "Add the next thing of the kind you stand on, or its first part",
        lambda do: do.add_next(),
        in_footer=True,
    ),
    Command(
        "add_above",
        "f9",
        "Wall/room",
        "Add the next wall after a cabinet or a wall, the next room after a room, a supply after "
        "a leg, a zone after a supply, an override of a rule after a run or a zone; an option in "
        "Papers",
        lambda do: do.add_above(),
        _no_above,
        in_footer=True,
    ),
    Command(
        "propose",
        "ctrl+t",
        "Propose",
        "Propose runs (Runs step), or supply and legs (Power step)",
        lambda do: do.propose(),
        _no_propose,
        in_footer=True,
    ),
    Command(
        "swap",
        "ctrl+b",
        "Plan",
        "Swap form and plan on a narrow screen",
        lambda do: do.swap(),
        in_footer=True,
        looks=True,
    ),
    Command(
        "findings",
        "ctrl+l",
        "Findings",
        "List the findings; Enter jumps to what one is about",
        lambda do: do.findings(),
        _no_findings,
        in_footer=True,
    ),
    Command("save", "ctrl+s", "Save", "Save the job", lambda do: do.save(), in_footer=True),
    Command(
        "why",
        "ctrl+g",
        "Why",
        "How the figures of this thing were worked out",
        lambda do: do.why(),
        looks=True,
    ),
    Command(
        "options",
        "f8",
        "Options",
        "What else could be chosen here, each tried out; Enter takes one. In Papers: off-cuts, or "
        "what to compare with",
        lambda do: do.options(),
        _no_options,
    ),
    Command(
        "walk",
        "ctrl+d",
        "Drawing",
        "Walk the drawing with the arrows: plan, elevation and section in turn, light in Mounting, "
        "volts in Power",
        lambda do: do.walk(),
        _no_walk,
    ),
    Command(
        "remove",
        "ctrl+r",
        "Remove",
        "Remove the thing you stand on, and what cannot be without it",
        lambda do: do.remove(),
        _no_remove,
    ),
    Command(
        "undo",
        "ctrl+z",
        "Undo",
        "Take back the last change",
        lambda do: do.undo(),
        _no_undo,
        looks=True,
    ),
    Command(
        "redo", "ctrl+y", "Redo", "Do again what was taken back", lambda do: do.redo(), _no_redo
    ),
    Command(
        "save_as", "f12", "Save as", "Save the job under another name", lambda do: do.save_as()
    ),
    Command("open", "ctrl+o", "Open", "Open another job", lambda do: do.open()),
    Command(
        "built",
        "ctrl+f",
        "Done",
        "Note how far runs have come: what was cut, hung, drilled, laid; or go back, with a reason",
        lambda do: do.built(),
    ),
    Command(
        "standing",
        "",
        "How it stands",
        "How far each run is, what supplies have left, what is open and who owes it; Enter goes "
        "to it",
        lambda do: do.standing(),
    ),
    Command(
        "hand_over",
        "",
        "Hand over",
        "Write the whole job into one file, with the parts of your own catalogue it rests on",
        lambda do: do.hand_over(),
    ),
    Command(
        "quit",
        "f10",
        "Quit",
        "Leave; asks first if anything is not saved (also Ctrl+Q)",
        lambda do: do.quit(),
        looks=True,
    ),
)

# Keys that move within the form; they are not commands, and F1 lists them.
MOVES = (
    ("Enter", "Accept the field and go to the next one"),
    ("Up Down", "Field before, next field; past the end on to the next thing"),
    ("PgUp PgDn", "Thing before, next thing, in the same field"),
    ("Left Right Space", "Turn through the options of a choice; or type its first letters"),
    ("Esc", "Put the field back as it was"),
    ("?", "After a reading: assumed, still to be measured, such as 883?"),
    ("^D, then arrows", "Walk the drawing; Space next drawing, Enter to its form, Esc back"),
    ("Ctrl+P", "Command palette, with the themes"),
)


def bindings() -> list[Binding]:
    """Make the key bindings; each runs its command by name."""
    return [
        Binding(
            command.key, f"command('{command.name}')", command.help, show=False, id=command.name
        )
        for command in COMMANDS
        if command.key
    ]


def footer_keys() -> tuple[tuple[str, str], ...]:
    """Give the keys and words of the footer."""
    return tuple((each.shown, each.short) for each in COMMANDS if each.in_footer)


def command_named(name: str) -> Command:
    """Give the command of this name."""
    return next(command for command in COMMANDS if command.name == name)
