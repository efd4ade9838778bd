"""What the order finds: prices that are missing, stock too short, a piece drawn twice."""

from collections import Counter
from collections.abc import Iterator, Sequence

from pelmet.model.job.job import Site
from pelmet.model.order.cuts import PartCut
from pelmet.model.order.lines import OrderLine
from pelmet.model.order.sundries import SundryCount
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import PARTS
from pelmet.model.plan.measures import length_said
from pelmet.model.plan.result import Plan


def check_order(
    plan: Plan, cuts: Sequence[PartCut], lines: Sequence[OrderLine], small: Sequence[SundryCount]
) -> tuple[Finding, ...]:
    """Give every finding about the order, the gravest first."""
    return (
        *_stock_short(cuts, plan.job.site),
        *_drawn_twice(plan),
        *_price_missing(plan, lines),
        *_nothing_serves(plan, small),
        *_needed_no_more(plan, lines),
        *_cutting_open(cuts),
    )


def _stock_short(cuts: Sequence[PartCut], site: Site) -> Iterator[Finding]:
    for cut in cuts:
        run_of = {piece.name: piece.run for piece in cut.pieces}
        for want in cut.cutting.unmet:
            run = run_of.get(want.name, "")
            if not run:
                continue
            yield Finding(
                "stop",
                "stock-short",
                "run",
                run,
                cut.kind if cut.kind != "cable" else "leg",
                f"{want.name} is {length_said(want.length, site)} of {cut.part}, longer than "
                "anything it is sold in, trims counted",
                "choose a part sold in longer lengths, more bars an opening, or allow joints",
                PARTS,
            )


def _drawn_twice(plan: Plan) -> Iterator[Finding]:
    counts = Counter((each.piece, each.part) for each in plan.job.offcuts if each.piece)
    for each in plan.job.offcuts:
        if counts[each.piece, each.part] > 1:
            counts[each.piece, each.part] = 0
            yield Finding(
                "stop",
                "piece-drawn-twice",
                "offcut",
                each.id,
                "note",
                f"the off-cut {each.piece} stands in this job twice",
                "remove one of the two",
            )


def _price_missing(plan: Plan, lines: Sequence[OrderLine]) -> Iterator[Finding]:
    missing = tuple(dict.fromkeys(line.part for line in lines if line.each is None))
    if missing:
        yield Finding(
            "warn",
            "price-missing",
            "run",
            plan.job.runs[0].id if plan.job.runs else "",
            "status",
            f"no price is known of {', '.join(missing)}: the quote leaves it out",
            "put its price into your price book",
            PARTS,
        )


def _nothing_serves(plan: Plan, small: Sequence[SundryCount]) -> Iterator[Finding]:
    for one in small:
        if not one.part and plan.job.runs:
            yield Finding(
                "warn",
                "nothing-serves",
                "run",
                plan.job.runs[0].id,
                "status",
                f"{one.amount:f} of {one.serves} are needed ({one.why}), and no sundry of the "
                "catalogue serves",
                "put one into your catalogue, or buy it apart",
                PARTS,
            )


def _needed_no_more(plan: Plan, lines: Sequence[OrderLine]) -> Iterator[Finding]:
    for line in lines:
        if not line.over:
            continue
        own = next(each.id for each in plan.job.ordered if each.part == line.part)
        yield Finding(
            "ask",
            "ordered-too-much",
            "ordered",
            own,
            "note",
            f"{line.over:f} of {line.part} were ordered and are needed no more",
            "send them back, or keep them for another job",
        )


def _cutting_open(cuts: Sequence[PartCut]) -> Iterator[Finding]:
    for cut in cuts:
        run = next((piece.run for piece in cut.pieces if piece.run), "")
        if not cut.cutting.proven and run:
            yield Finding(
                "ask",
                "cutting-open",
                "run",
                run,
                "status",
                f"{cut.part}: {cut.proof}",
                "take it, or cut rooms apart",
            )
