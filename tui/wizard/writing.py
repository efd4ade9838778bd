"""Papers as files, step by step: worked out, set, and written beside the event loop.

A step gives words that say how far it has come, nothing, or at the end what came of it.
"""

from collections.abc import Generator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from pelmet.model.edit.giving import Bought, Signed, give_out, note_order
from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.paper_files import make_folder_for, write_paper
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.kept import keep_version, kept_versions
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import PAPER_NAMES, PaperName
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.session.paperwork import Asked, work_out

if TYPE_CHECKING:
    from pelmet.model.job.prices import PriceBook
    from pelmet.model.order.folder import Folder
    from pelmet.model.told.blocks.two_kinds import Telling
    from pelmet.model.told.formats.files import Form
    from pelmet.model.told.paper import SheetName

FORM_OF: "Final[dict[str, Form]]" = {
    ".txt": "text",
    ".html": "html",
    ".htm": "html",
    ".pdf": "pdf",
}


class Ended(NamedTuple):
    """How writing ended, in words."""

    words: str
    role: str = "good"


class AllWritten(NamedTuple):
    """What came of writing all papers into a folder.

    ``older`` are files that hold something else and were left, with what they would hold;
    ``bought`` what an order is for, and ``void`` what people hold that says something else.
    """

    words: str
    into: Path
    folder: "Folder"
    ready: "tuple[SheetName, ...]"
    older: Mapping[str, bytes]
    bought: tuple[Bought, ...]
    void: tuple[PaperName, ...]


class Marks(NamedTuple):
    """The fingerprints by which papers are known that went out."""

    of: Mapping[PaperName, str]


Steps = Generator[str | Ended | AllWritten | Marks | None, None, None]


def write_page(asked: Asked, above: Sequence[str], path: Path) -> Steps:
    """Write a page as it is shown, under what holds it up; never over a file that is there."""
    rows: tuple[str, ...] = ()
    for found in work_out(asked):
        rows = found.rows if found and found.page else rows
        yield None
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write("\n".join((*above, *rows)) + "\n")
    except FileExistsError:
        yield _there_already(path)
    except (OSError, ValueError) as error:
        unsaved = SaveError(path, *os_words(error))
        yield Ended(refusal_text(unsaved, f"{path.name} was not written"), "stop")
    else:
        yield Ended(f"Wrote {path.absolute()}")


def write_one(asked: Asked, name: "SheetName", path: Path) -> Steps:
    """Write one paper in the form that the file's name asks for; never over another file."""
    from pelmet.model.told.formats.files import files_of, page_of
    from pelmet.model.told.papers.sheets import hold_up, paper_of

    folder = yield from _folder(asked)
    reason = hold_up(folder, name)
    if reason:
        yield Ended(f"Not written: {reason}", "stop")
        return
    sheet = page_of(folder.plan.job.site.region)
    ((_, data),) = files_of([paper_of(folder, name)], [FORM_OF[path.suffix]], sheet)
    try:
        written = write_paper(path.absolute().parent, path.name, data)
    except Refusal as refusal:
        yield Ended(refusal_text(refusal, f"{path.name} was not written"), "stop")
        return
    kept = written.how == "kept"
    yield _there_already(path) if kept else Ended(f"Wrote {path.absolute()}")


def write_all(asked: Asked, into: Path, telling: "Telling" = "apart") -> Steps:
    """Write every paper that is not held up, in every form; what is there already is left.

    Of only what is to do those papers that know it from what is built.
    """
    from pelmet.model.told.formats.files import FORMS, files_of, page_of
    from pelmet.model.told.papers.sheets import APART, SHEETS, hold_up, paper_of, void_papers

    folder = yield from _folder(asked)
    sheet = page_of(folder.plan.job.site.region)
    names = APART if telling == "to do" else tuple(SHEETS)
    ready = tuple(name for name in names if not hold_up(folder, name))
    held = [name for name in names if name not in ready]
    data: dict[str, bytes] = {}
    kept: list[str] = []
    try:
        make_folder_for(into)
        for at, name in enumerate(ready):
            yield f"Writing {at + 1} of {len(ready)}: {name}"
            for file, content in files_of([paper_of(folder, name, telling)], FORMS, sheet):
                if file not in data:  # a table may stand on several papers
                    if write_paper(into, file, content).how == "kept":
                        kept.append(file)
                    data[file] = content
    except Refusal as refusal:
        yield Ended(refusal_text(refusal, f"Stopped after {len(data)} files"), "stop")
        return
    words = f"{len(data) - len(kept)} files in {into.absolute()}"
    if held:
        words += f"; held up: {', '.join(held)}"
    older = {name: data[name] for name in kept}
    yield AllWritten(words, into, folder, ready, older, bought_by(folder), void_papers(folder))


