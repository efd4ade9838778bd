"""The one gate of a session: every change passes it, and the store follows what was saved."""

import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import QUICK, one_bar
from stores import added, ids, owners

from pelmet.model.edit.change import remove, set_value
from pelmet.model.edit.offcuts import draw_piece, put_back
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job, open_job
from pelmet.model.file.job.recovery import RecoveredJob
from pelmet.model.file.job.saving import save_job
from pelmet.model.file.store.pieces import find_piece
from pelmet.model.file.store.store_file import load_store
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal
from pelmet.tui.session.history import History
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import PAPERS, POWER, RUNS

# --- The way back ---------------------------------------------------------------------------------


def jobs(count: int) -> list[Job]:
    return [set_value(Job(), "site", "", "name", f"Job {at}") for at in range(count)]


def test_what_is_tried_is_shown_and_becomes_one_step_when_it_is_kept():
    first, second, third = jobs(3)
    history = History.of(first).trying(second).trying(third)
    assert (history.job, history.accepted, history.past) == (third, first, ())
    assert history.reverted() == History.of(first)
    assert history.undone() == History.of(first)
    kept = history.kept()
    assert kept == History(third, third, (first,))
    assert kept.undone() == History(first, first, (), (third,))
    assert kept.undone().redone() == kept
    assert kept.undone().trying(second).kept() == History(second, second, (first,))


def test_where_there_is_no_way_nothing_happens():
    (first,) = jobs(1)
    history = History.of(first)
    assert history.undone() == history.redone() == history.kept() == history
    assert history.trying(jobs(1)[0]).kept() == history  # the same again is no step


# --- The gate -------------------------------------------------------------------------------------

DOORS: dict[str, Callable[[Session], object]] = {
    "type": lambda session: session.type("Other"),
    "choose": lambda session: (session.go_to("run", "R2", "feed_end"), session.choose("right")),
    "change": lambda session: session.change(remove(session.job, "leg", "L1")),
    "add_next": lambda session: (session.go_to("wall", "A", "length"), session.add_next()),
    "add_above": lambda session: (session.go(PAPERS), session.add_above()),
    "remove": lambda session: (session.go_to("leg", "L1", "cable"), session.remove_here()),
    "propose runs": lambda session: (session.go(RUNS), session.propose()),
    "propose power": lambda session: (session.go(POWER), session.propose()),
    "undo": lambda session: session.undo(),
    "redo": lambda session: session.redo(),
    "take up": lambda session: session.take_up(
        RecoveredJob(Path("kept.toml"), Job(), Path("other.toml"), "older", 0.0)
    ),
}


def session_with_ways_both_ways() -> Session:
    job = read_example("kitchen")
    job = remove(remove(job, "run", "R1"), "leg", "L3")
    session = Session(job, Catalogue(), Path("kitchen.toml"), "digest")
    for name in ("One", "Two"):
        session.type(name)
        session.accept()
    session.undo()
    return session


@pytest.mark.parametrize("door", DOORS)
def test_whatever_changes_the_job_passes_the_gate_and_what_that_refuses_changes_nothing(
    door: str, monkeypatch: pytest.MonkeyPatch
):
    free, barred = session_with_ways_both_ways(), session_with_ways_both_ways()
    before = free.job
    DOORS[door](free)
    assert free.job != before
    assert free.plan.job == free.job

    passing = Session._pass

    def refuse(self: Session, history: History) -> None:
        if history.job != before:
            raise Refusal("It is built like that")
        passing(self, history)

    monkeypatch.setattr(Session, "_pass", refuse)
    if door in ("type", "choose"):
        DOORS[door](barred)
        assert barred.misread
        assert barred.misread.reason == "It is built like that"
        assert not barred.accept()
    else:
        with pytest.raises(Refusal, match="It is built like that"):
            DOORS[door](barred)
    assert barred.job == barred.plan.job == before
    assert (barred.path, barred.digest) == (Path("kitchen.toml"), "digest")
    barred.revert()
    assert barred.can_undo
    assert barred.can_redo


def test_work_that_was_never_saved_is_one_change_of_what_the_file_holds(tmp_path: Path):
    path = tmp_path / "job.toml"
    save_job(one_bar(), path, None)
    session = Session.of(open_job(path), Catalogue())
    work = set_value(one_bar(), "site", "", "name", "Lost and found")
    session.take_up(RecoveredJob(tmp_path / "kept", work, path, "an older digest", 0.0))
    assert session.job == work
    assert session.dirty
    assert (session.path, session.digest, session.saved) == (path, "an older digest", one_bar())
    session.undo()
    assert session.job == one_bar()
    assert not session.dirty


# --- The store follows what was saved -------------------------------------------------------------

OWN = {"J": ("J1", "J2"), "K": ("K1", "")}  # no two jobs ever have one reference
DOES = st.lists(
    st.tuples(
        st.sampled_from("JK"),
        st.sampled_from(["turn", "turn", "refer", "undo", "redo", "save", "save", "leave"]),
        st.sampled_from([1, 2]),
    ),
    min_size=20,
    max_size=30,
)


