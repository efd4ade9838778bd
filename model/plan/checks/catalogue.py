"""Check that every part a job names is in the catalogue."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.references import PART_FIELDS, nearest
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import PARTS
from pelmet.model.plan.result import Plan


def part_unknown(plan: Plan) -> Iterator[Finding]:
    """A part is named that no catalogue holds."""
    for kind, field, table in PART_FIELDS:
        things = plan.job.table(kind)
        known = {part.id for part in getattr(plan.parts, table)} if things else set[str]()
        for thing in things:
            name = getattr(thing, field)
            if name is not None and name not in known:
                yield Finding(
                    "stop",
                    "part-unknown",
                    kind,
                    thing.id,
                    field,
                    f'no {field} "{name}" is in the catalogue' + nearest(name, known),
                    "choose one that is, or add the part to your catalogue file",
                    PARTS,
                )


def cap_unknown(plan: Plan) -> Iterator[Finding]:
    """A channel names an end cap that no catalogue holds, so no bar can be fitted in it."""
    known = {cap.id for cap in plan.parts.caps}
    for run in plan.job.runs:
        channel = find_part(plan.parts.channels, run.channel)
        if channel and channel.cap not in known:
            yield Finding(
                "stop",
                "part-unknown",
                "run",
                run.id,
                "channel",
                f'{channel.id} takes the cap "{channel.cap}", which is not in the catalogue'
                + nearest(channel.cap, known),
                "add the cap to your catalogue file, or choose another channel",
                PARTS,
            )


CHECKS = (part_unknown, cap_unknown)
