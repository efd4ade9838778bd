"""Handing a job over and taking it over: the whole of it in one file, and how it stands."""

from pathlib import Path
from typing import TYPE_CHECKING

from pelmet.tui.dialogs.pickers import ask_file, typed_path
from pelmet.tui.dialogs.standing import StandingPicker
from pelmet.tui.session.paperwork import standing_of
from pelmet.tui.session.steps import Step
from pelmet.tui.wizard.host import Host
from pelmet.tui.wizard.writing import Ended, write_whole

if TYPE_CHECKING:
    from pelmet.model.told.blocks.standing import Standing


def show_standing(host: Host) -> None:
    """List how the job stands, as soon as it is worked out; Esc or a step's key goes on."""
    session = host.session

    def go_to_step(step: Step) -> None:
        session.go(step)
        host.load()

    def go_to_row(at: int | None) -> None:
        row = None if at is None else dialog.matter(at)
        if row:
            session.go_to(row.kind, row.id, row.field)
            host.show_form()
            host.load()

    def take(stands: "Standing | None") -> bool:
        if stands and not dialog.closed:
            dialog.fill(stands)
        return not dialog.closed

    dialog = StandingPicker(go_to_step)
    host.ask(dialog, go_to_row)
    host.beside(standing_of(session.paperwork.ask()), take, lambda: None)


def hand_over(host: Host) -> None:
    """Write the whole job into one new file, with the parts of the user's own that it rests on."""
    session = host.session
    beside = session.path or Path("job.toml")

    def refused(path: Path) -> str:
        return f"{path.name} is there already; choose another name" if path.exists() else ""

    def write(said: tuple[str, ...] | None) -> None:
        path = typed_path(said[0]) if said else None
        if path is None:
            return
        host.say("Planning it without your own parts ...", "dim")
        host.beside(write_whole(session.paperwork.ask(), session.parts, path), tell, lambda: None)

    def tell(step: object) -> bool:
        if isinstance(step, Ended):
            host.say(*step)
        return True

    offered = str(beside.with_name(f"{beside.stem}-handover.toml"))
    host.ask(ask_file("Hand the whole job over as", offered, refused), write)
