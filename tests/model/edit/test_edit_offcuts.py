"""Drawing off-cuts for a job, with the store told of it; and what of a job's cutting is kept."""

import tempfile
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import one_bar, row
from stores import added, ids, names, owners, stocked

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.offcuts import draw, put_back, rests, used
from pelmet.model.examples import read_example
from pelmet.model.file.store.offcut_store import (
    Rest,
    add,
    change_store,
    drop,
    known,
    load_store,
    take,
)
from pelmet.model.file.store.settling import settle
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job, Site
from pelmet.model.job.offcut_store import Store
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal

D = Decimal
STORE = stocked(800, 900, 1000)


def folder(job: Job) -> Folder:
    return make_folder(plan_job(job))


def named(reference: str) -> Job:
    return Job(site=Site(reference=reference))


def drawing(job: Job, *pieces: str, store: Store = STORE) -> Job:
    for piece in pieces:
        job = draw(job, known(store, piece))
    return job


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "offcuts.toml"
    added(path, 800, 900, 1000)
    return path


# --- In the job -----------------------------------------------------------------------------------


def test_a_drawn_piece_stands_in_the_job_with_all_that_the_store_says_of_it():
    store, _ = add(STORE, "white-24-10", D(1200), "W7", "2027-013")
    job = drawing(Job(), "c4", store=store)
    (drawn,) = job.offcuts
    assert (drawn.id, drawn.piece, drawn.part, drawn.length, drawn.batch) == (
        "piece1", "c4", "white-24-10", 1200, "W7",
    )  # fmt: skip
    assert 'piece = "c4"' in job_text(job)
    with pytest.raises(Refusal, match="This job draws c4 already"):
        drawing(job, "c4", store=store)


def test_what_is_put_back_is_gone_and_its_id_is_not_used_again():
    job = put_back(drawing(Job(), "c1", "c2"), "piece2")
    assert [each.piece for each in job.offcuts] == ["c1"]
    assert drawing(job, "c2").offcuts[1].id == "piece3"
    for item_id in ("piece2", "c1", "room1"):
        with pytest.raises(KeyError):
            put_back(job, item_id)


def test_a_rest_of_a_long_reel_can_be_drawn():
    store, _ = add(Store(), "flat-2-075", D(150_000))
    assert drawing(Job(), "c1", store=store).offcuts[0].length == 150_000


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
    store, _ = add(store, "white-24-10", D(3000), "W7")
    job = one_bar()
    strip = job.runs[0].strip
    assert strip
    store = store.altered(pieces=(*store.pieces[:2],
                                  store.pieces[2].model_copy(update={"part": strip})))  # fmt: skip
    found = folder(drawing(job, "c1", "c2", "c3", store=store))
    assert set(used(found)) == {"c1", "c3"}  # a bar of 875 does not come out of 800
    kept = rests(found)
    assert [each.length for each in kept if each.part == "surface-17"] == [1500 - 875 - 3]
    (lit,) = (piece.length for piece in found.pieces if piece.kind == "strip" and piece.run)
    spare = 500  # of the same batch
    assert [each for each in kept if each.part == strip] == [Rest(strip, 3000 - lit - spare, "W7")]
    assert used(folder(job)) == ()


# --- The store told of it -------------------------------------------------------------------------


def test_a_change_of_a_job_its_undo_and_its_redo_settle_the_store(path: Path):
    first = named("J1")
    second = drawing(first, "c1", "c3")
    third = put_back(second, "piece1")
    settle(path, first, second)
    assert owners(load_store(path)) == {"c1": "J1", "c3": "J1"}
    settle(path, second, third)
    assert owners(load_store(path)) == {"c3": "J1"}
    settle(path, third, second)
    assert owners(load_store(path)) == {"c1": "J1", "c3": "J1"}
    settle(path, second, first)
    assert owners(load_store(path)) == {}
    settle(path, Job(), second)  # a job that is opened or recovered may have them by now
    settle(path, Job(), second)
    assert owners(load_store(path)) == {"c1": "J1", "c3": "J1"}


def test_where_nothing_differs_the_store_is_not_even_looked_for(tmp_path: Path):
    path = tmp_path / "none" / "offcuts.toml"
    job = drawing(named("J1"), "c1")
    settle(path, job, set_value(job, "site", "", "name", "Other"))
    settle(path, named("J1"), named("J2"))
    assert names(tmp_path) == []


def other_piece(store: Store) -> tuple[Store, None]:
    """Have the file hold another piece of the same number."""
    (first, *more) = store.pieces
    return store.altered(pieces=(first.model_copy(update={"length": D(850)}), *more)), None


