"""Writing papers from the wizard, and noting that they went out."""

import asyncio
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pelmet.model.edit.giving import give_out, note_order
from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.paper_files import WrittenFile, make_folder_for, write_paper
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.job.paperwork import PAPER_NAMES
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.dialogs.pickers import Picker, typed_path
from pelmet.tui.panes.contents import page_lines
from pelmet.tui.panes.line import lines
from pelmet.tui.wizard.host import Host

if TYPE_CHECKING:
    from pelmet.model.told.formats.files import Form
    from pelmet.model.told.paper import SheetName

_FORM_OF: "Final[dict[str, Form]]" = {
    ".txt": "text",
    ".html": "html",
    ".htm": "html",
    ".pdf": "pdf",
}
_FOLDER_ENDS: Final = ("/", "\\")


class Papers:
    """The writing side of one wizard's papers."""

    def __init__(self, host: Host) -> None:
        self._host = host

    def write(self, typed: str) -> Coroutine[None, None, None] | None:
        """Write the paper one stands on to the file named, or all of them into a folder.

        Writing a folder takes its time: it is given back, to be done while keys are taken.
        """
        from pelmet.tui.session.paper_states import paper_named

        text = typed.strip()
        path, own = typed_path(text), paper_named(self._host.session.place.id)
        if text.endswith(_FOLDER_ENDS):
            if path is not None:
                return self._write_all(self._beside_job(path))
            self._host.say("Type a folder, such as kitchen-papers/", "warn")
        elif path is None:
            self._host.say("Type a file name, such as plan.txt", "warn")
        elif own and path.suffix in _FORM_OF:
            self._write_one(own, self._beside_job(path))
        else:
            self._write_shown(path)
        return None

    def _beside_job(self, path: Path) -> Path:
        """Give the path that was typed: beside the job's file, unless it says elsewhere."""
        own = self._host.session.path
        return own.parent / path if own else path

    def _write_shown(self, path: Path) -> None:
        """Write the page as it is shown; never over a file that is there."""
        page = page_lines(self._host.session)
        try:
            with path.open("x", encoding="utf-8", newline="\n") as file:
                file.write("\n".join(line.text for line in page) + "\n")
        except FileExistsError:
            self._host.say(f"{path.name} is there already; choose another name", "stop")
        except (OSError, ValueError) as error:
            unsaved = SaveError(path, *os_words(error))
            self._host.say(refusal_text(unsaved, f"{path.name} was not written"), "stop")
        else:
            self._host.say(f"Wrote {path.absolute()}")

    def _write_one(self, name: "SheetName", path: Path) -> None:
        from pelmet.model.told.formats.files import files_of, page_of
        from pelmet.model.told.papers.sheets import hold_up, paper_of

        session = self._host.session
        reason = hold_up(session.folder, name)
        if reason:
            self._host.say(f"Not written: {reason}", "stop")
            return
        form = _FORM_OF[path.suffix]
        sheet = page_of(session.job.site.region)
        ((_, data),) = files_of([paper_of(session.folder, name)], [form], sheet)
        try:
            written = write_paper(path.absolute().parent, path.name, data)
        except Refusal as refusal:
            self._host.say(refusal_text(refusal, f"{path.name} was not written"), "stop")
            return
        if written.how == "kept":
            self._host.say(f"{path.name} is there already; choose another name", "stop")
        else:
            self._host.say(f"Wrote {path.absolute()}")

    async def _write_all(self, folder: Path) -> None:
        from pelmet.model.told.formats.files import FORMS, files_of, page_of
        from pelmet.model.told.papers.sheets import SHEETS, hold_up, paper_of

        session = self._host.session
        job_folder, sheet = session.folder, page_of(session.job.site.region)
        held = [name for name in SHEETS if hold_up(job_folder, name)]
        ready = [name for name in SHEETS if name not in held]
        done: list[WrittenFile] = []
        data: dict[str, bytes] = {}
        try:
            make_folder_for(folder)
            for at, name in enumerate(ready):
                self._host.say(f"Writing {at + 1} of {len(ready)}: {name}", "dim")
                await asyncio.sleep(0)  # so that it is seen, and keys are taken
                for file, content in files_of([paper_of(job_folder, name)], FORMS, sheet):
                    if file not in data:  # a table may stand on several papers
                        data[file] = content
                        done.append(write_paper(folder, file, content))
        except Refusal as refusal:
            self._host.say(refusal_text(refusal, f"Stopped after {len(done)} files"), "stop")
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
                self._host.say(f"{words}; {len(files)} older ones left as they were", "warn")
                return
            try:
                for name, content in files.items():
                    write_paper(folder, name, content, replace=True)
            except Refusal as refusal:
                self._host.say(refusal_text(refusal, "Stopped"), "stop")
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
        from pelmet.model.told.papers.sheets import mark_of, void_papers

        session = self._host.session
        gone = void_papers(session.folder)
        bought = [line for line in session.folder.lines if line.packs]

        def decide(at: int | None) -> None:
            if not at:
                self._host.say(words)
                return
            if gone:
                self._host.say(
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
            noted = give_out(job, out)
            self._host.change(noted, f"{words}; noted in the job, Ctrl+Z takes that back")

        order = ["Note them, and the order as sent"] if bought else []
        self._pick(
            "Written. Do people hold them now? Then the job notes what they say.",
            ["No, only for me to look at", "Note them as given out", *order],
            decide,
        )

    def _pick(self, title: str, options: list[str], then: Callable[[int | None], None]) -> None:
        self._host.ask(Picker(title, lines(options)), then)
