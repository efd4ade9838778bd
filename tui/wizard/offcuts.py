"""The store of off-cuts in the wizard: pieces to draw for this job, and where the two are at odds.

Drawing and giving back change the job alone; the store follows when the job is saved.
"""

from collections.abc import Callable
from pathlib import Path

from pelmet.model.edit.offcuts import draw_piece, follow_store
from pelmet.model.file.store.pieces import no_reference
from pelmet.model.file.store.settling import catch_up, drawable, unsettled_pieces, unsettled_words
from pelmet.model.file.store.store_file import load_store
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import StoredPiece
from pelmet.model.measure.lengths import print_length
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.dialogs.pickers import Picker
from pelmet.tui.panes.line import lines
from pelmet.tui.places import offcut_store
from pelmet.tui.wizard.host import Host

_TOLD = 8  # pieces at odds that a dialog names


class OffCuts:
    """The off-cuts of one wizard's job."""

    def __init__(self, host: Host) -> None:
        self._host = host

    def offer(self) -> None:
        """List the pieces of parts that this job cuts and may draw; Enter draws one for it."""
        session = self._host.session
        site = session.job.site
        if not site.reference:
            raise no_reference()
        from pelmet.model.order.pieces import pieces_of

        cut = {piece.part for piece in pieces_of(session.plan)}
        found = drawable(load_store(offcut_store()), session.saved or Job(), session.job)
        pieces = [piece for piece in found if piece.part in cut]
        if not pieces:
            raise Refusal("Your store holds no free piece of what this job cuts")
        rows = [
            f"{piece.id}  {piece.part}  "
            f"{print_length(piece.length, site.length_unit, site.inch_parts)}  {piece.batch}"
            for piece in pieces
        ]

        def decide(at: int | None) -> None:
            if at is not None:
                self._host.change(
                    draw_piece(session.job, pieces[at]),
                    f"{pieces[at].id} is drawn for this job; the store is told when it is saved. "
                    "Ctrl+Z puts it back",
                )

        self._host.ask(
            Picker("Off-cuts to draw for this job, from your store", lines(rows)), decide
        )

    def check(self, then: Callable[[], None]) -> None:
        """Where the job's file and the store are at odds, offer to put that right; then go on.

        They are if the program ended between writing the one and the other.
        """
        session = self._host.session
        job, path = session.saved, session.path
        pieces: tuple[StoredPiece, ...] = ()
        try:
            if job and path:
                pieces = unsettled_pieces(load_store(offcut_store()), job)
        except Refusal as refusal:
            if job and job.offcuts:
                self._host.say(refusal_text(refusal), "warn")
        if pieces and job and path:
            self._ask_which_follows(job, path, pieces, then)
        else:
            then()

    def _ask_which_follows(
        self, job: Job, path: Path, pieces: tuple[StoredPiece, ...], then: Callable[[], None]
    ) -> None:
        says = [unsettled_words(piece, job) for piece in pieces]
        more = [f"and {len(says) - _TOLD} more"] if len(says) > _TOLD else []
        own = job.site.reference
        owed = [piece.id for piece in pieces if own and piece.taken_by == own]
        drawn = [piece.id for piece in pieces if piece.id not in owed]

        def decide(at: int | None) -> None:
            if at == 0:
                self._catch_up(job, path)
            elif at == 1:
                self._host.change(
                    follow_store(self._host.session.job, pieces),
                    "The job is as your store has it; save it to keep that",
                )
            then()

        self._host.ask(
            Picker(
                "\n".join(["Job and store of off-cuts are at odds.", *says[:_TOLD], *more]),
                lines(
                    [
                        f"The job is right: {_both('take', drawn, 'put back', owed)} in the store",
                        f"The store is right: {_both('put back', drawn, 'draw', owed)} in the job",
                        "Leave it as it is",
                    ]
                ),
            ),
            decide,
        )

    def _catch_up(self, job: Job, path: Path) -> None:
        try:
            catch_up(offcut_store(), job, path)
        except Refusal as refusal:
            self._host.say(refusal_text(refusal), "stop")
            return
        left = unsettled_pieces(load_store(offcut_store()), job)
        if left:
            self._host.say(f"{unsettled_words(left[0], job)}; put it back in the job", "warn")
        else:
            self._host.say("The store is as the job has it")


def _both(take: str, these: list[str], give: str, those: list[str]) -> str:
    """Say what is done to some pieces, and what to others."""
    doing = [(take, these), (give, those)]
    return ", ".join(f"{verb} {' '.join(ids[:_TOLD])}" for verb, ids in doing if ids)
