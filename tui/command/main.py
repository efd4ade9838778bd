"""The command line. Standard output carries data, standard error words; exit codes are fixed.

0 done, and nothing found at stop; 1 the checks found something at stop (``check``), or a paper
was held up (``papers``); 2 wrong usage, or a file that cannot be read or written; 3 the program
itself failed; 130 interrupted; 141 the reader of the output went away. Only what a command needs
is imported: for ``--help`` nothing but how it refuses, and
the wizard's modules for the wizard alone.
"""

import argparse
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.codes import DONE, FAILED, INTERRUPTED, READER_GONE, REFUSED, STOPPED
from pelmet.tui.command.parsers import (
    compare_parser,
    curve_parser,
    diff_parser,
    example_parser,
    file_named,
    handover_parser,
    job_parser,
    merge_parser,
    offcuts_parser,
    papers_parser,
    schema_parser,
    wizard_parser,
)
from pelmet.tui.starting import begin_start

if TYPE_CHECKING:
    from pelmet.tui.command.one_job import Output

_MM_PER_METRE: Final = 1000
_PROGRESS: Final = 30  # columns


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command, by default that of the process, and give its exit code."""
    if argv is None:
        begin_start()
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
    except Exception as error:  # noqa: BLE001 - told in words, whatever it was
        from pelmet.tui.failure import refusal_of

        _say(refusal_text(refusal_of(error)))
        return FAILED
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


def _tell(given: argparse.Namespace) -> int:
    """Tell of the only job that is named, or of each of several; give the worst of their codes."""
    from pelmet.tui.command.one_job import Asked, alone, tell_alone

    if alone(given.jobs):
        output = tell_alone(given, Asked(given.jobs[0], Path(getattr(given, "out", ""))))
        _put(output)
        return output.code
    from pelmet.tui.command.many_jobs import jobs_named, tell_each

    found = jobs_named(given)
    codes: list[int] = []
    with closing(tell_each(given, found)) as each:
        try:
            _progress(f"0 of {len(found)}")
            for output in each:
                _progress("")
                _put(output)
                sys.stdout.flush()  # whoever reads has each job as it is done; or is gone
                codes.append(output.code)
                _progress(f"{len(codes)} of {len(found)}")
        finally:
            _progress("")
    if given.command == "check":
        _say(
            f"{len(codes)} jobs: {codes.count(DONE)} with nothing at stop, "
            f"{codes.count(STOPPED)} with something, {codes.count(REFUSED)} refused"
        )
    return max(codes)


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


def _compare(given: argparse.Namespace) -> int:
    from pelmet.model.order.folder import make_folder
    from pelmet.model.order.offers import variants
    from pelmet.model.told.blocks.offered import SIDE_HEAD, SIDE_NUMBERS, side_row
    from pelmet.model.told.formats.text import ascii_lines
    from pelmet.model.told.paper import Grid
    from pelmet.tui.command.one_job import plan_named

    own = None
    rows: list[tuple[str, ...]] = []
    for name in given.jobs:
        plan, own = plan_named(given, name, own)
        folder = make_folder(plan, own.prices)
        first, *others = variants(folder)
        found = (first._replace(name=Path(name).name), *others)
        rows += [side_row(side, folder.prices.currency) for side in found]
    table = Grid(SIDE_HEAD, tuple(rows), SIDE_NUMBERS)
    _print("".join(f"{line}\n" for line in ascii_lines(table)))
    return DONE


def _diff(given: argparse.Namespace) -> int:
    from pelmet.tui.command.versions import tell_diff

    told = tell_diff(given)
    _put(told)
    return told.code


def _merge(given: argparse.Namespace) -> int:
    from pelmet.tui.command.versions import tell_merge

    told = tell_merge(given)
    _put(told)
    return told.code


def _handover(given: argparse.Namespace) -> int:
    from pelmet.tui.command.versions import tell_handover

    told = tell_handover(given)
    _put(told)
    return told.code


def _offcuts(given: argparse.Namespace) -> int:
    from pelmet.tui.command.offcuts import act_on_store

    output = act_on_store(given)
    _print("".join(f"{line}\n" for line in output.data))
    for words in output.says:
        _say(words)
    return DONE


def _curve(given: argparse.Namespace) -> int:
    from pelmet.model.file.photometry.diffuser_text import write_diffuser
    from pelmet.model.file.photometry.distribution_file import load_distribution

    path = file_named(given.file)
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
    path = file_named(given.job)
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
        return file_named(named)
    from pelmet.tui.places import user_catalogue

    return user_catalogue()


def _write_new(name: str, data: bytes) -> None:
    """Write a file that is not there yet."""
    path = file_named(name)
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


def _put(output: "Output") -> None:
    _print(output.data)
    for words in output.says:
        _say(words)


def _progress(text: str) -> None:
    """Show how far it is in place of what was shown before, if somebody looks on."""
    if sys.stderr.isatty():
        print(f"\r{' ' * _PROGRESS}\r{text}", end="", file=sys.stderr, flush=True)


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
    "check": (job_parser, _tell),
    "show": (job_parser, _tell),
    "figures": (job_parser, _tell),
    "example": (example_parser, _example),
    "schema": (schema_parser, _schema),
    "papers": (papers_parser, _tell),
    "compare": (compare_parser, _compare),
    "diff": (diff_parser, _diff),
    "merge": (merge_parser, _merge),
    "handover": (handover_parser, _handover),
    "offcuts": (offcuts_parser, _offcuts),
    "curve": (curve_parser, _curve),
}
