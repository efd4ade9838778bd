"""Note in the job what was done: as the papers list it, to be corrected where it is otherwise.

What a run's new status says is noted with it: pieces when it is cut, holes and bars when it is
mounted, cables and supplies when it is wired. Going back takes what no longer holds off again.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any, Final, NamedTuple

from pelmet.model.edit.change import altered, make_thing, rebuilt
from pelmet.model.edit.ids import fresh_id
from pelmet.model.job.built import STATUSES, Keeping, PanelName, past
from pelmet.model.job.items import Kind, Status
from pelmet.model.job.job import MODELS, TABLES, Job
from pelmet.model.job.piece_names import SPARE, SPOILT, bar_of
from pelmet.model.order.cuts import PartCut, StockPiece, keepable
from pelmet.model.order.cutting.terms import Cut
from pelmet.model.order.folder import Folder
from pelmet.model.order.on_hand import on_hand
from pelmet.model.order.pieces import SAWN
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable

_MICRO: Final = Decimal("0.000001")  # as fine as a file says it
Values = dict[str, Any]


class ToNote(NamedTuple):
    """What is to be noted: things by their kind and their fields, without an id.

    ``rests`` are those that are worth keeping, by part and length [mm].
    """

    rows: tuple[tuple[Kind, Values], ...]
    rests: tuple[tuple[str, Decimal], ...]

    def of(self, kind: Kind) -> tuple[Values, ...]:
        """Give what is to be noted of one kind."""
        return tuple(values for each, values in self.rows if each == kind)


def to_note(
    folder: Folder, runs: Collection[str], status: Status, rests: Keeping = "kept"
) -> ToNote:
    """Give what there is to note when some runs have come so far: as listed, and not noted yet.

    ``rests`` says what becomes of the rests that are worth keeping; one that pieces of other runs
    are to come out of is kept.
    """
    rows: list[tuple[Kind, Values]] = []
    plan, far = folder.plan, STATUSES.index(status)
    if far >= STATUSES.index("cut"):
        rows += _cuts(folder, _of_bars(folder, runs), rests)
    cables = tuple(_cables(plan, runs))
    if far >= STATUSES.index("mounted"):
        rows += _hung(plan, runs)
        rows += _drilled(plan, {cable.id for cable in cables})
    if far >= STATUSES.index("wired"):
        names = {cable.id for cable in cables}
        pieces = {
            (each.part, each.name)
            for each in folder.pieces
            if each.kind == "cable" and each.name in names
        }
        rows += _cuts(folder, pieces, rests)
        rows += _laid(plan, cables)
        rows += _fitted(plan, {cable.leg for cable in cables if cable.leg})
    whole = {name for part in folder.cuts for name in _whole(part, rows)}
    least = {part.part: keepable(part.kind, plan.job.allowances) for part in folder.cuts}
    worth = (
        (values["part"], values["rest"])
        for kind, values in rows
        if kind == "cut"
        and values["rest"] >= least[values["part"]]
        and (values["part"], values["pieces"]) in whole
    )
    return ToNote(tuple(rows), tuple(worth))


def _whole(
    part: PartCut, rows: Iterable[tuple[Kind, Values]]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give the pieces of those cuts of a part out of which nothing else is to come."""
    cuts = {frozenset(cut.pieces) for _, cut in part.cuts}
    for kind, values in rows:
        if kind == "cut" and values["part"] == part.part and frozenset(values["pieces"]) in cuts:
            yield part.part, values["pieces"]


def note_built(
    folder: Folder,
    runs: Collection[str],
    status: Status,
    *,
    day: str = "",
    by: str = "",
    rests: Keeping = "kept",
) -> Job:
    """Note that some runs have come so far, with all that is done by it and is not noted yet.

    ``rests`` says what becomes of the rests that are worth keeping. Stock that is cut and that no
    order is noted of is noted as ordered: else an order sent later would seem to be that.
    """
    rows = [*to_note(folder, runs, status, rests).rows]
    rows += _got(folder, [values for kind, values in rows if kind == "cut"])
    job = folder.plan.job
    moved = [run for run in job.runs if run.id in runs and not past(run, status)]
    rows += (("diary", {"run": run.id, "status": status}) for run in moved)
    names = {run.id for run in moved}
    job = rebuilt(
        job,
        runs=tuple(
            altered(run, {"status": status}) if run.id in names else run for run in job.runs
        ),
    )
    return _with_rows(job, rows, day, by)


