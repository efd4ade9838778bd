"""Comments cannot be kept when a job is saved; they can be carried into its note."""

from collections.abc import Iterable
from itertools import islice

from pelmet.model.file.toml.shape import most_of
from pelmet.model.job.job import Job, Site

_MOST = most_of(Site, "note") or 0
_CUT = "(more comments did not fit here)"


def comments_as_note(job: Job, comments: Iterable[tuple[int, str]]) -> Job:
    """Add comments (line, text) to the job's note; where some do not fit, the note says so."""
    plain = ((line, _plain(text)) for line, text in comments)
    # No more than this can fit, however many there are.
    added = list(islice((f"line {line}: {text}" for line, text in plain if text), _MOST))
    kept = len(added)
    while kept and len(_joined(job, added, kept)) > _MOST:
        kept -= 1
    site = Site.model_validate(job.site.model_dump() | {"note": _joined(job, added, kept)[:_MOST]})
    return job.model_copy(update={"site": site})


def _joined(job: Job, added: list[str], kept: int) -> str:
    cut = [_CUT] if kept < len(added) else []
    return "\n".join(filter(None, [job.site.note, *added[:kept], *cut]))


def _plain(text: str) -> str:
    """Leave out the marks that a note may not hold."""
    return "".join(letter if letter.isprintable() else " " for letter in text).strip()
