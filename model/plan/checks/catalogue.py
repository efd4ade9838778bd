"""Check that every part a job names is in the catalogue, and goes on what it is for."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.fits import cap_of, goes_on
from pelmet.model.job.job import Site
from pelmet.model.job.parts import Channel, ForChannel
from pelmet.model.job.references import PART_FIELDS, nearest
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import PARTS
from pelmet.model.plan.measures import length_said, sides_said
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


def does_not_fit(plan: Plan) -> Iterator[Finding]:
    """A cap or a cover is made for another channel than the one it is to go on."""
    said = {run.id: run for run in plan.job.runs}
    for fit in plan.fits:
        run, channel = said[fit.run.id], find_part(plan.parts.channels, fit.run.channel)
        if channel is None or any(bar.hangs for bar in fit.bars):
            continue
        pairs: tuple[tuple[str, ForChannel | None, ForChannel | None], ...] = (
            ("channel", find_part(plan.parts.caps, channel.cap), cap_of(plan.parts, channel)),
            (
                "diffuser",
                find_part(plan.parts.diffusers, run.diffuser),
                find_part(plan.parts.diffusers, fit.run.diffuser),
            ),
        )
        for field, named, taken in pairs:
            if named and not goes_on(named, channel):
                yield _misfit(run.id, field, (named, taken), channel, plan.job.site)


def _misfit(
    run: str,
    field: str,
    parts: tuple[ForChannel, ForChannel | None],
    channel: Channel,
    site: Site,
) -> Finding:
    """Say that a part does not go on a channel, and which is taken in its place, if any is."""
    named, taken = parts
    made_for = " and ".join(
        f"{what} {length_said(size, site)}"
        for what, size in (("a face of", named.for_face), ("a depth of", named.for_depth))
        if size is not None
    )
    own = sides_said((channel.face, channel.depth), site)
    says = f"{named.id} is made for {made_for}; {channel.id} is {own}"
    if taken is None or taken is named:
        return Finding(
            "warn",
            "does-not-fit",
            "run",
            run,
            field,
            f"{says}, and no such part of the catalogue goes on it",
            "choose another channel, or put the part for it into your catalogue file",
            PARTS,
        )
    better = "its cap in your catalogue file" if field == "channel" else "it as the diffuser"
    return Finding(
        "ask",
        "does-not-fit",
        "run",
        run,
        field,
        f"{says}: {taken.id} is taken",
        f"name {better}, or choose another channel",
        PARTS,
    )


CHECKS = (part_unknown, cap_unknown, does_not_fit)
