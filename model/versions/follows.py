"""What follows from what two versions of a job say differently: what each tells, side by side.

Only what is told otherwise counts: values are compared as people read them.
"""

from collections.abc import Iterator, Mapping
from itertools import chain
from typing import Final, Literal, NamedTuple

from pelmet.model.job.job import Site
from pelmet.model.job.paperwork import PaperName
from pelmet.model.measure.decimals import plain
from pelmet.model.order.folder import Folder
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.light.planes import name_of
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.told.figures import bare, length_text, printed
from pelmet.model.told.papers.sheets import void_papers

Group = Literal["bars", "power", "light", "holes", "order", "price"]


class Consequence(NamedTuple):
    """One thing told otherwise: of what, which value, and how it read; empty where it is not told.

    Lengths are in the unit of the new version.
    """

    group: Group
    about: str
    says: str
    before: str
    after: str


class Follows(NamedTuple):
    """All that follows: values, findings that came and that went, papers that became void."""

    values: tuple[Consequence, ...]
    came: tuple[Finding, ...]
    went: tuple[Finding, ...]
    void: tuple[PaperName, ...]


_Told = Mapping[tuple[Group, str, str], str]


def what_follows(old: Folder, new: Folder) -> Follows:
    """Give what two versions tell otherwise, in the order of the new one's plan and order."""
    site = new.plan.job.site
    before, after = _told(old, site), _told(new, site)
    values = tuple(
        Consequence(*key, before.get(key, ""), after.get(key, ""))
        for key in dict.fromkeys(chain(after, before))
        if before.get(key) != after.get(key)
    )
    old_found, new_found = old.plan.findings, new.plan.findings
    held = void_papers(old)
    return Follows(
        tuple(sorted(values, key=lambda each: _GROUPS.index(each.group))),
        tuple(each for each in new_found if each not in old_found),
        tuple(each for each in old_found if each not in new_found),
        tuple(name for name in void_papers(new) if name not in held),
    )


_GROUPS: Final[tuple[Group, ...]] = ("bars", "power", "light", "holes", "order", "price")


def _told(folder: Folder, site: Site) -> _Told:
    told = {key: printed(figure, site) for key, figure in _figures(folder)}
    for hole in folder.plan.holes:
        key: tuple[Group, str, str] = ("holes", hole.owner, _hole(hole, site))
        told[key] = str(int(told.get(key, 0)) + 1)
    for line in folder.lines:
        length = f", {length_text(line.length, site)}" if line.length is not None else ""
        unit = "" if line.unit == "piece" else f" {line.unit}"
        told["order", line.part, f"{line.name}{length}"] = f"{plain(line.needed)}{unit}"
    currency = folder.quote.currency
    told["price", "", "total"] = f"{folder.quote.total:.2f} {currency}"
    hours = sum(work.hours for work in folder.work)
    told["price", "", "hours, all people together"] = f"{hours:.1f}"
    return told


def _figures(folder: Folder) -> Iterator[tuple[tuple[Group, str, str], Figure]]:
    plan = folder.plan
    for bar in plan.bars:
        yield ("bars", bar.id, "length"), bar.length
        yield ("bars", bar.id, "lit"), bar.lit
    yield ("power", "", "all bars"), plan.circuits.total
    for supply in plan.supplies:
        yield ("power", supply.supply, "load"), supply.load
    for leg in plan.circuits.legs:
        if leg.worst and leg.drop:
            yield ("power", leg.leg.id, "lowest"), leg.worst
            yield ("power", leg.leg.id, "down"), leg.drop
    known: dict[str, int] = {}
    for light in plan.lights:
        about = f"{light.run}, wall {light.wall}"
        if light.plane.use != "worktop":
            about += f", {name_of(light.plane, plan.job.site.words)}"
        known[about] = known.get(about, 0) + 1
        if known[about] > 1:
            about += f", {known[about]}"
        yield ("light", about, "average"), light.average
        yield ("light", about, "least"), light.least


def _hole(hole: Hole, site: Site) -> str:
    """Say where a hole is, and how wide: what a drill is set by."""
    across, out = bare(hole.across, site), bare(hole.out, site)
    wide = printed(hole.diameter, site)
    return f"{hole.panel}, {across} from {hole.datum}, {out} from the wall, {wide} wide"
