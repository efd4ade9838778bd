"""The mains sheet: what the licensed electrician has to know, provide and settle."""

from collections.abc import Iterator

from pelmet.model.job.job import Job
from pelmet.model.job.rule_tables import colours
from pelmet.model.order.folder import Folder
from pelmet.model.plan.rules import rule_source
from pelmet.model.told.mains_sheet import ASK, DEFAULT, DEFAULTS, LICENSED, mains_rows, place_of
from pelmet.model.told.paper import Blanks, Block, Cautions, Grid, Heading, Points, Words

_HEAD = ("supply", "what", "answer")
_COLOUR_HEAD = ("circuit", "conductor", "colour", "screw", "from")
_ALWAYS = (
    "Isolate, lock off, and prove dead with a tester that is proved before and after.",
    "Keep mains and low voltage apart: no shared box, clamp or hole without a barrier.",
    "Existing wiring that looks odd, without earth or brittle: stop, and settle that first.",
    "Test insulation with supplies and strip disconnected: the test voltage kills them.",
    "This plan is no evidence of compliance: the local code and the authority decide.",
)
_APART = "Never join the outputs of two supplies."
_AIR = "Leave each supply the air that its own sheet asks for, and within reach: {}."
_CLOSED_IN = ("in cabinet", "on top of cabinet", "in plinth", "walled in")


def mains_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell the mains side of every supply, the colours of the region, and what is asked."""
    plan = folder.plan
    job = plan.job
    if not job.supplies:
        return (Words("There is no supply, so there is no mains work."),)
    rows: list[tuple[str, str, str]] = []
    for supply, budget in zip(job.supplies, plan.supplies, strict=True):
        rows.append((supply.id, "part", f"{supply.part}, {place_of(supply, job)}"))
        for label, text in mains_rows(supply, budget, folder.plan):
            rows.append((supply.id, label, "________________" if text == ASK else text))
    return (
        Words(LICENSED),
        Cautions(tuple(_minded(job))),
        Heading("Supplies"),
        Grid(_HEAD, tuple(rows), name="mains", large=frozenset({0})),
        *((Words(DEFAULTS),) if any(DEFAULT in text for *_, text in rows) else ()),
        Heading("Colours of conductors"),
        Grid(_COLOUR_HEAD, tuple(_colours(folder))),
        Heading("To settle"),
        Points(tuple(_questions(folder)) or ("Nothing is asked.",)),
        Heading("Rules put aside or given another limit"),
        Points(tuple(_put_aside(folder)) or ("None.",)),
        Blanks(("Electrician", "Licence or registration no.", "Date", "Certificate no.")),
        *(Blanks((f"Serial number of {supply.id}",)) for supply in job.supplies),
    )


def _minded(job: Job) -> Iterator[str]:
    yield from _ALWAYS
    if len(job.supplies) > 1:
        yield _APART
    shut = [supply.id for supply in job.supplies if supply.place in _CLOSED_IN]
    if shut:
        yield _AIR.format(" ".join(shut))


def _colours(folder: Folder) -> Iterator[tuple[str, ...]]:
    for row in colours(folder.plan.job.site.region):
        yield row.circuit, row.conductor, row.colour, row.screw or "-", rule_source(row).title


def _questions(folder: Folder) -> Iterator[str]:
    """Give what is asked of the licensed person, and what stops on the mains side."""
    for finding in folder.plan.findings:
        asked = finding.level == "ask" and finding.kind in ("supply", "leg", "zone")
        if asked or (finding.level == "stop" and finding.kind in ("supply", "zone")):
            yield f"{finding.says} ({finding.remedy})"


def _put_aside(folder: Folder) -> Iterator[str]:
    for each in folder.plan.job.overrides:
        limit = "put aside" if each.limit is None else f"limit {each.limit:f}"
        yield f"{each.rule}: {limit}, for {each.reason}{f' ({each.by})' if each.by else ''}"
