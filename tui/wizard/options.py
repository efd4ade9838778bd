"""F8: what else could be chosen for a thing, tried beside the event loop, and one taken."""

from collections.abc import Iterator
from threading import Event
from typing import TYPE_CHECKING

from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.wizard.host import Host

if TYPE_CHECKING:
    from pelmet.model.edit.options import Option
    from pelmet.model.edit.options.feeding import Fed

_CHANGED = "The job has changed meanwhile: the key tries all anew"
_TRYING = "Trying ways to feed what is not fed"
_NONE = "There is nothing else to choose here"


def offer_options(host: Host) -> None:
    """Try what else could be chosen where one stands; the first answer opens the list.

    Until then keys wait, for they are for the list. Esc ends the search at its next trial.
    """
    from pelmet.model.edit.options import options_tried
    from pelmet.model.edit.options.feeding import is_unfed
    from pelmet.model.versions.voiding import naming_void
    from pelmet.tui.dialogs.options import OptionsPicker

    session = host.session
    job, kind, about = session.job, session.form.kind, session.place.id
    if kind is None:
        host.say(_NONE, "warn")
        return
    picker = OptionsPicker(about)

    def found(options: "tuple[Option, ...]") -> bool:
        first = not picker.options
        if options and not picker.closed:
            picker.offer(options)
            if first:
                host.ask(picker, take)
                host.let_keys_go()
        return not picker.closed

    def tried() -> None:
        picker.complete()
        if not picker.options and not picker.closed:
            host.let_keys_go()
            host.say(_NONE, "warn")

    def take(at: int | None) -> None:
        if at is not None:
            _take(host, job, about, picker.options[at])

    host.hold_keys("Trying what else could be chosen; Esc leaves it", picker.close)
    search = options_tried(job, session.parts, kind, about, session.paperwork.prices)
    if kind == "run" and is_unfed(job, about):
        search = naming_void(search, job, session.parts, session.paperwork.prices)
    host.beside(search, found, tried)


def _take(host: Host, job: Job, about: str, chosen: "Option") -> None:
    """Take an option that was tried of a job, or say why not."""
    if host.session.job is not job:
        host.say(_CHANGED, "warn")
    elif chosen.job is None:
        host.say(f"{chosen.choice}: {chosen.gives}, {chosen.reasons[0]}", "warn")
    elif not chosen.taken:
        host.change(chosen.job, f"{about}, {chosen.choice}; Ctrl+Z takes it back")


def propose_feeding(host: Host, search: "Iterator[Fed]") -> None:
    """Try out ways to feed, and take the first for each run. Esc ends it at its next trial."""
    job, given_up = host.session.job, Event()
    known: list[Fed] = []

    def found(fed: "Fed") -> bool:
        known[:] = [fed]
        if fed.trying and not given_up.is_set():
            host.say(f"{_TRYING}: {fed.trying}, {fed.trials} tried; Esc leaves it", "dim")
        return not given_up.is_set()

    def tried() -> None:
        if given_up.is_set():
            return
        host.let_keys_go()
        if host.session.job is not job:
            host.say(_CHANGED, "warn")
            return
        try:
            host.changed(host.session.propose(*known))
        except Refusal as refusal:
            host.say(refusal_text(refusal), "warn")

    host.hold_keys(f"{_TRYING}; Esc leaves it", given_up.set)
    host.beside(search, found, tried)
