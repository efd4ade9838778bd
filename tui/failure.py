"""What nobody foresaw: told in words, with a report to send that holds nothing of the job."""

import platform
import traceback
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Final

from pelmet.model.refusal import Refusal

_HOUSE: Final = Path(__file__).parents[1]  # what lies outside is named without its folders


def refusal_of(error: BaseException) -> Refusal:
    """Tell of an error that is a fault of this program: what happened, and what to send to whom.

    The report is kept beside the recovery files. It says where in the program it went wrong and
    not with what: no names, no lengths, no folders.
    """
    return Refusal(
        f"Pelmet itself failed here ({type(error).__name__}): no fault of yours, and the job file "
        "is as it was saved last",
        remedy=f"send {_kept(_report(error))} and, if you may, the job file to whoever gave you "
        "Pelmet",
    )


def _report(error: BaseException) -> str:
    try:
        own = version("pelmet")
    except PackageNotFoundError:
        own = "not installed"
    lines = [f"pelmet {own}", f"python {platform.python_version()}", platform.system(), ""]
    each: BaseException | None = error
    while each:
        lines.append(type(each).__name__)
        lines += (
            f"  {_place(frame.filename)}:{frame.lineno} {frame.name}"
            for frame in traceback.extract_tb(each.__traceback__)
        )
        each = each.__cause__ or each.__context__
    return "\n".join((*lines, ""))


def _place(file: str) -> str:
    path = Path(file)
    return str(path.relative_to(_HOUSE)) if path.is_relative_to(_HOUSE) else path.name


def _kept(report: str) -> str:
    """Keep a report under a name that the same failure has again; else give it as it is."""
    from pelmet.tui.places import recovery_folder

    file = recovery_folder() / f"failure-{sha256(report.encode()).hexdigest()[:8]}.txt"
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(report, "utf-8")
    except OSError:
        return f"this:\n\n{report}\n"
    return str(file)
