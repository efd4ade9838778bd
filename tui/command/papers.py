"""``pelmet papers`` and ``pelmet compare``: what leaves the van, and jobs side by side."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from pelmet.model.refusal import Refusal

if TYPE_CHECKING:
    from pelmet.model.order.folder import Folder
    from pelmet.model.told.blocks.two_kinds import Telling
    from pelmet.model.told.formats.files import Form
    from pelmet.model.told.paper import SheetName


def add_papers(parser: argparse.ArgumentParser) -> None:
    """Add what ``papers`` is told beside its job."""
    from pelmet.model.told.formats.files import FORMS, PAGES

    parser.add_argument(
        "--out",
        metavar="DIR",
        required=True,
        help="folder to write into; of several jobs each has a folder of its own in it",
    )
    parser.add_argument(
        "--format",
        metavar="LIST",
        default="pdf",
        help=f"any of {','.join(FORMS)}, parted by commas; pdf if not said",
    )
    parser.add_argument(
        "--only", metavar="LIST", default="", help="names of papers, parted by commas; else all"
    )
    parser.add_argument(
        "--new",
        action="store_true",
        help="only what is to do or to order, on the papers that know it from what is built",
    )
    parser.add_argument(
        "--page",
        choices=PAGES,
        help="sheet size; that of the job's region if not said",
    )
    parser.add_argument(
        "--replace", action="store_true", help="write over files that hold something else"
    )


def forms_of(words: str) -> "tuple[Form, ...]":
    """Read a list of formats; raises ``Refusal``."""
    from pelmet.model.told.formats.files import FORMS

    known: dict[str, Form] = {form: form for form in FORMS}
    return tuple(known[_known(word, known, "format")] for word in _listed(words))


def names_of(words: str) -> "tuple[SheetName, ...]":
    """Read a list of papers, all if it is empty; raises ``Refusal``."""
    from pelmet.model.told.papers.sheets import SHEETS

    known: dict[str, SheetName] = {name: name for name in SHEETS}
    if not words:
        return tuple(SHEETS)
    return tuple(known[_known(word, known, "paper")] for word in _listed(words))


def _that_know_new(names: "tuple[SheetName, ...]", *, all_of_them: bool) -> "tuple[SheetName, ...]":
    from pelmet.model.told.papers.sheets import APART

    other = [name for name in names if name not in APART]
    if other and not all_of_them:
        remedy = f"write it without --new; these know it: {', '.join(APART)}"
        raise Refusal(f"{other[0]} does not tell what is new from what is built", remedy=remedy)
    return APART if all_of_them else names


def _listed(words: str) -> list[str]:
    return list(dict.fromkeys(word.strip() for word in words.split(",") if word.strip()))


def _known(word: str, known: "dict[str, Form] | dict[str, SheetName]", what: str) -> str:
    from pelmet.model.job.references import nearest

    if word not in known:
        remedy = f"there is {', '.join(known)}"
        raise Refusal(f'no {what} "{word}"{nearest(word, known)}', remedy=remedy)
    return word


def write_asked_papers(
    folder: "Folder", given: argparse.Namespace, out: Path, at_once: int | None
) -> tuple[list[str], list[str], bool]:
    """Write the papers asked for, some at once; give the files, what to say, if any was held up.

    Raises ``Refusal``, and its ``SaveError`` for a folder that cannot be written.
    """
    from pelmet.model.file.disk.paper_files import write_papers
    from pelmet.model.told.formats.files import files_of, page_of
    from pelmet.model.told.papers.sheets import hold_up, paper_of, void_papers

    names, forms = names_of(given.only), forms_of(given.format)
    telling: Telling = "to do" if given.new else "apart"
    if given.new:
        names = _that_know_new(names, all_of_them=not given.only)
    held = {name: reason for name in names if (reason := hold_up(folder, name))}
    papers = [paper_of(folder, name, telling) for name in names if name not in held]
    page = given.page or page_of(folder.plan.job.site.region)
    written = write_papers(out, files_of(papers, forms, page, at_once), replace=given.replace)
    kept = [each.name for each in written if each.how == "kept"]
    says = [f"{name}: {reason}" for name, reason in held.items()]
    if kept:
        says.append(f"left as they were, for they hold something else: {', '.join(kept)}; "
                    "--replace writes over them")  # fmt: skip
    gone = void_papers(folder)
    if gone:
        says.append(f"given out before, and void now: {', '.join(gone)}")
    files = [str(out / each.name) for each in written if each.how != "kept"]
    return files, says, bool(held or kept)