@pytest.mark.parametrize(
    ("before", "job", "says"),
    [
        (
            lambda store: (take(store, "c1", "J2"), None),
            "J1",
            "^c1 is taken by J2; draw",
        ),
        (lambda store: (drop(store, "c1"), None), "J1", 'there is no piece "c1" in the store'),
        (other_piece, "J1", "c1 is another piece in the store: surface-17, 850 mm"),
        (lambda store: (store, None), "", r"give the job a reference first \(Papers step\)"),
    ],
)
def test_what_cannot_be_taken_is_refused_as_a_whole(path: Path, before, job: str, says: str):
    was = drawing(named(job), "c3")
    change_store(path, before)
    if job:
        settle(path, Job(), was)
    held = load_store(path)
    with pytest.raises(Refusal, match=says):
        settle(path, was, drawing(named(job), "c2", "c1"))
    assert load_store(path) == held


def test_a_piece_drawn_twice_by_one_job_is_refused_unless_it_was_so_before(path: Path):
    once = drawing(named("J1"), "c1")
    twice = rebuilt(once, offcuts=(
        *once.offcuts, once.offcuts[0].model_copy(update={"id": "piece7"})
    ))  # fmt: skip
    for before in (named("J1"), once):
        with pytest.raises(Refusal, match="c1 is drawn 2 times by this job"):
            settle(path, before, twice)
    settle(path, twice, drawing(twice, "c2"))  # by hand, long ago: no reason to stop the rest
    assert owners(load_store(path)) == {"c2": "J1"}


def test_what_is_gone_or_anothers_by_now_does_not_stop_an_undo(path: Path):
    job = drawing(named("J1"), "c1", "c2", "c3")
    change_store(path, lambda store: (drop(store, "c1"), None))
    change_store(path, lambda store: (take(take(store, "c2", "J2"), "c3", "J1"), None))
    settle(path, job, named("J1"))
    assert owners(load_store(path)) == {"c2": "J2"}


def test_a_job_that_gets_another_reference_keeps_its_pieces_under_that(path: Path):
    job = drawing(named("J1"), "c1", "c2")
    settle(path, named("J1"), job)
    other = set_value(job, "site", "", "reference", "J9")
    settle(path, job, other)
    assert owners(load_store(path)) == {"c1": "J9", "c2": "J9"}
    with pytest.raises(Refusal, match="give the job a reference first"):
        settle(path, other, set_value(job, "site", "", "reference", ""))
    settle(path, other, job)
    assert owners(load_store(path)) == {"c1": "J1", "c2": "J1"}


STEPS = st.lists(
    st.tuples(st.sampled_from("JKL"), st.sampled_from(["draw", "back", "undo", "redo", "name"]),
              st.integers(1, 4)),
    max_size=25,
)  # fmt: skip


@pytest.mark.property
@quick(40)
@given(STEPS)
def test_jobs_that_draw_undo_and_redo_never_share_a_piece_and_the_store_agrees(steps):
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "offcuts.toml"
        added(path, 500, 600, 700, 800)
        past = {own: [named(own)] for own in "JKL"}
        at = dict.fromkeys("JKL", 0)
        for own, step, number in steps:
            now = past[own][at[own]]
            if step in ("undo", "redo"):
                place = at[own] + (1 if step == "redo" else -1)
                if not 0 <= place < len(past[own]):
                    continue
                new, line = past[own][place], past[own]
            else:
                try:
                    new = {
                        "draw": lambda now=now, number=number: drawing(
                            now, f"c{number}", store=load_store(path)
                        ),
                        "back": lambda now=now, number=number: put_back(now, f"piece{number}"),
                        "name": lambda now=now, own=own, number=number: set_value(
                            now, "site", "", "reference", f"{own}{number}"
                        ),
                    }[step]()
                except (Refusal, KeyError):
                    continue
                place, line = at[own] + 1, [*past[own][: at[own] + 1], new]
            try:
                settle(path, now, new)
            except Refusal:
                wanted = {each.piece for each in new.offcuts}
                others = {each.piece for job in "JKL" if job != own
                          for each in past[job][at[job]].offcuts}  # fmt: skip
                assert wanted & others
                continue
            at[own], past[own] = place, line
            drawn = [(each.piece, past[job][at[job]].site.reference)
                     for job in "JKL" for each in past[job][at[job]].offcuts]  # fmt: skip
            assert max(Counter(piece for piece, _ in drawn).values(), default=0) <= 1
            assert owners(load_store(path)) == dict(drawn)
        assert ids(load_store(path)) == ["c1", "c2", "c3", "c4"]
