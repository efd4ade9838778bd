"""The store of off-cuts in the wizard: pieces to draw for this job, and the store kept in step."""

from typing import TYPE_CHECKING

from pelmet.model.edit.offcuts import draw
from pelmet.model.file.store.offcut_store import free, load_store
from pelmet.model.file.store.settling import settle
from pelmet.model.job.job import Job
from pelmet.model.measure.lengths import print_length
from pelmet.model.refusal import Refusal, told
from pelmet.tui.dialogs.pickers import Picker
from pelmet.tui.panes.rows import lines
from pelmet.tui.places import offcut_store

if TYPE_CHECKING:
    from pelmet.tui.wizard.wizard import Wizard


def settled(before: Job, after: Job) -> None:
    """Take and give back in the store what a changed job draws; raises ``Refusal``."""
    settle(offcut_store(), before, after)


class OffCuts:
    """The off-cuts of one wizard's job."""

    def __init__(self, wizard: "Wizard") -> None:
        self._wizard = wizard

    def offer(self) -> None:
        """List the free pieces of parts that this job cuts; Enter draws one for it."""
        session = self._wizard.session
        store = load_store(offcut_store())
        cut = {piece.part for piece in session.folder.pieces}
        pieces = [piece for piece in free(store) if piece.part in cut]
        if not pieces:
            raise Refusal("Your store holds no free piece of what this job cuts")
        site = session.job.site
        rows = [
            f"{piece.id}  {piece.part}  "
            f"{print_length(piece.length, site.length_unit, site.inch_parts)}  {piece.batch}"
            for piece in pieces
        ]

        def decide(at: int | None) -> None:
            if at is None:
                return
            try:
                session.change(draw(session.job, pieces[at]))
            except Refusal as refusal:
                self._wizard.say(told(refusal), "warn")
                return
            self._wizard.done(f"{pieces[at].id} is drawn for this job; Ctrl+Z gives it back")

        self._wizard.app.push_screen(
            Picker("Off-cuts to draw for this job, from your store", lines(rows)), decide
        )