class Ledger:
    """What each job draws, in its file and on the way there, kept by hand beside the program.

    A list of (reference, pieces) for each job, and where in it the job is now.
    """

    def __init__(self) -> None:
        self.saved = {job: (OWN[job][0], frozenset[int]()) for job in OWN}
        self.ways = {job: [self.saved[job]] for job in OWN}
        self.at = dict.fromkeys(OWN, 0)

    def now(self, job: str) -> tuple[str, frozenset[int]]:
        return self.ways[job][self.at[job]]

    def go_on(self, job: str, reference: str, pieces: frozenset[int]) -> None:
        if (reference, pieces) != self.now(job):
            self.ways[job][self.at[job] + 1 :] = [(reference, pieces)]
            self.at[job] += 1

    def turn(self, job: str, by: int) -> None:
        if 0 <= self.at[job] + by < len(self.ways[job]):
            self.at[job] += by

    def can_save(self, job: str) -> bool:
        reference, pieces = self.now(job)
        others = frozenset[int]().union(*(self.saved[one][1] for one in OWN if one != job))
        return not pieces or (bool(reference) and not pieces & others)

    def leave(self, job: str) -> None:
        self.ways[job], self.at[job] = [self.saved[job]], 0

    def owners(self) -> dict[str, str]:
        return {f"c{at}": reference for reference, pieces in self.saved.values() for at in pieces}


def does(session: Session, act: str, number: int, own: tuple[str, ...], store: Path) -> None:
    """Do what a key does in the wizard: a turn draws a piece, or puts it back."""
    drawn = {each.piece: each.id for each in session.job.offcuts}
    if act == "turn" and f"c{number}" in drawn:
        session.change(put_back(session.job, drawn[f"c{number}"]))
    elif act == "turn":
        session.change(draw_piece(session.job, find_piece(load_store(store), f"c{number}")))
    elif act == "refer":
        session.go_to("site", "", "reference")
        session.type(own[number % len(own)])
        session.accept()
    elif act in ("undo", "redo"):
        {"undo": session.undo, "redo": session.redo}[act]()


@pytest.mark.property
@settings(QUICK, max_examples=50)
@given(DOES)
def test_the_store_has_for_each_job_what_its_file_draws_whatever_is_done_in_whatever_order(steps):
    with tempfile.TemporaryDirectory() as name:
        store, ledger = Path(name) / "offcuts.toml", Ledger()
        added(store, 500, 600)
        paths = {job: Path(name) / f"{job}.toml" for job in OWN}
        for job, path in paths.items():
            save_job(set_value(Job(), "site", "", "reference", OWN[job][0]), path, None)
        sessions = {job: Session.of(open_job(paths[job]), Catalogue()) for job in OWN}
        for job, act, number in steps:
            session, (reference, pieces) = sessions[job], ledger.now(job)
            if act == "save":
                if ledger.can_save(job):
                    assert session.save(paths[job], store) == ""
                    ledger.saved[job] = ledger.now(job)
                else:
                    with pytest.raises(Refusal):
                        session.save(paths[job], store)
                    assert session.dirty
            elif act == "leave":
                sessions[job] = session.another(open_job(paths[job]))
                ledger.leave(job)
            else:
                does(session, act, number, OWN[job], store)
                if act in ("undo", "redo"):
                    ledger.turn(job, 1 if act == "redo" else -1)
                elif act == "refer":
                    ledger.go_on(job, OWN[job][number % 2], pieces)
                else:
                    ledger.go_on(job, reference, pieces ^ {number})
            now = sessions[job].job
            assert (now.site.reference, {int(each.piece[1:]) for each in now.offcuts}) == (
                ledger.now(job)
            )
            files = {each: load_job(path) for each, path in paths.items()}
            every = [piece.piece for file in files.values() for piece in file.offcuts]
            assert len(every) == len(set(every))
            assert owners(load_store(store)) == ledger.owners()
            assert {each: file.site.reference for each, file in files.items()} == {
                each: reference for each, (reference, _) in ledger.saved.items()
            }
        assert ids(load_store(store)) == ["c1", "c2"]


# --- No terminal ----------------------------------------------------------------------------------

WHOLE = """
import importlib, pkgutil, sys
from pathlib import Path
import pelmet.tui.session
for module in pkgutil.iter_modules(pelmet.tui.session.__path__):
    importlib.import_module(f"pelmet.tui.session.{module.name}")
from pelmet.model.edit.offcuts import draw_piece
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import open_job
from pelmet.model.file.store.pieces import add_piece
from pelmet.model.file.store.store_file import change_store, load_store
from pelmet.model.job.catalogue import Catalogue
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import STEPS
folder = Path(sys.argv[1])
store = folder / "offcuts.toml"
change_store(store, lambda found: add_piece(found, "surface-17", 900))
session = Session(read_example("kitchen"), Catalogue())
for step in STEPS:
    session.go(step)
    for _ in session.rows:
        session.move_row(1)
        for field in session.form.fields:
            session.form.shown(field), session.form.echo(field)
        if session.place.kind == "paper":
            session.catch_up()
            name = session.place.id
            print(name, len(session.paperwork.pages[name]), session.paperwork.warning(name))
session.go_to("cabinet", "A1", "width")
session.type("610")
session.accept()
session.change(draw_piece(session.job, load_store(store).find("c1")))
session.add_next()
session.undo()
session.save(folder / "job.toml", store)
session.another(open_job(folder / "job.toml"))
print(load_store(store).find("c1").taken_by, session.dirty)
print(*({"textual", "rich"} & sys.modules.keys()) or ["no terminal"])
"""


def test_a_whole_session_papers_and_saving_with_it_loads_no_terminal(tmp_path: Path):
    done = subprocess.run(
        [sys.executable, "-c", WHOLE, str(tmp_path)], capture_output=True, text=True, check=True
    )
    *papers, saved, loaded = done.stdout.splitlines()
    assert {"quote", "cut-list", "figures"} <= {row.split()[0] for row in papers}
    assert saved == f"{read_example('kitchen').site.reference} False"
    assert loaded == "no terminal"
