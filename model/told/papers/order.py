"""The order list: what the supplier sends, and what was ordered before."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from pelmet.model.job.job import Site
from pelmet.model.job.money import minor_unit, money_text, rounded
from pelmet.model.job.paperwork import Ordered
from pelmet.model.measure.decimals import plain
from pelmet.model.order.folder import Folder
from pelmet.model.order.lines import OrderLine
from pelmet.model.told.blocks.two_kinds import Telling
from pelmet.model.told.cautions import GENERIC
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Cautions, Grid, Heading, Points, Words, points
from pelmet.model.told.reminders import generic_parts
from pelmet.model.told.words import signed_words

_BEFORE_HEAD = ("part", "length", "needed", "ordered before", "ordered now", "over")
_OWN_HEAD = ("off-cut", "part", "length", "batch", "cut into")


def order_paper(folder: Folder, telling: Telling = "apart") -> tuple[Block, ...]:
    """Tell what is ordered now; apart from it, what was, what is owned, and what is over."""
    plan = folder.plan
    if not folder.lines:
        return (Words("There is nothing to order yet."), *_own(folder))
    now = [line for line in folder.lines if line.packs]
    needed = plan.job.site.needed_by or "________________"
    blocks: list[Block] = [Words(f"Needed by: {needed}. Prices before tax.")]
    ordered = {line.part for line in now}
    generic = [part for part in generic_parts(plan) if part in ordered]
    if generic:
        blocks.append(Cautions((GENERIC.of(generic, folder.plan.job.site),)))
    blocks += _now(now, folder) if now else [Words("Nothing more is to be ordered.")]
    notes = tuple(_notes(folder, now))
    if notes:
        blocks += [Heading("To the supplier"), Points(notes)]
    before = tuple(_before(line, plan.job.site) for line in folder.lines if line.before)
    if before and telling != "to do":
        blocks += [
            Heading("Ordered before"),
            Grid(
                _BEFORE_HEAD,
                before,
                frozenset({1, 2, 3, 4, 5}),
                name="order-before",
                large=frozenset({0}),
            ),
            *points(_sent(plan.job.ordered)),
        ]
    return (*blocks, *_own(folder))


def _now(now: Sequence[OrderLine], folder: Folder) -> Iterator[Block]:
    """Give what is ordered, with the supplier's own numbers where any is known."""
    currency, unit = folder.prices.currency, folder.plan.job.site.length_unit
    coded = any(line.code for line in now)
    head = (
        "part", *(("code",) if coded else ()), "name", f"length [{unit}]", "packs", "amount",
        f"each [{currency}]", f"cost [{currency}]", "equal?",
    )  # fmt: skip
    numbers = frozenset(head.index(each) for each in head[2:-1] if each != "name")
    rows = tuple(_row(line, folder, coded=coded) for line in now)
    yield Grid(head, rows, numbers, name="order", large=frozenset({0}))
    costs = [_cost(line, folder) for line in now]
    total = sum((each for each in costs if each is not None), Decimal(0))
    short = ", without what is still to be quoted" if None in costs else ""
    yield Words(f"In all {money_text(total, currency)}, before tax{short}.")


def _cost(line: OrderLine, folder: Folder) -> Decimal | None:
    """Give what a line costs as it is printed, so that what is printed adds up."""
    return None if line.cost is None else rounded(line.cost, minor_unit(folder.prices.currency))


def _row(line: OrderLine, folder: Folder, *, coded: bool) -> tuple[str, ...]:
    cost = _cost(line, folder)
    return (
        line.part,
        *((line.code or "-",) if coded else ()),
        line.name,
        _length(line.length, folder.plan.job.site),
        f"{line.packs} x {plain(line.pack)}",
        f"{plain(line.amount)}{_metre(line)}",
        "ask" if line.each is None else plain(line.each),
        "ask" if cost is None else f"{cost}",
        "yes" if line.alternates else "NO",
    )


def _metre(line: OrderLine) -> str:
    return " m" if line.unit == "metre" else ""


def _length(value: Decimal | None, site: Site) -> str:
    if value is None:
        return "-"
    return length_text(value, site, bare=True)


def _before(line: OrderLine, site: Site) -> tuple[str, ...]:
    counts = (line.needed, line.before, line.amount, line.over)
    return line.part, _length(line.length, site), *(plain(each) + _metre(line) for each in counts)


def _sent(ordered: Iterable[Ordered]) -> Iterator[str]:
    """Say when and by whom orders were sent, where that was noted."""
    for day, by in dict.fromkeys((each.day, each.by) for each in ordered):
        if day or by:
            yield f"Sent {signed_words(day, by)}."


def _own(folder: Folder) -> tuple[Block, ...]:
    """Give the off-cuts drawn for the job, and what is cut from each."""
    job = folder.plan.job
    into = {
        piece.name: " ".join(cut.pieces)
        for part in folder.cuts
        for piece, cut in part.cuts
        if piece.source == "off-cut"
    }
    rows = tuple(
        (
            each.piece,
            each.part,
            _length(each.length, job.site),
            each.batch or "-",
            into.get(each.id, "nothing"),
        )
        for each in job.offcuts
    )
    if not rows:
        return ()
    grid = Grid(_OWN_HEAD, rows, frozenset({2}), name="order-off-cuts", large=frozenset({0}))
    return Heading("From our own off-cuts"), grid


def _notes(folder: Folder, now: Sequence[OrderLine]) -> Iterator[str]:
    if not now:
        return
    strips = {cut.part for cut in folder.cuts if cut.kind == "strip"}
    lit = dict.fromkeys(line.part for line in now if line.part in strips)
    if lit:
        yield f"Each of {', '.join(lit)}: all reels of one batch."
        had = {run.strip: run.batch for run in folder.plan.job.runs if run.batch}
        yield from (f"{part}: of batch {had[part]}, as before." for part in lit if part in had)
    fixed = dict.fromkeys(line.part for line in now if not line.alternates)
    if fixed:
        yield f"No equal in place of: {', '.join(fixed)}."
    unpriced = dict.fromkeys(line.part for line in now if line.each is None)
    if unpriced:
        yield f"Please quote: {', '.join(unpriced)}."
    days: dict[int, dict[str, None]] = {}
    for line in now:
        if line.lead_days is not None:
            days.setdefault(line.lead_days, {})[line.part] = None
    for count, parts in sorted(days.items(), reverse=True):
        yield f"Delivery in {count} {'day' if count == 1 else 'days'}: {', '.join(parts)}."
    yield "Count and batch are checked on delivery."
