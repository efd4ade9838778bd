"""The command line. Standard output carries data, standard error words; exit codes are fixed.

0 done, and nothing found at stop; 1 the checks found something at stop (``check``), or a paper
was held up (``papers``); 2 wrong
usage, or a file that cannot be read or written; 130 interrupted; 141 the reader of the output
went away. Only what a command needs is imported: for ``--help`` nothing but how it refuses, and
the wizard's modules for the wizard alone.
"""

import argparse
import gc
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.command.parsers import (
    compare_parser,
    curve_parser,
    example_parser,
    job_parser,
    offcuts_parser,
    papers_parser,
    schema_parser,
    wizard_parser,
)

if TYPE_CHECKING:
    from pelmet.model.job.catalogue import Catalogue
    from pelmet.model.order.folder import Folder
    from pelmet.model.plan.result import Plan

DONE: Final = 0
STOPPED: Final = 1
REFUSED: Final = 2
INTERRUPTED: Final = 130
READER_GONE: Final = 141

_MM_PER_METRE: Final = 1000


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command, by default that of the process, and give its exit code."""
    if argv is None:
        _begin_start()
    arguments = list(sys.argv[1:] if argv is None else argv)
    try:
        code = _run(arguments)
        sys.stdout.flush()
    except Refusal as refusal:
        _say(refusal_text(refusal))
        return REFUSED
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The interpreter flushes once more as it ends; that must not meet the closed pipe.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return READER_GONE
    except SystemExit as end:  # argparse ends so, for --help and for wrong usage
        return end.code if isinstance(end.code, int) else REFUSED
    return code


def _run(arguments: list[str]) -> int:
    if arguments and arguments[0] in _COMMANDS:
        make_parser, action = _COMMANDS[arguments[0]]
        return action(make_parser(arguments[0]).parse_args(arguments[1:]))
    parser = wizard_parser()
    given, rest = parser.parse_known_args(arguments)
    if given.version:
        return _version()
    if rest and given.job in _COMMANDS:
        remedy = f'put the command first: "pelmet {given.job} ..."'
        raise Refusal("this is a command", given.job, remedy)
    if rest and (given.job is None or _stands(Path(given.job))):
        parser.error(f"not understood: {' '.join(rest)}")
    return _wizard(given)


def _version() -> int:
    from importlib.metadata import version

    _print(f"pelmet {version('pelmet')}\n")
    return DONE


def _check(given: argparse.Namespace) -> int:
    from dataclasses import replace

    from pelmet.model.told.findings import counts_words, findings_lines
    from pelmet.tui.command.offcuts import at_odds

    plan = _plan(given)
    # What the order finds comes with it: a stock too short stops a job like any other fault.
    plan = replace(plan, findings=(*plan.findings, *_folder(plan, None).findings))
    if given.json:
        from pelmet.model.told.data.documents import check_data
        from pelmet.model.told.data.json_text import json_text

        _print(json_text(check_data(plan)))
    elif plan.findings:
        _print("".join(f"{line}\n" for line in findings_lines(plan)))
    _say(counts_words(plan))
    for words in at_odds(plan.job):
        _say(words)
    return STOPPED if plan.count("stop") else DONE


def _show(given: argparse.Namespace) -> int:
    from pelmet.model.told.data.documents import show_data
    from pelmet.model.told.data.json_text import json_text
    from pelmet.model.told.formats.text import ascii_text
    from pelmet.model.told.papers.plan_sheet import sheet_of

    plan = _plan(given)
    _print(json_text(show_data(plan)) if given.json else ascii_text(sheet_of(plan)))
    return DONE


def _figures(given: argparse.Namespace) -> int:
    from pelmet.model.told.data.documents import figures_data
    from pelmet.model.told.data.json_text import json_text
    from pelmet.model.told.figures import figures_text

    plan = _plan(given)
    _print(json_text(figures_data(plan)) if given.json else figures_text(plan))
    return DONE


def _example(given: argparse.Namespace) -> int:
    from pelmet.model.examples import EXAMPLES, example_bytes

    if given.name not in EXAMPLES:
        near = _nearest(given.name, EXAMPLES)
        raise Refusal(f'no example "{given.name}"{near}', remedy=f"there is {', '.join(EXAMPLES)}")
    if given.write is None:
        return _open_wizard(None, given.name, given.catalogue)
    _write_new(given.write, example_bytes(given.name))
    _say(f"written: {given.write}")
    return DONE


def _schema(_: argparse.Namespace) -> int:
    from pelmet.model.file.job.schema import job_schema
    from pelmet.model.told.data.json_text import json_text

    _print(json_text(job_schema()))
    return DONE


def _papers(given: argparse.Namespace) -> int:
    from pelmet.tui.command.papers import write_asked_papers

    files, says, held = write_asked_papers(_folder(_plan(given), given.prices), given)
    _print("".join(f"{ascii(name)[1:-1]}\n" for name in files))
    for words in says:
        _say(words)
    return STOPPED if held else DONE


def _compare(given: argparse.Namespace) -> int:
    from pelmet.model.order.offers import variants
    from pelmet.model.told.blocks.offered import SIDE_HEAD, SIDE_NUMBERS, side_row
    from pelmet.model.told.formats.text import ascii_lines
    from pelmet.model.told.paper import Grid

    rows: list[tuple[str, ...]] = []
    for name in given.jobs:
        folder = _folder(_plan(argparse.Namespace(**{**vars(given), "job": name})), given.prices)
        first, *others = variants(folder)
        found = (first._replace(name=Path(name).name), *others)
        rows += [side_row(side, folder.prices.currency) for side in found]
    table = Grid(SIDE_HEAD, tuple(rows), SIDE_NUMBERS)
    _print("".join(f"{line}\n" for line in ascii_lines(table)))
    return DONE


def _offcuts(given: argparse.Namespace) -> int:
    from pelmet.tui.command.offcuts import act_on_store

    output = act_on_store(given, lambda: _folder(_plan(given), given.prices))
    _print("".join(f"{line}\n" for line in output.data))
    for words in output.says:
        _say(words)
    return DONE


def _folder(plan: "Plan", prices: str | None) -> "Folder":
    """Work out what to buy and what it costs, by the user's price book if there is one."""
    from pelmet.model.file.job.reading import load_prices
    from pelmet.model.order.folder import make_folder
    from pelmet.tui.places import user_prices

    path = user_prices() if prices is None else _file(prices)
    return make_folder(plan, load_prices(path) if path else None)


