"""Papers as PDF, set by typst from a template that takes every text as data."""

import json
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from pelmet.model.told.formats.letters import visible
from pelmet.model.told.formats.page import PageSize
from pelmet.model.told.paper import Paper, respelt

_TYPESET = "pelmet.model.told.formats.typeset"


def paper_pdf(papers: Sequence[Paper], page: PageSize = "a4") -> bytes:
    """Set papers in black and white, each from a new page on and numbered from 1.

    The same papers give the same bytes: only the faces inside typst are used, and no date is
    written. Letters that none of them has, such as Chinese ones, show as crossed boxes. Control
    characters show as U+FFFD, tabs as spaces.
    """
    folder = Path(__file__).parent
    data = json.dumps([_paper(respelt(paper, _shown)) for paper in papers], default=sorted)
    done = subprocess.run(  # noqa: S603 (this program itself)
        [sys.executable, "-P", "-m", _TYPESET, folder / "paper.typ", page],
        cwd=folder,  # else the folder one stands in, which may be gone
        input=data.encode(),
        capture_output=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(done.stderr.decode(errors="replace"))
    return done.stdout


def _paper(paper: Paper) -> dict[str, Any]:
    blocks = [{"kind": type(block).__name__, **block._asdict()} for block in paper.blocks]
    return {**paper._asdict(), "blocks": blocks}


def _shown(text: str) -> str:
    return visible(text).replace("\t", " ")