def write_whole(asked: Asked, own: Catalogue, path: Path) -> Steps:
    """Write a job with those of the user's own parts that it rests on; never over another file."""
    from pelmet.model.versions.handing import carried_words, whole_job

    folder = yield from _folder(asked)
    yield None
    job = whole_job(folder, own)
    yield None
    try:
        save_job(job, path, None)
    except Refusal as refusal:
        yield Ended(refusal_text(refusal, f"{path.name} was not written"), "stop")
        return
    yield Ended(f"Wrote {path.absolute()}: {carried_words(folder.plan.job, job)}")


def bought_by(folder: "Folder") -> tuple[Bought, ...]:
    """Give what an order is for; a line for any part that does is of none that could be noted."""
    from pelmet.model.order.price_of import parts_by_id

    named = parts_by_id(folder.plan.parts)
    return tuple(
        (line.part, line.length, line.amount)
        for line in folder.lines
        if line.packs and line.part in named
    )


def write_over(into: Path, files: Mapping[str, bytes]) -> Steps:
    """Write files in place of those that hold something else; gives nothing if all went well."""
    try:
        for name, content in files.items():
            write_paper(into, name, content, replace=True)
            yield f"Writing {name}"
    except Refusal as refusal:
        yield Ended(refusal_text(refusal, "Stopped"), "stop")


class Noted(NamedTuple):
    """What is noted of papers that went out: of which revision, signed, and ordered by them."""

    revision: int
    signed: Signed
    bought: tuple[Bought, ...]

    def noted(self, job: Job, marks: Marks) -> Job:
        """Note it in a job."""
        ordered = note_order(job, self.bought, self.signed)
        return give_out(ordered, marks.of, self.revision, self.signed)


def note_papers(
    written: AllWritten,
    note: Noted,
    own: Catalogue,
    prices: "PriceBook | None",
    path: Path | None,
) -> Steps:
    """Give the marks of papers that went out; then keep the job they are of beside its file.

    An order that is sent is not void for it: its mark is of what is left to order.
    """
    from pelmet.model.told.papers.sheets import mark_of

    folder, job = written.folder, written.folder.plan.job
    if note.bought:
        plan = plan_job(note_order(job, note.bought, note.signed), own)
        folder = yield from _folder(Asked(plan, prices, None, ""))
    marks = Marks({name: mark_of(folder, name) for name in PAPER_NAMES if name in written.ready})
    yield marks
    noted = note.noted(job, marks)
    if noted == job:
        yield Ended(f"They are noted in the job already. {written.words}")
        return
    kept = keep(path, ((noted, note.revision),))
    words = f"Noted in the job{kept.words}. Ctrl+Z takes the note back. {written.words}"
    yield Ended(words, kept.role)


def keep_revision(path: Path | None, saved: Job | None, revised: Job) -> Steps:
    """Keep a job that a revision was noted in; and as its file has it, if none is kept of that."""
    number = len(revised.revisions)
    versions = [(revised, number)]
    if path and saved and not kept_versions(path, len(saved.revisions)):
        versions.insert(0, (saved, len(saved.revisions)))
    kept = keep(path, versions)
    yield Ended(f"Revision {number} is noted{kept.words}", kept.role)


def keep(path: Path | None, versions: Sequence[tuple[Job, int]]) -> Ended:
    """Keep jobs beside a file, each as of a revision; gives where, as the end of a sentence."""
    if path is None:
        return Ended("; the job is in no file yet, so none is kept beside it", "warn")
    try:
        names = [keep_version(job, path, revision).name for job, revision in versions]
    except Refusal as refusal:
        return Ended(f"; {refusal_text(refusal, 'but the job is not kept as it is now')}", "stop")
    return Ended(f", and the job kept beside its file as {names[-1]}")


def _folder(asked: Asked) -> "Generator[None, None, Folder]":
    from pelmet.model.order.folder import folder_steps

    return asked.folder or (yield from folder_steps(asked.plan, asked.prices))


def _there_already(path: Path) -> Ended:
    return Ended(f"{path.name} is there already; choose another name", "stop")
