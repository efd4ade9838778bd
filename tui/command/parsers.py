"""What each command can be told: its arguments, and its words of help."""

import argparse
from pathlib import Path
from typing import Final

from pelmet.model.refusal import Refusal

FIRST_EXAMPLE: Final = "kitchen"

EPILOG: Final = """\
commands that need no full screen:
  check JOB ..   list what is wrong, will disappoint, or must be decided
  show JOB ..    print the plan, the bars, the power budget and the materials
  figures JOB .. print every figure with its formula
  example        open the invented example job, or write it to a file
  schema         print the JSON Schema of the job file
  papers JOB ..  write the papers: cut list, order, quote, labels, wiring, and the rest
  compare JOB .. print jobs, and the options in them, side by side
  diff OLD NEW   print what two versions of a job say differently, and what follows
  merge BASE MINE THEIRS
                 make one job of two versions, or print what has to be decided first
  handover JOB   print how a job stands, or write the whole of it for a colleague
  offcuts        list, add, take and return the off-cuts you keep for later jobs
  curve FILE     print a diffuser for your catalogue, from a file of photometry

JOB .. is one job file or many, and for all but "compare" also folders of them.
"pelmet COMMAND --help" tells more. A job file that is named like a command is
opened with a folder in front: "pelmet ./check".

exit codes: 0 done, 1 "check" found something at stop, "papers" held one up,
"diff" told a difference or "merge" a conflict, 2 wrong usage or a file that
cannot be read or written, 3 Pelmet itself failed: it says what to send
"""

JOBS: Final = (
    "Several jobs, which a folder stands for too, are told in the order named, each under its "
    "file, and worked on by all cores. One that is refused stops no other; the exit code is the "
    "worst of all. Of a folder all files are taken, by name, that end in .toml, but hidden ones, "
    "folders in it, and catalogue.toml, prices.toml and offcuts.toml."
)


