"""The store of off-cuts: no piece taken twice, no number given twice, no change half made."""

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK
from stores import added, ids, names, owners, stocked, taken

from pelmet.model.file.job.saving import previous_path
from pelmet.model.file.store.pieces import (
    Rest,
    add_piece,
    drop_piece,
    free_pieces,
    give_back,
    keep_pieces,
    take_piece,
)
from pelmet.model.file.store.store_file import change_store, load_store, undo_store
from pelmet.model.file.toml.faults import Fault, FileError
from pelmet.model.file.toml.parsing import BIGGEST_BYTES
from pelmet.model.job.offcut_store import Store
from pelmet.model.refusal import Refusal

D = Decimal


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "own" / "offcuts.toml"


# --- What can be asked of a store -----------------------------------------------------------------


def test_pieces_are_numbered_in_turn_and_a_number_is_never_given_again():
    store = stocked(800, 900)
    assert ids(store) == ["c1", "c2"]
    store, third = add_piece(drop_piece(store, "c2"), "white-24-10", D(1200), "W7", "2027-014")
    assert third == "c3"
    assert ids(store) == ["c1", "c3"]
    piece = store.find("c3")
    assert (piece.part, piece.length, piece.batch, piece.from_job, piece.taken_by) == (
        "white-24-10", 1200, "W7", "2027-014", "",
    )  # fmt: skip


def test_free_pieces_are_those_that_nobody_took():
    store = take_piece(stocked(800, 900, 1000), "c2", "J1")
    assert [piece.id for piece in free_pieces(store)] == ["c1", "c3"]


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda store: take_piece(store, "c1", "J2"), "c1 is taken by J1"),
        (lambda store: give_back(store, "c1", "J2"), "c1 is taken by J1"),
        (lambda store: give_back(store, "c2", "J1"), "c2 is not taken"),
        (lambda store: drop_piece(store, "c1"), "c1 is taken by J1; return it first"),
        (
            lambda store: take_piece(store, "c2", ""),
            r"give the job a reference first \(Papers step\)",
        ),
        (
            lambda store: take_piece(store, "c12", "J1"),
            'no piece "c12" in the store .did you mean "c2"',
        ),
        (
            lambda store: give_back(store, "x" * 999, "J1"),
            r'no piece "x{60}\.\.\." in the store; name one',
        ),
        (
            lambda store: drop_piece(store, "\x1b[2J"),
            r'no piece "\\x1b\[2J" in the store; name one',
        ),
        (
            lambda store: add_piece(store, "two words", D(5)),
            '^part: "two words": an id starts with',
        ),
        (lambda store: add_piece(store, "opal-17", D(0)), "^length: 0: out of range: from 1 mm to"),
        (
            lambda store: add_piece(store, "opal-17", D(9), "a\x07"),
            r"^batch: .*control or direction",
        ),
        (lambda store: add_piece(store, "opal-17", D(9), "", "J" * 61), "^from_job: .*at most 60"),
        (lambda store: keep_pieces(store, "", ()), "give the job a reference first"),
    ],
)
def test_what_cannot_be_done_is_refused_in_words(ask, says):
    store = take_piece(stocked(800, 900), "c1", "J1")
    with pytest.raises(Refusal, match=says):
        ask(store)


def test_a_job_may_take_again_what_it_has_and_give_it_back_once():
    store = take_piece(stocked(800), "c1", "J1")
    assert take_piece(store, "c1", "J1") == store
    assert give_back(store, "c1", "J1") == stocked(800)


def test_the_rests_of_a_job_are_kept_once_unless_asked_for_again():
    rests = (Rest("surface-17", D(407), ""), Rest("white-24-10", D(1100), "W7"))
    store, kept = keep_pieces(Store(), "J1", rests)
    assert kept == ("c1", "c2")
    assert [(each.part, each.length, each.batch, each.from_job) for each in store.pieces] == [
        ("surface-17", 407, "", "J1"), ("white-24-10", 1100, "W7", "J1"),
    ]  # fmt: skip
    with pytest.raises(Refusal, match="rests of J1 are in the store already"):
        keep_pieces(store, "J1", rests)
    with pytest.raises(Refusal, match="already"):  # gone since, they are no less added
        keep_pieces(drop_piece(drop_piece(store, "c1"), "c2"), "J1", rests)
    again, more = keep_pieces(store, "J1", rests, again=True)
    assert more == ("c3", "c4")
    assert again.kept == ("J1",)
    assert keep_pieces(store, "J2", rests)[1] == ("c3", "c4")