def _curve(given: argparse.Namespace) -> int:
    from pelmet.model.file.photometry.diffuser_text import write_diffuser
    from pelmet.model.file.photometry.distribution_file import load_distribution

    path = _file(given.file)
    length = None if given.length is None else given.length / _MM_PER_METRE
    try:
        measured = load_distribution(path, given.room_side, length)
    except ValueError as error:
        raise Refusal(str(error), f"--length {given.length:g}") from error
    text = write_diffuser(measured)
    if not text:
        raise Refusal("its light lies between the angles that a curve keeps", given.file)
    _print(text)
    _say(
        f"{measured.form}: {measured.title or 'no name'}\n"
        f"{measured.lumens:.4g} lm from {measured.length * _MM_PER_METRE:.4g} mm, "
        f"{100 * measured.behind:.1f} % of it behind the face: "
        f"{measured.lumens_per_metre:.4g} lm/m before it\n"
        f"C{measured.across} is turned to the room, the line lies square to it\n"
        f"a curve across times the cosine along sends {100 * measured.misplaced:.1f} % of the "
        f"light elsewhere, and comes to {100 * measured.flux_error:+.1f} % of it"
    )
    for doubt in measured.doubts:
        _say(f"check: {doubt}")
    return DONE


def _wizard(given: argparse.Namespace) -> int:
    if given.job is None:
        return _open_wizard(None, None, given.catalogue)
    path = _file(given.job)
    if not _stands(path):
        near = _nearest(given.job, _COMMANDS)
        raise Refusal(f"no such file, and no command{near}", given.job, "see pelmet --help")
    if path.is_dir():
        raise Refusal("this is a folder", given.job, "name a job file in it")
    return _open_wizard(path, None, given.catalogue)


