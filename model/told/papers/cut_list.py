"""The cut list: stock piece by stock piece, what the bench cuts from it, in order."""

from collections.abc import Iterator

from pelmet.model.job.built import past
from pelmet.model.job.catalogue import find_part
from pelmet.model.job.money import minor_unit, money_text, rounded
from pelmet.model.job.piece_names import SPARE, bar_of
from pelmet.model.order.cuts import PartCut
from pelmet.model.order.folder import Folder
from pelmet.model.order.on_hand import on_hand
from pelmet.model.order.pieces import KINDS, SAWN, Kind
from pelmet.model.told.blocks.bars import mitre_words
from pelmet.model.told.blocks.tails import tail_blocks
from pelmet.model.told.blocks.two_kinds import Telling, as_built, to_do
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Grid, Heading, Points, Words, points
from pelmet.model.told.papers.cut_already import cut_blocks
from pelmet.model.told.papers.cut_rows import (
    CUT_OFF,
    HALF_MM,
    Bench,
    bench_of,
    loose_rows,
    piece_length,
    printed_down,
    stock_rows,
)


def cut_list_paper(folder: Folder, telling: Telling = "apart") -> tuple[Block, ...]:
    """Tell the bench what to cut from which stock piece, then what was cut from which.

    As one there is only what is to be cut: pieces that are cut have no stock any more.
    """
    built = tuple(cut_blocks(folder))
    if not folder.pieces and not built:
        return (Words("There is nothing to cut."),)
    if telling == "as one" or not built:
        return tuple(_to_cut(folder))
    left = any(not piece.cut for piece in folder.pieces)
    return (
        *to_do(_to_cut(folder) if left else (), "Nothing is left to cut."),
        *(as_built(built) if telling == "apart" else ()),
    )


def _to_cut(folder: Folder) -> Iterator[Block]:
    bench = bench_of(folder)
    yield from _released(folder)
    yield from cautions_on(folder.plan, "cut-list")
    yield from _said_once(bench)
    for kind in KINDS:
        yield from _kind(kind, bench)
    yield from tail_blocks(folder.plan)


def _released(folder: Folder) -> Iterator[Block]:
    release = folder.release
    if not release.reasons:
        yield Words("Released to cutting.")
    elif release.given:
        yield Words(f"Released to cutting anyway: {release.anyway}")
        yield Words("This stands all the same:")
        yield Points(release.reasons)
    else:
        yield Words("Not released: do not cut yet. In the way stands:")
        yield Points(release.reasons)
    noted = {piece.run for piece in folder.pieces if piece.cut and piece.kind != "cable"}
    runs = [run.id for run in folder.plan.job.runs if past(run, "cut") and run.id not in noted]
    if runs:
        yield Words(
            f"{' '.join(runs)}: cut, as the status says, and nothing of it is noted; so all of it "
            "is in this list. Note what is cut before you cut by it."
        )


def _said_once(bench: Bench) -> Iterator[Block]:
    allowances, site = bench.job.allowances, bench.job.site
    kerf, trim, half = (
        length_text(each, site) for each in (allowances.saw_kerf, allowances.bar_trim, HALF_MM)
    )
    if any(cut.kind in SAWN for cut in bench.folder.cuts):
        yield Words(
            f"Each cut takes a kerf of {kerf}. A new bar is first trimmed by {trim} at each end; "
            "an off-cut is trimmed already."
        )
    if site.length_unit == "in":
        fraction = f"1/{site.inch_parts} in"
        yield Words(
            f"Lengths are to {fraction}, rounded down, those of cables up; ~ to the nearest."
        )
    else:
        yield Words(f"Lengths are to {half}, rounded down.")


def _kind(kind: Kind, bench: Bench) -> Iterator[Block]:
    cuts = [cut for cut in bench.folder.cuts if cut.kind == kind]
    rows = (*stock_rows(kind, cuts, bench), *loose_rows(kind, cuts, bench))
    if not rows:
        return
    yield Heading(kind.capitalize())
    unit = f"[{bench.job.site.length_unit}]"
    own, numbers = {
        "strip": (("units", f"reel at {unit}", f"to {unit}", "wires soldered"), {2, 4, 5, 6}),
        "cable": ((), {2}),
    }.get(kind, (("left end", "right end"), {2}))
    name = "cut-list" if kind == "channel" else f"cut-list-{kind}"
    head = ("stock", "cut", f"length {unit}", "assumed", *own, "from")
    yield Grid(head, rows, frozenset(numbers), name, frozenset({0, 1}))
    yield from points(
        (*_notes(kind, bench), *(said for cut in cuts for said in _proof(cut, bench)))
    )