def test_a_piece_that_a_job_cut_up_goes_when_its_rests_are_kept_and_no_other_does():
    store = take_piece(take_piece(stocked(800, 900, 1000), "c1", "J1"), "c2", "J2")
    store, _ = keep_pieces(store, "J1", (Rest("surface-17", D(300), ""),), ("c1", "c2", "c3", "c9"))
    assert ids(store) == ["c2", "c3", "c4"]
    same, none = keep_pieces(store, "J3", ())
    assert (same, none) == (store, ())  # nothing left, so it can be asked again


def test_a_store_that_is_full_says_so():
    store = Store.model_validate({
        "pieces": [{"id": f"c{at}", "part": "opal-17", "length": 5} for at in range(1, 5001)],
        "last": 5000,
    })  # fmt: skip
    with pytest.raises(Refusal, match="too many; at most 5000"):
        add_piece(store, "opal-17", D(5))
    with pytest.raises(Refusal, match=r"^id: .c1000000000"):
        add_piece(Store(last=999_999_999), "opal-17", D(5))


ASKED = st.lists(
    st.tuples(st.sampled_from(["take", "give", "add", "drop"]), st.integers(1, 6),
              st.sampled_from(["J1", "J2", "J3"])),
    max_size=40,
)  # fmt: skip


@pytest.mark.property
@QUICK
@given(ASKED)
def test_whatever_jobs_ask_in_whatever_order_no_piece_is_taken_twice(asked):
    store, has, numbers = stocked(500, 600, 700), {1: "", 2: "", 3: ""}, 3
    for ask, number, job in asked:
        piece = f"c{number}"
        if ask == "add":
            store, item_id = add_piece(store, "opal-17", D(400))
            numbers += 1
            has[numbers] = ""
            assert item_id == f"c{numbers}"
            continue
        allowed = {
            "take": number in has and has[number] in ("", job),
            "give": has.get(number) == job,
            "drop": has.get(number) == "",
        }[ask]
        try:
            if ask == "drop":
                store = drop_piece(store, piece)
            else:
                store = {"take": take_piece, "give": give_back}[ask](store, piece, job)
        except Refusal:
            assert not allowed
            continue
        assert allowed
        if ask == "drop":
            del has[number]
        else:
            has[number] = job if ask == "take" else ""
    assert {piece.number: piece.taken_by for piece in store.pieces} == has


# --- The file -------------------------------------------------------------------------------------


def test_a_missing_file_is_an_empty_store_and_the_first_change_makes_it(path: Path):
    assert load_store(path) == Store()
    assert not path.parent.exists()
    assert added(path, 800, 900) == ["c1", "c2"]
    taken(path, "c2", "J1")
    assert load_store(path) == take_piece(stocked(800, 900), "c2", "J1")
    assert tomllib.loads(path.read_text("utf-8")) == {
        "schema": 1,
        "last": 2,
        "piece": [{"id": "c1", "part": "surface-17", "length": 800},
                  {"id": "c2", "part": "surface-17", "length": 900, "taken_by": "J1"}],
    }  # fmt: skip
    assert names(path.parent) == ["offcuts.toml", "offcuts.toml.lock", "offcuts.toml.previous"]


def test_what_is_refused_or_changes_nothing_leaves_the_file_alone(path: Path):
    added(path, 800)
    taken(path, "c1", "J1")
    before = {name: (path.parent / name).read_bytes() for name in names(path.parent)}
    with pytest.raises(Refusal):
        taken(path, "c1", "J2")
    taken(path, "c1", "J1")
    assert {name: (path.parent / name).read_bytes() for name in names(path.parent)} == before


def test_strange_words_read_back_as_they_were(path: Path):
    batch = "'''\"\\ [[piece]] 台 😀"
    change_store(path, lambda store: add_piece(store, "opal-17", D("33.5"), batch, "=1+1"))
    piece = load_store(path).find("c1")
    assert (piece.batch, piece.from_job, piece.length) == (batch, "=1+1", D("33.5"))


BAD = """\
schema = 1
last = 2                 # a c9 is there
colour = "red"           # unknown key
[[piece]]
id = "c1"
part = "opal-17"
length = "5 ells"        # not a length
[[piece]]
id = "c1"                # used twice
part = "two words"       # not an id
length = 400
taken_by = 5             # not text
[[piece]]
id = "piece"             # not the id of a piece
part = "opal-17"
length = 400
batch = "a\\u202eb"       # turns text round
[[piece]]                # length missing
id = "c9"
part = "opal-17"
"""


def faults_of(path: Path, text: str) -> tuple[Fault, ...]:
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, "utf-8")
    with pytest.raises(FileError) as caught:
        load_store(path)
    with pytest.raises(FileError):
        change_store(path, lambda store: add_piece(store, "opal-17", D(5)))
    assert path.read_text("utf-8") == text
    assert all(line.isprintable() for line in str(caught.value).split("\n"))
    return caught.value.faults


