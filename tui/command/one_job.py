"""What ``check``, ``show``, ``figures`` and ``papers`` tell of one job, alone or among several."""

import argparse
import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.codes import DONE, FAILED, REFUSED, STOPPED
from pelmet.tui.command.parsers import file_named
from pelmet.tui.starting import end_start

if TYPE_CHECKING:
    from pelmet.model.job.catalogue import Catalogue
    from pelmet.model.job.prices import PriceBook
    from pelmet.model.plan.result import Plan


class Asked(NamedTuple):
    """A job by its file, the folder that its papers go into, how many of them are set at once."""

    job: str
    out: Path
    at_once: int | None = None  # as many as there is room for


class Own(NamedTuple):
    """The user's own parts and prices as read, as far as a command needs them."""

    parts: "Catalogue | None" = None
    prices: "PriceBook | None" = None


class Output(NamedTuple):
    """What one job comes to: an exit code, data for standard output, words for people."""

    code: int
    data: str
    says: tuple[str, ...] = ()


class _Told(NamedTuple):
    code: int
    content: str | dict[str, Any]  # text, or what is to be JSON
    counts: str = ""  # of findings
    says: tuple[str, ...] = ()


def alone(names: Sequence[str]) -> bool:
    """Tell whether one job is named, and no folder of them."""
    return len(names) == 1 and not is_folder(names[0])


def is_folder(name: str) -> bool:
    """Tell whether a name leads to a folder; no name, which is this one to the system, does not."""
    try:
        return bool(name) and Path(name).is_dir()
    except OSError:  # too long, or closed: whoever reads it will say so
        return False


def tell_alone(given: argparse.Namespace, asked: Asked) -> Output:
    """Tell of the only job there is; raises ``Refusal``."""
    told = _tell(given, asked)
    data = told.content if isinstance(told.content, str) else _json_text(told.content)
    return Output(told.code, data, (told.counts, *told.says) if told.counts else told.says)


def tell_among(given: argparse.Namespace, own: Own, asked: Asked) -> Output:
    """Tell of one of several jobs under the name of its file; a refusal is told like the rest."""
    try:
        told = _tell(given, asked, own)
    except Refusal as refusal:
        return refused_among(given, asked.job, refusal)
    except Exception as error:  # noqa: BLE001 - one job never stops the rest
        from pelmet.tui.failure import refusal_of

        return refused_among(given, asked.job, refusal_of(error))._replace(code=FAILED)
    name = _shown(asked.job)
    if not isinstance(told.content, str):
        data = _json_line({"file": asked.job, **told.content})
    elif told.counts:
        data = f"{name}: {told.counts}\n"
    elif given.command == "papers":
        data = told.content
    else:
        data = f"{name}\n{'=' * len(name)}\n\n{told.content}\n"
    says = list(told.says)
    if given.command == "papers" and asked.out.name != Path(asked.job).stem:
        says.append(f"another job is named so too; the papers of this one are in {asked.out}")
    return Output(told.code, data, tuple(f"{asked.job}: {words}" for words in says))


def refused_among(given: argparse.Namespace, job: str, refusal: Refusal) -> Output:
    """Tell that one of several jobs is refused; where each has its line, this one has it too."""
    says = refusal_text(refusal)
    data = ""
    if "json" in given and given.json:
        data = _json_line({"file": job, "refused": says})
    elif given.command == "check":
        data = f"{_shown(job)}: refused\n"
    return Output(REFUSED, data, (says,))


def own_files(given: argparse.Namespace) -> Own:
    """Read the user's own parts, and prices where the command can be told some: ``Refusal``."""
    from pelmet.tui.places import user_catalogue, user_prices

    parts = user_catalogue() if given.catalogue is None else file_named(given.catalogue)
    prices = None
    if "prices" in given:
        prices = user_prices() if given.prices is None else file_named(given.prices)
    if parts is prices is None:  # and the model need not be loaded
        return Own()
    from pelmet.model.file.job.reading import load_catalogue, load_prices

    return Own(load_catalogue(parts) if parts else None, load_prices(prices) if prices else None)


def plan_named(given: argparse.Namespace, job: str, own: Own | None = None) -> "tuple[Plan, Own]":
    """Read a job, and the user's own files unless they are, and plan it; raises ``Refusal``."""
    from pelmet.model.file.job.reading import load_job
    from pelmet.model.plan.stages import plan_job

    end_start()
    said = load_job(file_named(job))
    own = own_files(given) if own is None else own
    return plan_job(said, own.parts), own


def _tell(given: argparse.Namespace, asked: Asked, own: Own | None = None) -> _Told:
    plan, own = plan_named(given, asked.job, own)
    return _TELLING[given.command](plan, own, given, asked)


def _check(plan: "Plan", own: Own, given: argparse.Namespace, _: Asked) -> _Told:
    from pelmet.model.order.folder import make_folder
    from pelmet.model.told.findings import counts_words, findings_lines
    from pelmet.tui.command.offcuts import at_odds

    plan = make_folder(plan, own.prices).plan  # with what the order finds
    content: str | dict[str, Any] = ""
    if given.json:
        from pelmet.model.told.data.documents import check_data

        content = check_data(plan)
    elif plan.findings:
        content = "".join(f"{line}\n" for line in findings_lines(plan))
    return _Told(
        STOPPED if plan.count("stop") else DONE,
        content,
        counts_words(plan),
        at_odds(plan.job),
    )


def _show(plan: "Plan", own: Own, given: argparse.Namespace, __: Asked) -> _Told:
    from pelmet.model.order.folder import make_folder
    from pelmet.model.told.data.documents import show_data
    from pelmet.model.told.formats.text import ascii_text
    from pelmet.model.told.papers.plan_sheet import sheet_of

    plan = make_folder(plan, own.prices).plan  # with what the order finds
    return _Told(DONE, show_data(plan) if given.json else ascii_text(sheet_of(plan)))


def _figures(plan: "Plan", _: Own, given: argparse.Namespace, __: Asked) -> _Told:
    from pelmet.model.told.data.documents import figures_data
    from pelmet.model.told.figures import figures_text

    return _Told(DONE, figures_data(plan) if given.json else figures_text(plan))


def _papers(plan: "Plan", own: Own, given: argparse.Namespace, asked: Asked) -> _Told:
    from pelmet.model.order.folder import make_folder
    from pelmet.tui.command.papers import write_asked_papers

    folder = make_folder(plan, own.prices)
    files, says, held = write_asked_papers(folder, given, asked.out, asked.at_once)
    data = "".join(f"{_shown(name)}\n" for name in files)
    return _Told(STOPPED if held else DONE, data, says=tuple(says))


def _json_text(document: dict[str, Any]) -> str:
    from pelmet.model.told.data.json_text import json_text

    return json_text(document)


def _json_line(document: dict[str, Any]) -> str:
    return json.dumps(document, ensure_ascii=True, allow_nan=False) + "\n"


def _shown(name: str) -> str:
    return ascii(name)[1:-1]


_TELLING: Final[dict[str, Callable[["Plan", Own, argparse.Namespace, Asked], _Told]]] = {
    "check": _check,
    "show": _show,
    "figures": _figures,
    "papers": _papers,
}