def _notes(kind: Kind, bench: Bench) -> Iterator[str]:
    plan = bench.folder.plan
    left = [each for each in bench.folder.pieces if each.kind == kind and not each.cut]
    bars = {bar_of(piece.name) for piece in left}
    mitred = [one for one in plan.bench if one.bar.points and bar_of(one.bar.id) in bars]
    if kind == "channel" and mitred:
        yield from (mitre_words(one, bench.job.site) for one in mitred)
        yield "Of a mitred bar the length here is that of its longer edge."
    elif kind == "diffuser" and mitred:
        names = " ".join(one.bar.id for one in mitred)
        yield f"{names}: mitred like its channel; its length here is that of its longer edge."
    elif kind == "strip":
        own = [one for one in plan.bench if bar_of(one.bar.id) in bars]
        yield (
            "Reel at, to: measured on the reel, the off-cut or the rest from its outer end, before "
            f"anything is cut off it. What is {CUT_OFF} is set aside, so that the next piece comes "
            "to lie well between the maker's joints."
        )
        yield from _joints(bench)
        joined = {strip.id for strip in plan.parts.strips if strip.factory_joint_every}
        strips = {fit.run.id: fit.run.strip for fit in plan.fits}
        poor = [one.bar.id for one in own if not one.reel and strips[one.bar.run] in joined]
        if poor:
            yield f"{' '.join(poor)}: look where the maker's joints are, and cut round them."
        if any(piece.name == SPARE for piece in left):
            yield f"The piece called {SPARE} stays with the client."


def _joints(bench: Bench) -> Iterator[str]:
    """Say where the maker's joints are on what strip is cut off."""
    job, parts, told = bench.job, bench.folder.plan.parts, False
    for cut in bench.folder.cuts:
        strip = find_part(parts.strips, cut.part) if cut.kind == "strip" else None
        if strip is None or strip.factory_joint_every is None:
            continue
        every = strip.factory_joint_every
        yield (
            f"{strip.id}: the maker joined it every {length_text(every, job.site)}; on a new reel "
            f"at {bench.length(every)}, {bench.length(2 * every)} and so on."
        )
        told = True
        begins = dict(on_hand(job, cut.part).begins)
        for stock in cut.stock:
            if stock.source == "rest" and stock.name in begins:
                first = every - begins[stock.name] % every
                yield (
                    f"{stock.name}, the rest of {bench.length(stock.length)}: its first joint is "
                    f"at {bench.length(first)}."
                )
            elif stock.source in ("rest", "off-cut"):
                yield (
                    f"{stock.name}: look where the maker's joints are, and cut round them; they "
                    "are not noted."
                )
    if told:
        yield (
            "Look before the first cut: if the first joint of a new reel is elsewhere, cut the "
            "reel there and measure from there."
        )


def _proof(part: PartCut, bench: Bench) -> Iterator[str]:
    """Say what is proven of a part's cutting, and what no stock piece takes."""
    cutting, currency = part.cutting, bench.folder.prices.currency
    if part.priced:
        cost, bound = (
            money_text(rounded(each, minor_unit(currency)), currency)
            for each in (cutting.cost, cutting.bound)
        )
    else:
        cost, bound = (printed_down(each, bench.job.site) for each in (cutting.cost, cutting.bound))
    gap = f"{100 * cutting.gap:.1f} %"
    yield f"{part.part}: {part.proof}. Cost {cost}, bound {bound}, gap {gap}."
    cable = find_part(bench.folder.plan.parts.cables, part.part)
    if part.kind == "cable" and not (cable and cable.reels):
        return
    for want in cutting.unmet:
        length = piece_length(part.kind, want.length, bench.job.site)
        yield f"{want.name}, {length} of {part.part}, is not in this list: no stock takes it."