def test_every_fault_of_a_store_is_told_on_its_line(path: Path):
    lines = [number for number, line in enumerate(BAD.split("\n"), 1) if "#" in line]
    # The last number is held against the pieces once these are sound.
    assert [fault.line for fault in faults_of(path, BAD)] == [at for at in lines if at != 2]
    sound = 'schema = 1\nlast = {}\n[[piece]]\nid = "c9"\npart = "opal-17"\nlength = 400\n'
    (fault,) = faults_of(path, sound.format(2))
    assert (fault.line, fault.where, fault.found) == (2, "last", "2")
    assert fault.says == "there is a piece c9, so at least 9 is wanted here"
    assert faults_of(path, sound.replace("last = {}\n", ""))[0].where == "last"
    path.write_text(sound.format(9))
    assert added(path, 500) == ["c10"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "add the line"),
        ("schema = 2\npieces = 5\n", "made by a newer program; this one reads up to 1"),
        ("schema = true\n", "a whole number is wanted"),
        ("schema = 1\n[[piece]\n", "not TOML"),
        ("schema = 1\n[piece]\nid = 1\n", "each one is a block of its own"),
        ("schema = 1\n" + "[[piece]]\n" * 50_000, "too many; at most 5000"),
        ("schema = 1\nkept = [" + "'J', " * 50_000 + "]\n", "too many; at most 5000"),
        ("schema = 1\nlast = 1e99999999999999999999\n", "whole number"),
        ("schema = 1\n" + ".".join("a" * 100_000) + " = 1\n", "more than 16 parts"),
        ("schema = 1\na = " + "[" * 100_000 + "\n", "too deep"),
        ("schema = 1\n#" + "x" * BIGGEST_BYTES, "too big"),
    ],
)
def test_what_is_no_store_is_refused_in_words(path: Path, text: str, says: str):
    assert any(says in fault.says for fault in faults_of(path, text))


@pytest.mark.parametrize("digits", ["٣", "1_0", "01", "0", "-1", "1" * 10, "1\n"])
def test_an_id_is_c_and_a_plain_number(path: Path, digits: str):
    row = f'schema = 1\nlast = 9\n[[piece]]\nid = """c{digits}"""\npart = "a"\nlength = 5\n'
    assert faults_of(path, row)[0].says == "the id of a piece is c and its number, such as c1"


# --- Undo -----------------------------------------------------------------------------------------


def test_the_last_change_is_undone_and_that_is_undone_by_a_second_undo(path: Path):
    added(path, 800)
    change_store(path, lambda store: (drop_piece(store, "c1"), None))
    assert ids(load_store(path)) == []
    for wanted in (["c1"], [], ["c1"]):
        assert ids(undo_store(path)) == wanted
        assert ids(load_store(path)) == wanted


def test_the_very_first_change_can_be_undone_and_its_number_is_not_given_again(path: Path):
    added(path, 800)
    assert undo_store(path) == Store(last=1)
    assert added(path, 900) == ["c2"]
    assert ids(undo_store(path)) == []
    assert ids(undo_store(path)) == ["c2"]


def test_undo_refuses_where_nothing_was_before(path: Path):
    with pytest.raises(Refusal, match="no version before this one"):
        undo_store(path)
    added(path, 800)
    previous_path(path).write_bytes(path.read_bytes())
    with pytest.raises(Refusal, match="the same as this one"):
        undo_store(path)
    previous_path(path).write_text("schema = 1\nx = 1\n")
    with pytest.raises(FileError, match=r"offcuts.toml.previous:2: x"):
        undo_store(path)
    assert load_store(path) == stocked(800)


def test_undo_does_not_free_what_a_job_still_draws_nor_take_it_from_another(path: Path):
    added(path, 800, 900)
    taken(path, "c2", "J1")
    with pytest.raises(Refusal, match="to take or return c2; return or take it again"):
        undo_store(path)
    change_store(path, lambda store: (give_back(store, "c2", "J1"), None))
    with pytest.raises(Refusal, match="to take or return c2"):
        undo_store(path)
    assert owners(load_store(path)) == {}


def test_keeping_what_a_job_left_is_undone_as_a_whole(path: Path):
    added(path, 800)
    taken(path, "c1", "J1")
    before = load_store(path)
    rests = (Rest("surface-17", D(407), ""),)
    change_store(path, lambda store: keep_pieces(store, "J1", rests, ("c1",)))
    after = load_store(path)
    assert ids(after) == ["c2"]
    assert undo_store(path) == before.altered(last=2)
    assert undo_store(path) == after


def test_a_store_that_was_deleted_comes_back_by_undo(path: Path):
    added(path, 800, 900)
    path.unlink()
    assert ids(undo_store(path)) == ["c1"]  # the version that was kept beside it
