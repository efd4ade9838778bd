"""F8: what else could be chosen for a thing, tried beside the event loop, and one taken."""

from typing import TYPE_CHECKING

from pelmet.model.job.job import Job
from pelmet.tui.wizard.host import Host

if TYPE_CHECKING:
    from pelmet.model.edit.options import Option

_NONE = "There is nothing else to choose here"


def offer_options(host: Host) -> None:
    """Try what else could be chosen where one stands; the first answer opens the list.

    Until then keys wait, for they are for the list. Esc ends the search at its next trial.
    """
    from pelmet.model.edit.options import options_tried
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
    host.beside(options_tried(job, session.parts, kind, about), found, tried)


def _take(host: Host, job: Job, about: str, chosen: "Option") -> None:
    """Take an option that was tried of a job, or say why not."""
    if host.session.job is not job:
        host.say("The job has changed meanwhile: F8 tries all anew", "warn")
    elif chosen.job is None:
        host.say(f"{chosen.choice}: {chosen.gives}, {chosen.reasons[0]}", "warn")
    elif not chosen.taken:
        host.change(chosen.job, f"{about}, {chosen.choice}; Ctrl+Z takes it back")
