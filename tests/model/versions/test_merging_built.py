"""What two people both noted as built is in the one job once, under names that follow its ids."""

from decimal import Decimal

from pelmet.model.edit.add import add_item
from pelmet.model.edit.building import note_built, take_back
from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.giving import Signed, note_order
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.checks.built import CHECKS
from pelmet.model.plan.stages import plan_job
from pelmet.model.versions.built_twice import BUILT
from pelmet.model.versions.merging import merge


def kitchen() -> Job:
    return read_example("kitchen")


def noted(job: Job, runs: list[str], status: str = "wired", day: str = "", by: str = "") -> Job:
    return note_built(make_folder(plan_job(job)), runs, status, day=day, by=by)


def with_a_run(name: str, width: int) -> Job:
    """A pantry with a shelf and a run on a new leg of S1, built."""
    job, room = add_item(kitchen(), "room")
    job = set_value(job, "room", room, "name", name)
    job, wall = add_item(job, "wall", job.find("room", room))
    job, cabinet = add_item(job, "cabinet", job.find("wall", wall))
    job = set_value(job, "cabinet", cabinet, "width", Decimal(width))
    job, run = add_item(job, "run")
    job, leg = add_item(job, "leg", job.supplies[0])
    job = set_value(set_value(job, "leg", leg, "length", 4000 + width), "run", run, "leg", leg)
    return noted(job, [run])


def test_what_both_noted_alike_is_there_once_by_who_did_it_first():
    base = kitchen()
    mine = noted(base, ["R1"], day="2027-03-02", by="Jo")
    theirs = noted(base, ["R1"], day="2027-03-01", by="Sam")
    for one, other in ((mine, theirs), (theirs, mine)):
        job = merge(base, one, other).job
        for kind in BUILT:
            assert [row.model_copy(update={"id": ""}) for row in job.table(kind)] == [
                row.model_copy(update={"id": ""}) for row in theirs.table(kind)
            ]


def test_one_order_that_both_noted_is_there_once_and_two_orders_twice():
    base = kitchen()
    cut = [noted(base, ["R1"], day=day) for day in ("2027-03-02", "2027-03-01")]
    assert cut[0].ordered
    for one, other in (cut, cut[::-1]):
        job = merge(base, one, other).job
        assert len(job.ordered) == len(one.ordered)
    monday, tuesday = (
        note_order(base, [("white-24-10", None, 5)], Signed(day, "Jo"))
        for day in ("2027-03-01", "2027-03-02")
    )
    both = merge(base, monday, monday_too(monday))
    assert [row.amount for row in both.job.ordered] == [5]
    assert [row.amount for row in merge(base, monday, tuesday).job.ordered] == [5, 5]


def monday_too(job: Job) -> Job:
    """The same order, noted by somebody else."""
    rows = (row.model_copy(update={"by": "Sam"}) for row in job.ordered)
    return rebuilt(job, ordered=tuple(rows))


def test_one_bar_hung_differently_is_to_be_decided_in_the_words_of_the_trade():
    base = kitchen()
    mine, theirs = noted(base, ["R1"], "mounted"), noted(base, ["R1"], "mounted", day="2027-03-01")
    row = theirs.hung[0]
    theirs = set_value(theirs, "hung", row.id, "length", row.length - 3)
    (conflict,) = merge(base, mine, theirs).conflicts
    assert (conflict.kind, conflict.id, conflict.title) == ("hung", "R1.1", "by both, differently")
    assert conflict.mine == f"Length {row.length}"
    assert conflict.theirs == f"Length {row.length - 3}"
    for side, length in (("mine", row.length), ("theirs", row.length - 3)):
        job = merge(base, mine, theirs, {conflict.place: side}).job
        assert [each.length for each in job.hung] == [length]
    assert not merge(base, mine, theirs, {conflict.place: "base"}).job.hung


def test_pieces_bars_and_cables_are_called_after_the_new_ids():
    base = kitchen()
    mine, theirs = with_a_run("Pantry", 700), with_a_run("Larder", 500)
    merged = merge(base, mine, theirs)
    job = merged.job
    run, leg = (next(new for old, new in merged.renumbered.items() if old.startswith(letter))
                for letter in "RL")  # fmt: skip
    assert run not in {each.id for each in mine.runs}
    assert {each.name for each in job.hung} == {f"{run}.1", mine.hung[0].name}
    assert {each.cable for each in job.laid} == {f"{leg}.1", mine.laid[0].cable}
    cut = {name for each in job.cuts for name in each.pieces}
    assert {f"{run}.1", mine.hung[0].name} <= cut
    plan = plan_job(job)
    assert all(bar.hangs for bar in plan.bars if bar.run in (run, mine.hung[0].run))
    assert {each.code for check in CHECKS for each in check(plan)} <= {"piece-cut-twice"}


def test_two_holes_under_one_number_are_both_there():
    base = kitchen()
    mine = noted(base, ["R1"])
    hole = mine.drilled[0]
    moved = [each.model_copy(update={"at": each.at + 300} if each.id == hole.id else {})
             for each in mine.drilled]  # fmt: skip
    merged = merge(base, mine, rebuilt(mine, drilled=tuple(moved)))
    new = merged.renumbered[hole.hole]
    assert {each.hole for each in merged.job.drilled} == {each.hole for each in moved} | {new}
    at = {each.hole: each.at for each in merged.job.drilled}
    assert (at[hole.hole], at[new]) == (hole.at, hole.at + 300)


def test_one_piece_out_of_two_stocks_is_to_be_decided():
    base = kitchen()
    mine, theirs = noted(base, ["R1"], "cut"), noted(base, ["R1", "R2", "R3", "R4"], "cut")
    conflicts = merge(base, mine, theirs).conflicts
    assert {each.kind for each in conflicts} == {"cut"}
    job = merge(base, mine, theirs, {each.place: "theirs" for each in conflicts}).job
    names = [(cut.part, name) for cut in job.cuts for name in cut.pieces if name != "spare"]
    assert len(names) == len(set(names))


def test_what_each_took_back_of_one_length_is_spoilt_and_what_one_cut_again_is_there_once():
    base = noted(kitchen(), ["R1", "R2", "R3"], "cut")
    mine = take_back(base, "R1", "ordered", "hood moved")
    theirs = noted(take_back(base, "R3", "ordered", "hood moved"), ["R3"], "cut")
    merged = merge(base, mine, theirs)
    pieces = [name for cut in merged.job.cuts for name in cut.pieces]
    assert (pieces.count("R1.1"), pieces.count("R3.1"), pieces.count("R2.1")) == (0, 3, 3)
    assert pieces.count("spoilt") == 6


def test_what_only_one_noted_is_there_and_the_same_twice_is_the_same():
    base, built = kitchen(), noted(kitchen(), ["R1", "R2"])
    for mine, theirs in ((built, built), (base, built), (built, base)):
        assert merge(base, mine, theirs).job == built