def take_back(
    job: Job, run_id: str, status: Status, why: str, *, day: str = "", by: str = ""
) -> Job:
    """Let a run go back to a status before: what holds no more of it is taken off.

    A hole stays drilled, a supply fitted, and a cable that another one goes on from in its place;
    what was cut and goes back to before that is spoilt, and so is a cable that is taken out.
    """
    tables: dict[str, Any] = {
        "runs": tuple(
            altered(run, {"status": status}) if run.id == run_id else run for run in job.runs
        )
    }
    far = STATUSES.index(status)
    spoilt: set[str] = set()
    if far < STATUSES.index("wired"):
        stay = _gone_on_from(job, run_id)
        spoilt = {each.cable for each in job.laid if each.run == run_id} - stay
        tables["laid"] = tuple(each for each in job.laid if each.cable not in spoilt)
    if far < STATUSES.index("mounted"):
        tables["hung"] = tuple(each for each in job.hung if each.run != run_id)
    if far < STATUSES.index("cut"):
        pieces = {name for cut in job.cuts for name in cut.pieces}
        spoilt |= {name for name in pieces if bar_of(name)[0] == run_id}
    if spoilt:
        tables["cuts"] = tuple(
            altered(cut, {"pieces": tuple(SPOILT if name in spoilt else name
                                          for name in cut.pieces)})
            for cut in job.cuts
        )  # fmt: skip
    entry = {"run": run_id, "status": status, "why": why}
    return _with_rows(rebuilt(job, **tables), [("diary", entry)], day, by)


def _gone_on_from(job: Job, run_id: str) -> set[str]:
    """Give the laid cables that lead on to others than a run's."""
    before = {each.cable: each.before for each in job.laid}
    found: set[str] = set()
    for each in job.laid:
        name = each.before if each.run != run_id else ""
        while name and name not in found:
            found.add(name)
            name = before.get(name, "")
    return found


def _with_rows(job: Job, rows: Iterable[tuple[Kind, Values]], day: str, by: str) -> Job:
    """Add things to a job, each with its day and who did it."""
    added: dict[Kind, list[Any]] = {}
    for kind, values in rows:
        own = added.setdefault(kind, [])
        name = fresh_id(job, kind)
        digits = len(name) - len(name.rstrip("0123456789"))
        number = int(name[-digits:]) + len(own)
        named = {**values, "id": f"{name[:-digits]}{number}", "day": day, "by": by}
        own.append(make_thing(MODELS[kind], named))
    return rebuilt(job, **{TABLES[kind]: (*job.table(kind), *own) for kind, own in added.items()})


# What is cut


_Pieces = Collection[tuple[str, str]]  # by part and name


def _of_bars(folder: Folder, runs: Collection[str]) -> set[tuple[str, str]]:
    """Give the pieces of some runs' bars; the spare piece of a strip is cut with its first."""
    own = {
        (each.part, each.name)
        for each in folder.pieces
        if each.run in runs and each.kind != "cable"
    }
    return own | {(part, SPARE) for part, _ in own}


def _cuts(folder: Folder, pieces: _Pieces, rests: Keeping) -> Iterator[tuple[Kind, Values]]:
    for part in folder.cuts:
        for stock, cut in part.cuts:
            own = [name for name in cut.pieces if (part.part, name) in pieces]
            if own:
                yield "cut", _cut(folder, part, (stock, cut), own, rests)


def _cut(
    folder: Folder,
    part: PartCut,
    stock_cut: tuple[StockPiece, Cut],
    names: Collection[str],
    rests: Keeping,
) -> Values:
    stock, cut = stock_cut
    job = folder.plan.job
    sawn = part.kind in SAWN
    kerf = job.allowances.saw_kerf if sawn else Decimal(0)
    new = stock.source in ("bought", "ordered")
    trims = 2 * job.allowances.bar_trim if sawn and new else Decimal(0)
    pieces = {piece.name: piece for piece in part.pieces}
    gone = sum((pieces[name].length + pieces[name].saw + kerf for name in names), trims)
    gone += sum((part.before[name] for name in names if name in part.before), Decimal(0))
    rest = max(stock.length - gone, Decimal(0))
    others = len(names) < len(cut.pieces)
    worth = rest >= keepable(part.kind, job.allowances)
    batches = {run.batch for run in job.runs if run.id in {pieces[name].run for name in names}}
    source = {"off-cut": "offcut", "rest": "rest_of"}.get(stock.source)
    return {
        "part": part.part,
        "stock": stock.length,
        **({source: stock.name} if source else {}),
        "pieces": tuple(names),
        "lengths": tuple(_said(pieces[name].length) for name in names),
        "rest": _said(rest),
        "kept": "kept" if others else rests if worth else "scrap",
        "batch": batches.pop() if part.kind == "strip" and len(batches) == 1 else "",
    }


