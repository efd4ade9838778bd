"""The papers in the wizard: how each stands, its text, writing them, noting that they went out."""

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pelmet.model.edit.giving import give_out, note_order
from pelmet.model.file.disk.paper_files import Written, make_folder_for, write_paper
from pelmet.model.job.paperwork import PAPER_NAMES
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal, told
from pelmet.tui.dialogs.pickers import Picker, typed_path
from pelmet.tui.panes.rows import Line, lines

if TYPE_CHECKING:
    from collections.abc import Callable

    from pelmet.model.order.folder import Folder
    from pelmet.model.told.formats.files import Form
    from pelmet.model.told.paper import SheetName
    from pelmet.tui.session.session import Session
    from pelmet.tui.wizard.wizard import Wizard

_FORM_OF: "Final[dict[str, Form]]" = {
    ".txt": "text",
    ".html": "html",
    ".htm": "html",
    ".pdf": "pdf",
}
_FOLDER_ENDS: Final = ("/", "\\")


def states(folder: "Folder") -> dict[str, str]:
    """Say in a few words how each paper stands: ready, blocked, given out, void."""
    from pelmet.model.told.papers.sheets import SHEETS, blocked, void

    given = {each.paper: each.revision for each in folder.plan.job.given}
    gone = void(folder)
    found: dict[str, str] = {}
    for name in SHEETS:
        if blocked(folder, name):
            found[name] = "blocked"
        elif name in gone:
            found[name] = f"VOID, rev {given[name]}"
        else:
            found[name] = f"given, rev {given[name]}" if name in given else "ready"
    return found


def held_up(folder: "Folder", item_id: str) -> str:
    """Say why a paper cannot go out, or that what was given out does not hold, or nothing."""
    from pelmet.model.told.papers.sheets import blocked, void

    name = _name(item_id)
    if name is None:
        return ""
    reason = blocked(folder, name)
    if reason:
        return f"Blocked, {reason}. Measure it, or say why it is cut anyway, under Job"
    if name in void(folder):
        return "What was given out says something else: Ctrl+N adds a revision, then write it again"
    return ""


def page(session: "Session") -> tuple[Line, ...]:
    """Give the text of the paper one stands on, once; what holds it up stands above it."""
    folder, name = session.folder, session.place.id
    if name not in session.pages:
        session.pages[name] = _page(folder, name)
    return session.pages[name]


def _page(folder: "Folder", item_id: str) -> tuple[Line, ...]:
    from pelmet.model.told.formats.text import paper_text
    from pelmet.model.told.papers.sheets import blocked, paper_of

    name = _name(item_id)
    if name is None:
        return ()
    reason = blocked(folder, name)
    held = [Line(f"BLOCKED, {reason}", "stop"), Line("")] if reason else []
    return (*held, *lines(paper_text(paper_of(folder, name)).splitlines()))


def _name(item_id: str) -> "SheetName | None":
    from pelmet.model.told.papers.sheets import SHEETS

    return next((name for name in SHEETS if name == item_id), None)


