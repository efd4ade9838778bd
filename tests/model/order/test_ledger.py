"""Whatever is built, added and ordered, in whatever order: the stock adds up in a book of our own.

The book shares nothing with the program's: it knows what was ordered, drawn and cut, line by line
of the job, and holds the next cutting and the next order against that.
"""

from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from random import Random
from typing import get_args

import pytest
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import part, row

from pelmet.model.edit.add import add_item
from pelmet.model.edit.building import note_built, take_back
from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.giving import note_order
from pelmet.model.edit.offcuts import draw_piece
from pelmet.model.examples import read_example
from pelmet.model.job.built import STATUSES
from pelmet.model.job.feeds import Wiring
from pelmet.model.job.items import FeedEnd
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import StoredPiece
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.order.lines import OrderLine
from pelmet.model.order.pieces import SAWN
from pelmet.model.order.price_of import parts_by_id
from pelmet.model.plan.stages import plan_job

NOT_PIECES = {"spare", "spoilt"}
MICRO = Decimal("0.00001")  # [mm] what a file's rounding may add up to


def folder(job: Job) -> Folder:
    return make_folder(plan_job(job))


# The book


class Book:
    """What was ordered, drawn and cut up of each part, as the lines of the job say it."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.bought = Counter[tuple[str, Decimal]]()
        self.used = Counter[tuple[str, Decimal]]()
        self.sources: dict[str, tuple[str, Decimal]] = {
            each.id: (each.part, each.length) for each in job.offcuts
        }
        for each in job.ordered:
            if each.length is not None:
                self.bought[each.part, each.length] += int(each.amount)
        for cut in job.cuts:
            source = cut.offcut or cut.rest_of
            if source is None:
                self.used[cut.part, cut.stock] += 1
            else:
                assert self.sources.pop(source) == (cut.part, cut.stock), "it is there, and once"
            if cut.kept == "kept" and cut.rest:
                self.sources[cut.id] = (cut.part, cut.rest)

    def whole(self, key: tuple[str, Decimal]) -> int:
        """How many lengths lie there uncut."""
        return max(self.bought[key] - self.used[key], 0)


def check(found: Folder) -> None:
    job, book = found.plan.job, Book(found.plan.job)
    sawn = {each.part for each in found.pieces if each.kind in SAWN}
    kerf, trim = job.allowances.saw_kerf, job.allowances.bar_trim
    done = Counter[tuple[str, str]]()
    for cut in job.cuts:
        assert len(cut.pieces) == len(cut.lengths)
        lost = Decimal(0)
        if cut.part in sawn:
            blades = len(cut.pieces) - (not cut.rest)
            lost = blades * kerf + (2 * trim if not (cut.offcut or cut.rest_of) else 0)
        assert sum(cut.lengths, cut.rest) + lost <= cut.stock + MICRO, cut
        done.update((cut.part, name) for name in cut.pieces if name not in NOT_PIECES)
    assert set(done.values()) <= {1}, "no piece is cut twice"

    to_do = Counter[tuple[str, str]]()
    taken = Counter[tuple[str, Decimal]]()
    for own in found.cuts:
        lengths = {each.name: each.length + each.saw for each in own.pieces}
        for stock, cut in own.cuts:
            to_do.update((own.part, name) for name in cut.pieces)
            own_kerf, own_trim = (kerf, trim) if own.kind in SAWN else (0, 0)
            lost = (len(cut.pieces) - (not cut.left)) * own_kerf
            lost += 2 * own_trim if stock.source in ("bought", "ordered") else 0
            assert sum((lengths[name] for name in cut.pieces), cut.left) + lost <= stock.length
            if stock.source == "ordered":
                assert book.whole((own.part, stock.length)), "it lies there"
                book.used[own.part, stock.length] += 1
            elif stock.source == "bought":
                taken[own.part, stock.length] += 1
            else:
                assert book.sources.pop(stock.name) == (own.part, stock.length), "it is there, once"
        to_do.update((own.part, want.name) for want in own.cutting.unmet)
    assert set(to_do.values()) <= {1}
    assert not to_do.keys() & done.keys(), "what is cut is not cut again"
    cut_stock = {own.part for own in found.cuts}
    wanted = {(each.part, each.name) for each in found.pieces if each.part in cut_stock}
    assert {each for each in wanted - done.keys() if each[1] != "spare"} == {
        each for each in to_do if each[1] != "spare" and not _laid(found, each[1])
    }

    for line in found.lines:
        if line.length is not None:
            key = line.part, line.length
            lacks = max(taken[key] + book.used[key] - book.bought[key], 0)
            owed = max(book.used[key] - book.bought[key], 0)  # bought, and nobody noted it
            least = next((each.least for each in found.prices.parts if each.id == line.part), 1)
            now = lacks - owed
            assert line.amount == (max(now, least) if now else 0), (line, taken, book.bought)
            del taken[key]
    assert not +taken, "all that is to be bought stands in the order"


def _laid(found: Folder, name: str) -> bool:
    return any(cable.id == name and cable.laid for cable in found.plan.routes.cables)


# What may happen


def small() -> Job:
    """A row of framed cabinets, stock that gives several bars each, two runs on one leg."""
    job = row(600, 450, 700, 500, underside="framed", parts={
        "channels": [part("channels", "mine", stock=[2500, 1800])],
        "strips": [part("strips", "own", reel=3000)],
    })  # fmt: skip
    first, *rest = job.cabinets
    run = job.runs[0].model_copy(update={"channel": "mine", "strip": "own"})
    return rebuilt(
        job,
        supplies=(job.supplies[0].model_copy(update={"part": "supply-24-96"}),),
        runs=(
            run.model_copy(update={"cabinets": (first.id,)}),
            run.model_copy(update={"id": "R2", "cabinets": tuple(each.id for each in rest)}),
        ),
    )


STARTS: dict[str, Callable[[], Job]] = {"small": small, "kitchen": lambda: read_example("kitchen")}


def ordered(job: Job, _: Random) -> Job:
    job = note_order(job, [(each.part, each.length, each.amount) for each in to_order(job)])
    assert not to_order(job), "all is ordered"
    return job


def to_order(job: Job) -> list[OrderLine]:
    found = folder(job)
    known = parts_by_id(found.plan.parts)  # a line for any grommet is of none
    return [each for each in found.lines if each.amount and each.part in known]


def done(job: Job, random: Random) -> Job:
    runs = random.sample([run.id for run in job.runs], random.randint(1, len(job.runs)))
    status = random.choice(STATUSES[1:])
    rests = random.choice(["kept", "kept", "scrap", "in the store"])
    return note_built(folder(job), runs, status, rests=rests)


def taken_back(job: Job, random: Random) -> Job:
    run = random.choice(job.runs)
    at = STATUSES.index(run.status)
    return take_back(job, run.id, random.choice(STATUSES[:at]), "hood moved") if at else job


def added(job: Job, random: Random) -> Job:
    if len(job.runs) > 6:
        return job
    job, name = add_item(job, "cabinet", job.cabinets[-1])
    job = set_value(job, "cabinet", name, "width", Decimal(random.randint(300, 900)))
    job, run = add_item(job, "run")
    return set_value(job, "run", run, "leg", random.choice(job.legs).id)


def drawn(job: Job, random: Random) -> Job:
    own = random.choice(
        [each for each in folder(job).pieces if each.kind != "cable" and each.name != "spare"]
    )
    piece = StoredPiece(
        id=f"c{len(job.offcuts) + 1}", part=own.part, length=own.length + random.randint(-9, 900)
    )
    return draw_piece(job, piece)


def narrowed(job: Job, random: Random) -> Job:
    one = random.choice(job.cabinets)
    job = set_value(job, "cabinet", one.id, "opening", ())  # it is read anew
    return set_value(job, "cabinet", one.id, "width", one.width - random.randint(0, 40))


def chosen(job: Job, random: Random) -> Job:
    leg, run = random.choice(job.legs), random.choice(job.runs)
    job = set_value(job, "leg", leg.id, "wiring", random.choice(get_args(Wiring)))
    return set_value(job, "run", run.id, "feed_end", random.choice(get_args(FeedEnd)))


STEPS = (ordered, done, done, done, taken_back, added, drawn, narrowed, chosen)


@pytest.mark.property
@pytest.mark.parametrize("start", STARTS)
@quick(30)
@given(seed=st.integers(0, 10**6))
def test_the_stock_adds_up_after_everything_that_may_happen(start, seed):
    random = Random(seed)
    job = STARTS[start]()
    check(folder(job))
    for _ in range(random.randint(1, 7)):
        job = random.choice(STEPS)(job, random)
        check(folder(job))
    job = ordered(job, random)
    before = folder(job)
    job = note_built(before, [run.id for run in job.runs], "proved", rests="kept")
    after = folder(job)
    check(after)
    assert not any(own.pieces for own in after.cuts), "all is cut"
    assert not to_order(job), "all is ordered"
    assert as_it_is_made(after) == as_it_is_made(before)


def as_it_is_made(found: Folder) -> dict[str, object]:
    """Give the bars, cables and holes: what is cut, laid and drilled."""
    plan = found.plan
    return {
        "bars": [(bar.id, bar.length.value, bar.wall, bar.left) for bar in plan.bars],
        "cables": sorted(
            (each.id, each.origin, each.end, float(each.length.value))
            for each in plan.routes.cables
        ),
        "holes": sorted(
            (hole.id, hole.owner, hole.panel, round(hole.along, 3), float(hole.diameter.value))
            for hole in plan.holes
        ),
    }