def wizard_parser() -> argparse.ArgumentParser:
    """Give the parser of the wizard itself: a job, or nothing."""
    parser = argparse.ArgumentParser(
        prog="pelmet",
        usage="pelmet [--catalogue FILE] [JOB]\n       pelmet COMMAND ...",
        description="Plan low-voltage LED strip under cabinets. Opens the wizard, on JOB if given.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    parser.add_argument("job", metavar="JOB", nargs="?", help="job file to open")
    parser.add_argument("--version", action="store_true", help="print the version and end")
    _add_catalogue(parser)
    return parser


def job_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of a command on jobs that can print JSON."""
    parser = _parser_of_jobs(command)
    parser.add_argument(
        "--json",
        action="store_true",
        help="print JSON with stable keys; of several jobs a line each, with its file",
    )
    _add_catalogue(parser)
    if command == "check":  # it says what your prices, where you keep some, make it find
        parser.set_defaults(prices=None)
    return parser


def example_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``example``."""
    parser = _parser(command)
    parser.add_argument(
        "name",
        metavar="NAME",
        nargs="?",
        default=FIRST_EXAMPLE,
        help=f'which example; "{FIRST_EXAMPLE}" if none is named',
    )
    parser.add_argument("--write", metavar="FILE", help="write it to a new file instead")
    _add_catalogue(parser)
    return parser


def schema_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``schema``."""
    return _parser(command)


def curve_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``curve``."""
    parser = _parser(command)
    parser.add_argument("file", metavar="FILE", help="file of photometry to read")
    parser.add_argument(
        "--room-side",
        metavar="C",
        type=int,
        choices=(0, 90, 180, 270),
        help="half-plane of the file that is turned to the room: 0, 90, 180 or 270 degrees; the "
        "line lies square to it; else 90 for LM-63 and 0 for EULUMDAT",
    )
    parser.add_argument(
        "--length",
        metavar="MM",
        type=float,
        help="lit length of the piece that was measured; else that of the file",
    )
    return parser


def papers_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``papers``."""
    from pelmet.tui.command.papers import add_papers

    parser = _parser_of_jobs(command)
    add_papers(parser)
    _add_catalogue(parser)
    _add_prices(parser)
    return parser


def compare_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``compare``."""
    parser = _parser(command)
    parser.add_argument("jobs", metavar="JOB", nargs="+", help="job files to read")
    _add_catalogue(parser)
    _add_prices(parser)
    return parser


def diff_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``diff``."""
    parser = _parser(command)
    parser.add_argument("old", metavar="OLD", help="a job file as it was")
    parser.add_argument("new", metavar="NEW", help="the job file as it is now")
    parser.add_argument("--json", action="store_true", help="print data instead of text")
    _add_catalogue(parser)
    _add_prices(parser)
    return parser


def merge_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``merge``."""
    parser = _parser(command)
    parser.add_argument("base", metavar="BASE", help="the job file that both come from")
    parser.add_argument("mine", metavar="MINE", help="one version of it")
    parser.add_argument("theirs", metavar="THEIRS", help="the other version")
    parser.add_argument(
        "--write", metavar="FILE", help="write the one job there: to MINE, or to a new file"
    )
    return parser


def handover_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``handover``."""
    parser = _parser(command)
    parser.add_argument("job", metavar="JOB", help="job file to read")
    parser.add_argument(
        "--write",
        metavar="FILE",
        help="write the whole job to a new file, with the parts of "
        "your own catalogue that it rests on",
    )
    _add_catalogue(parser)
    _add_prices(parser)
    return parser


def offcuts_parser(command: str) -> argparse.ArgumentParser:
    """Give the parser of ``offcuts``."""
    from pelmet.tui.command.offcuts import add_offcuts

    parser = _parser(command)
    keeping = add_offcuts(parser)
    _add_catalogue(keeping)
    _add_prices(keeping)
    return parser


def file_named(name: str) -> Path:
    """Give the path of a file that is named on the command line; raises ``Refusal``."""
    if name == "-":
        raise Refusal('"-" is not a file', remedy="save the job to a file and name it")
    return Path(name)


def _parser(command: str) -> argparse.ArgumentParser:
    return argparse.ArgumentParser(
        prog=f"pelmet {command}", description=DESCRIPTIONS[command], allow_abbrev=False
    )


def _parser_of_jobs(command: str) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog=f"pelmet {command}",
        description=DESCRIPTIONS[command],
        epilog=JOBS,
        allow_abbrev=False,
    )
    parser.add_argument("jobs", metavar="JOB", nargs="+", help="job files, or folders of them")
    parser.set_defaults(command=command)
    return parser


def _add_prices(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--prices",
        metavar="FILE",
        help="your own price book; else the file that PELMET_PRICES names, else prices.toml "
        "in your settings folder",
    )


def _add_catalogue(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--catalogue",
        metavar="FILE",
        help="your own parts; else the file that PELMET_CATALOGUE names, else catalogue.toml "
        "in your settings folder",
    )


DESCRIPTIONS: Final = {
    "check": "List what the checks find: stop (unsafe or cannot work), warn (will disappoint), "
    "ask (a person must decide). Of several jobs, count them, a line each. Exit code 1 if there is "
    "anything at stop.",
    "show": "Print the plan, the bars, the power budget, the materials, the findings, and what "
    "is assumed.",
    "figures": "Print every figure with its formula.",
    "example": "Open an invented example job in the wizard, or write it to a new file.",
    "schema": "Print the JSON Schema of the job file, for editors that check it as you type.",
    "papers": "Write the papers of a job into a folder, each as the formats asked for. Nothing "
    "is written over unless --replace says so; a cut list waits until the job is released.",
    "diff": "Print what two versions of a job say differently, and what follows from it.",
    "merge": "Make one job of two versions, or print what has to be decided first.",
    "handover": "Print how a job stands: how far each run is, what supplies have left, what is "
    "open and who owes it. With --write, write the whole job for a colleague who has not your own "
    "parts; prices are not in it.",
    "compare": "Print jobs side by side, each with the options in it: light, watts, price, time.",
    "offcuts": "List the free pieces of your store of off-cuts, or change it. No piece is ever "
    "taken by two jobs; a job is known by its reference.",
    "curve": "Read a measured light distribution, an LM-63 (.ies) or EULUMDAT (.ldt) file, and "
    "print a diffuser that spreads light so, for your own catalogue.",
}
