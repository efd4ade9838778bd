"""Drawing off-cuts for a job; and what of a job's cutting is kept."""

from decimal import Decimal

import pytest
from jobs import one_bar, row
from stores import drawing, stocked

from pelmet.model.edit.change import rebuilt
from pelmet.model.edit.offcuts import follow_store, pieces_used, put_back, rests
from pelmet.model.examples import read_example
from pelmet.model.file.store.pieces import Rest, add_piece
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import Store
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal

D = Decimal
STORE = stocked(800, 900, 1000)


def folder(job: Job) -> Folder:
    return make_folder(plan_job(job))


# --- In the job -----------------------------------------------------------------------------------


def test_a_drawn_piece_stands_in_the_job_with_all_that_the_store_says_of_it():
    store, _ = add_piece(STORE, "white-24-10", D(1200), "W7", "2027-013")
    job = drawing(Job(), store, "c4")
    (drawn,) = job.offcuts
    assert (drawn.id, drawn.piece, drawn.part, drawn.length, drawn.batch) == (
        "piece1", "c4", "white-24-10", 1200, "W7",
    )  # fmt: skip
    assert 'piece = "c4"' in job_text(job)
    with pytest.raises(Refusal, match="This job draws c4 already"):
        drawing(job, store, "c4")


def test_what_is_put_back_is_gone_and_its_id_is_not_used_again():
    job = put_back(drawing(Job(), STORE, "c1", "c2"), "piece2")
    assert [each.piece for each in job.offcuts] == ["c1"]
    assert drawing(job, STORE, "c2").offcuts[1].id == "piece3"
    for item_id in ("piece2", "c1", "room1"):
        with pytest.raises(KeyError):
            put_back(job, item_id)


def test_a_rest_of_a_long_reel_can_be_drawn():
    store, _ = add_piece(Store(), "flat-2-075", D(150_000))
    assert drawing(Job(), store, "c1").offcuts[0].length == 150_000


def test_a_job_that_follows_the_store_draws_what_it_did_not_and_puts_back_what_it_did():
    job = drawing(Job(), STORE, "c1", "c2")
    followed = follow_store(job, [STORE.find("c2"), STORE.find("c3")])
    assert [each.piece for each in followed.offcuts] == ["c1", "c3"]
    twice = rebuilt(job, offcuts=(
        *job.offcuts, job.offcuts[0].model_copy(update={"id": "piece7"})
    ))  # fmt: skip
    assert [each.piece for each in follow_store(twice, [STORE.find("c1")]).offcuts] == ["c2"]


# --- What is kept ---------------------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("example", ["kitchen", "kitchen-with-pantry"])
def test_what_is_kept_is_what_the_saw_leaves_of_each_stock_piece(example: str):
    """By hand: stock less trims, pieces, and a kerf for each; a sum that the cutting never did."""
    found = folder(read_example(example))
    job = found.plan.job
    wanted: list[Rest] = []
    for part in found.cuts:
        saw = part.kind in ("channel", "diffuser")
        kerf, trim = (job.allowances.saw_kerf, job.allowances.bar_trim) if saw else (0, 0)
        least = D(300) if saw else D(1000)
        lengths = {piece.name: piece.length for piece in part.pieces}
        for stock, cut in part.cuts:
            off = 0 if stock.source == "off-cut" else trim
            left = stock.length - 2 * off - sum(lengths[name] + kerf for name in cut.pieces)
            left -= sum(part.before.get(name, 0) for name in cut.pieces)  # for the reel's joints
            if left >= least:
                wanted.append(Rest(part.part, left, ""))
    assert wanted
    assert [each._replace(batch="") for each in rests(found)] == wanted
    for part in found.cuts:
        kept = sum(each.length for each in rests(found) if each.part == part.part)
        assert kept == part.cutting.kept


def test_a_rest_that_is_too_short_is_not_kept():
    # 875 of channel out of 1000, less two trims of 5 and a kerf of 3.
    rest = Rest("surface-17", D(112), "")
    assert rest not in rests(folder(one_bar()))  # 300 is the least
    assert rest in rests(folder(one_bar(allowances={"keepable": 112})))
    assert rest not in rests(folder(one_bar(allowances={"keepable": D("112.5")})))
    strip = one_bar().runs[0].strip
    assert strip in {each.part for each in rests(folder(one_bar()))}
    long = folder(one_bar(allowances={"keepable_cable": 5000}))
    assert strip not in {each.part for each in rests(long)}


def test_strip_is_kept_with_its_batch_where_all_of_the_reel_is_of_one():
    def batches(job: Job) -> list[str]:
        strips = {run.strip for run in job.runs}
        return [each.batch for each in rests(folder(job)) if each.part in strips]

    assert batches(one_bar(R1={"batch": "W7"})) == ["W7"]
    assert batches(one_bar()) == [""]
    two = row(600, 600)
    first, second = (run.model_copy(update={"id": item_id, "cabinets": (cabinet,), "batch": batch})
                     for item_id, cabinet, batch in (("R1", "A1", "W7"), ("R2", "A2", "W8"))
                     for run in two.runs[:1])  # fmt: skip
    assert batches(rebuilt(two, runs=(first, second))) == [""]
    same = second.model_copy(update={"batch": "W7"})
    assert batches(rebuilt(two, runs=(first, same))) == ["W7"]
    unsaid = second.model_copy(update={"batch": ""})
    assert batches(rebuilt(two, runs=(first, unsaid))) == [""]


def test_what_is_cut_out_of_an_off_cut_uses_that_up_and_leaves_its_rest_in_the_same_batch():
    store = stocked(1500, 800)
    store, _ = add_piece(store, "white-24-10", D(3000), "W7")
    job = one_bar()
    strip = job.runs[0].strip
    assert strip
    store = store.altered(pieces=(*store.pieces[:2],
                                  store.pieces[2].model_copy(update={"part": strip})))  # fmt: skip
    found = folder(drawing(job, store, "c1", "c2", "c3"))
    assert set(pieces_used(found)) == {"c1", "c3"}  # a bar of 875 does not come out of 800
    kept = rests(found)
    assert [each.length for each in kept if each.part == "surface-17"] == [1500 - 875 - 3]
    (lit,) = (piece.length for piece in found.pieces if piece.kind == "strip" and piece.run)
    spare = 500  # of the same batch
    assert [each for each in kept if each.part == strip] == [Rest(strip, 3000 - lit - spare, "W7")]
    assert pieces_used(folder(job)) == ()