class Papers:
    """The writing side of one wizard's papers."""

    def __init__(self, wizard: "Wizard") -> None:
        self._wizard = wizard

    def takes(self, typed: str) -> bool:
        """Whether what was typed asks for papers in files, not for the page as it is shown."""
        whole = typed.strip().endswith(_FOLDER_ENDS)
        own = _name(self._wizard.session.place.id) is not None
        return whole or (own and Path(typed.strip()).suffix in _FORM_OF)

    async def write(self, typed: str) -> None:
        """Write the paper one stands on to the file named, or all of them into a folder."""
        text = typed.strip()
        if not text.endswith(_FOLDER_ENDS):
            self._write_one(text)
            return
        folder = self._beside(text)
        if folder is None:
            self._wizard.say("Type a folder, such as kitchen-papers/", "warn")
            return
        await self._write_all(folder)

    def _beside(self, text: str) -> Path | None:
        """Give the path that was typed: beside the job's file, unless it says elsewhere."""
        path, own = typed_path(text), self._wizard.session.path
        return own.parent / path if path and own else path

    def _write_one(self, text: str) -> None:
        from pelmet.model.told.formats.files import files_of, page_of
        from pelmet.model.told.papers.sheets import blocked, paper_of

        session, path = self._wizard.session, self._beside(text)
        name = _name(session.place.id)
        if path is None or name is None:
            return
        reason = blocked(session.folder, name)
        if reason:
            self._wizard.say(f"Not written: {reason}", "stop")
            return
        form = _FORM_OF[path.suffix]
        sheet = page_of(session.job.site.region)
        ((_, data),) = files_of([paper_of(session.folder, name)], [form], sheet)
        try:
            written = write_paper(path.absolute().parent, path.name, data)
        except Refusal as refusal:
            self._wizard.say(told(refusal, f"{path.name} was not written"), "stop")
            return
        if written.how == "kept":
            self._wizard.say(f"{path.name} is there already; choose another name", "stop")
        else:
            self._wizard.say(f"Wrote {path.absolute()}")

    async def _write_all(self, folder: Path) -> None:
        from pelmet.model.told.formats.files import FORMS, files_of, page_of
        from pelmet.model.told.papers.sheets import SHEETS, blocked, paper_of

        session = self._wizard.session
        job_folder, sheet = session.folder, page_of(session.job.site.region)
        held = [name for name in SHEETS if blocked(job_folder, name)]
        ready = [name for name in SHEETS if name not in held]
        done: list[Written] = []
        data: dict[str, bytes] = {}
        try:
            make_folder_for(folder)
            for at, name in enumerate(ready):
                self._wizard.say(f"Writing {at + 1} of {len(ready)}: {name}", "dim")
                await asyncio.sleep(0)  # so that it is seen, and keys are taken
                for file, content in files_of([paper_of(job_folder, name)], FORMS, sheet):
                    if file not in data:  # a table may stand on several papers
                        data[file] = content
                        done.append(write_paper(folder, file, content))
        except Refusal as refusal:
            self._wizard.say(told(refusal, f"Stopped after {len(done)} files"), "stop")
            return
        kept = [each.name for each in done if each.how == "kept"]
        words = f"{len(done) - len(kept)} files in {folder.absolute()}"
        if held:
            words += f"; held up: {', '.join(held)}"
        if kept:
            self._ask_to_replace(folder, {name: data[name] for name in kept}, ready, words)
        else:
            self._ask_if_given(ready, words)

    def _ask_to_replace(
        self, folder: Path, files: dict[str, bytes], ready: "list[SheetName]", words: str
    ) -> None:
        def decide(at: int | None) -> None:
            if at != 1:
                self._wizard.say(f"{words}; {len(files)} older ones left as they were", "warn")
                return
            try:
                for name, content in files.items():
                    write_paper(folder, name, content, replace=True)
            except Refusal as refusal:
                self._wizard.say(told(refusal, "Stopped"), "stop")
                return
            self._ask_if_given(ready, words)

        self._pick(
            f"{len(files)} files in {folder.name} hold something else: {', '.join(files)[:120]}",
            ["Leave them as they are", "Write over them"],
            decide,
        )

    def _ask_if_given(self, ready: "list[SheetName]", words: str) -> None:
        """What went out is noted in the job, so that a later change can say what is void."""
        from pelmet.model.order.folder import make_folder
        from pelmet.model.told.papers.sheets import mark_of, void

        session = self._wizard.session
        gone = void(session.folder)
        bought = [line for line in session.folder.lines if line.packs]

        def decide(at: int | None) -> None:
            if not at:
                self._wizard.say(words)
                return
            if gone:
                self._wizard.say(
                    f"Void since they were given out: {', '.join(gone)}. Ctrl+N adds a revision "
                    "that says why; then write them again",
                    "warn",
                )
                return
            job = session.job
            if at == 2:
                job = note_order(job, [(each.part, each.length, each.amount) for each in bought])
            # An order that is sent is not void for it: its mark is of what is left to order.
            after = make_folder(plan_job(job, session.parts), session.prices)
            out = {name: mark_of(after, name) for name in PAPER_NAMES if name in ready}
            session.change(give_out(job, out))
            self._wizard.done(f"{words}; noted in the job, Ctrl+Z takes that back")

        order = ["Note them, and the order as sent"] if bought else []
        self._pick(
            "Written. Do people hold them now? Then the job notes what they say.",
            ["No, only for me to look at", "Note them as given out", *order],
            decide,
        )

    def _pick(self, title: str, options: list[str], then: "Callable[[int | None], None]") -> None:
        self._wizard.app.push_screen(Picker(title, lines(options)), then)