def _got(folder: Folder, cut: Collection[Values]) -> Iterator[tuple[Kind, Values]]:
    """Give the stock that is cut and no order is noted of: it was got all the same."""
    whole = Counter(
        (each["part"], each["stock"]) for each in cut if not {"offcut", "rest_of"} & each.keys()
    )
    for (part, length), count in whole.items():
        there = dict(on_hand(folder.plan.job, part).ordered).get(length, 0)
        if count > there:
            amount = Decimal(count - there)
            yield "ordered", {"part": part, "length": length, "amount": amount}


def _said(value: Decimal | float) -> Decimal:
    return Decimal(str(value)).quantize(_MICRO).normalize() + 0


# What is in its place


def _hung(plan: Plan, runs: Collection[str]) -> Iterator[tuple[Kind, Values]]:
    hanging = {(each.run, each.bar) for each in plan.job.hung}
    for fit in plan.fits:
        for bar in fit.bars:
            number = bar_of(bar.id)[1]
            if fit.run.id in runs and (fit.run.id, number) not in hanging:
                yield (
                    "hung",
                    {
                        "run": fit.run.id,
                        "bar": number,
                        "wall": bar.wall,
                        "at": _said(max(bar.left, Decimal(0))),
                        "length": _said(Decimal(bar.length.value)),
                        "lit": _said(Decimal(bar.lit.value)),
                        "line": fit.run.line,
                        "facing": fit.run.facing,
                        "feed_end": fit.run.feed_end,
                        "dark_rest": fit.run.dark_rest,
                        "corner": fit.run.corner,
                        "fixing": fit.run.fixing,
                    },
                )


def _cables(plan: Plan, runs: Collection[str]) -> Iterator[Cable]:
    """Give the cables that come to some runs from their supplies on, and link their bars."""
    leads = {cable.id: cable for cable in plan.routes.leads}
    wanted: dict[str, None] = {}
    for cable in plan.routes.leads:
        if cable.run in runs:
            at: Cable | None = cable
            while at and at.id not in wanted:
                wanted[at.id] = None
                at = leads.get(at.before or "")
    yield from (cable for cable in plan.routes.leads if cable.id in wanted)
    for link in plan.routes.links:
        if link.run in runs and link.cable:
            yield link.cable


def _drilled(plan: Plan, cables: Collection[str]) -> Iterator[tuple[Kind, Values]]:
    cabinets = {cabinet.id for cabinet in plan.job.cabinets}
    for hole in plan.holes:
        if not hole.there and not set(hole.cables).isdisjoint(cables):
            panel: PanelName = hole.panel
            yield (
                "drilled",
                {
                    "hole": hole.id,
                    "cabinet" if hole.owner in cabinets else "obstacle": hole.owner,
                    "panel": panel,
                    "wall": hole.wall,
                    "at": _said(max(hole.along, 0.0)),
                    "out": _said(max(float(hole.out.value), 0.0)),
                    "height": _said(max(float(hole.height.value), 0.0)),
                    "diameter": _said(Decimal(str(hole.diameter.value))),
                },
            )


def _laid(plan: Plan, cables: Iterable[Cable]) -> Iterator[tuple[Kind, Values]]:
    parts: Mapping[str, str] = {leg.id: leg.cable for leg in plan.job.legs}
    for cable in cables:
        if cable.leg and cable.length and not cable.laid:
            yield (
                "laid",
                {
                    "leg": cable.leg,
                    "run": cable.run,
                    "cable": cable.id,
                    "part": parts[cable.leg],
                    "length": _said(Decimal(str(cable.length.value))),
                    "before": cable.before or "",
                    "side": cable.feed and cable.feed.side,
                    **(_tee(plan, cable) if cable.run is None else {}),
                },
            )


def _tee(plan: Plan, cable: Cable) -> Values:
    """Say where a cable ends that comes to a tee."""
    *_, end = cable.places
    lines = next(room.walls for room in plan.rooms if room.room.id == cable.room)
    met = [line for line in lines if line.before <= end.along]
    line = max(met or lines[:1], key=lambda line: line.before)
    return {
        "wall": line.wall.id,
        "at": _said(max(end.along - line.before, 0.0)),
        "out": _said(max(end.out, 0.0)),
        "height": _said(max(end.height, 0.0)),
    }


def _fitted(plan: Plan, legs: Collection[str]) -> Iterator[tuple[Kind, Values]]:
    there = {each.supply for each in plan.job.fitted}
    supplies = {leg.supply for leg in plan.job.legs if leg.id in legs}
    for supply in plan.job.supplies:
        if supply.id in supplies and supply.id not in there:
            yield (
                "fitted",
                {
                    "supply": supply.id,
                    "part": supply.part,
                    "place": supply.place,
                    "cabinet": supply.cabinet,
                },
            )