def _stands(path: Path) -> bool:
    try:
        return path.exists()
    except OSError:  # a name too long, a folder that is closed: whoever reads it will say so
        return True


def _open_wizard(path: Path | None, example: str | None, catalogue: str | None) -> int:
    parts = _catalogue_path(catalogue)
    if not _has_terminal():
        remedy = "pelmet --help tells what works without one"
        raise Refusal("the wizard needs a terminal", remedy=remedy)
    from pelmet.tui.app import run

    return run(path, example, parts)


def _has_terminal() -> bool:
    """Tell whether the wizard can read keys and draw: it draws on standard error."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def _catalogue_path(named: str | None) -> Path | None:
    """Give the user's own catalogue file: the named one, else the usual one if there is any."""
    if named is not None:
        return _file(named)
    from pelmet.tui.places import user_catalogue

    return user_catalogue()


def _plan(given: argparse.Namespace) -> "Plan":
    """Read the job and the catalogue, and work the plan out."""
    from pelmet.model.file.job.reading import load_job
    from pelmet.model.plan.stages import plan_job

    _end_start()
    job = load_job(_file(given.job))
    return plan_job(job, _catalogue(_catalogue_path(given.catalogue)))


def _begin_start() -> None:
    """Spare the process what takes time as it starts and serves nothing here."""
    gc.disable()  # what is made while starting stays
    # numpy's linear algebra starts a thread for every core as it is loaded; nothing here uses them.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def _end_start() -> None:
    """Look for waste from here on, among what is made from here on."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


def _catalogue(path: Path | None) -> "Catalogue | None":
    """Read the user's own parts; nothing when there are none."""
    if path is None:
        return None
    from pelmet.model.file.job.reading import load_catalogue

    return load_catalogue(path)


def _file(name: str) -> Path:
    if name == "-":
        raise Refusal('"-" is not a file', remedy="save the job to a file and name it")
    return Path(name)


def _write_new(name: str, data: bytes) -> None:
    """Write a file that is not there yet."""
    path = _file(name)
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError as error:
        raise Refusal("it is there already and was left alone", name, "name a new file") from error
    except (OSError, ValueError) as error:
        from pelmet.model.file.disk.oswords import os_words

        reason, remedy = os_words(error)
        raise Refusal(f"not written: {reason}", name, remedy) from error


def _nearest(word: str, known: Iterable[str]) -> str:
    from pelmet.model.job.references import nearest

    return nearest(word, known)


def _print(text: str) -> None:
    """Write data; all of it is ASCII, so that any encoding can carry it."""
    sys.stdout.write(text)


def _say(text: str) -> None:
    """Write words for people; what a terminal might obey, or cannot show, is spelt out."""
    shown = "".join(
        letter if letter.isprintable() or letter == "\n" else ascii(letter)[1:-1] for letter in text
    )
    encoding = sys.stderr.encoding or "ascii"
    print(shown.encode(encoding, "backslashreplace").decode(encoding), file=sys.stderr)


_COMMANDS: Final[
    dict[
        str,
        tuple[Callable[[str], argparse.ArgumentParser], Callable[[argparse.Namespace], int]],
    ]
] = {
    "check": (job_parser, _check),
    "show": (job_parser, _show),
    "figures": (job_parser, _figures),
    "example": (example_parser, _example),
    "schema": (schema_parser, _schema),
    "papers": (papers_parser, _papers),
    "compare": (compare_parser, _compare),
    "offcuts": (offcuts_parser, _offcuts),
    "curve": (curve_parser, _curve),
}
