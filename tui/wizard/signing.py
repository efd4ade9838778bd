"""Who did something, and on which day: asked before a job notes it, and never made up."""

from collections.abc import Callable
from datetime import datetime

from pelmet.model.edit.giving import Signed, refuse_revision
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.dialogs.pickers import Asked
from pelmet.tui.places import own_name, remember_name


def sign_questions() -> tuple[Asked, ...]:
    """Give what is asked: the day, and before it the name unless the user's settings keep it.

    Both may be left empty. Today is only offered: what is noted is what the person leaves there.
    """
    day = Asked("On which day? As year-month-day", today(), _refused_day)
    name = Asked("Your name, as papers show it; it is asked once and kept", "", _refused_name)
    return (day,) if _known_name() else (name, day)


def signed_by(said: tuple[str, ...]) -> Signed:
    """Read what was answered to these questions, and keep the name."""
    *name, day = (text.strip() for text in said)
    if any(name):
        remember_name(name[0])
    return Signed(day, name[0] if name else _known_name())


def why_question(number: int) -> Asked:
    """Ask why there is a revision of this number."""
    return Asked(f"Revision {number}: what changed, and why?", "", refused_why)


def today() -> str:
    """Give the day this machine takes it to be, to be offered."""
    return datetime.now().astimezone().date().isoformat()


def _known_name() -> str:
    name = own_name()
    return "" if _refused_name(name) else name


def _refused_day(text: str) -> str:
    return _refused(lambda: refuse_revision(signed=Signed(day=text.strip())))


def _refused_name(text: str) -> str:
    return _refused(lambda: refuse_revision(signed=Signed(by=text.strip())))


def refused_why(text: str) -> str:
    """Say why a reason will not do, or nothing."""
    return _refused(lambda: refuse_revision(text.strip()))


def _refused(check: Callable[[], None]) -> str:
    try:
        check()
    except Refusal as refusal:
        return refusal_text(refusal)
    return ""
