"""What the wizard holds: a job that follows the keys, the place one stands, the way back."""

from contextlib import suppress
from decimal import Decimal
from pathlib import Path

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import one_bar

from pelmet.model.edit.giving import Signed
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job, read_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import MOUNTING, OBSTACLES, PAPERS, POWER, ROOMS, RUNS, STEPS

FILE = Path("kitchen.toml")


def begun(job: Job | None = None) -> Session:
    """Begin with a job as it was read from a file."""
    return Session(job or read_example("kitchen"), Catalogue(), FILE, "digest")


def at(session: Session) -> tuple[str, str, str, str]:
    place = session.place
    return place.step.name, place.kind, place.id, place.field


def enter(session: Session, text: str) -> bool:
    """Type over the field and press Enter."""
    session.type(text)
    return session.accept()


def test_the_plan_follows_every_keystroke_and_sticks_when_accepted():
    session = begun()
    session.go_to("cabinet", "A3", "opening")
    before = session.plan
    session.type("700")
    assert session.job.find("cabinet", "A3").opening == (700,)
    assert session.plan != before
    assert session.accept()
    assert session.job.find("cabinet", "A3").opening == (700,)


def test_what_cannot_be_read_shows_the_last_good_job_and_does_not_move_on():
    session = begun()
    session.go_to("cabinet", "A1", "width")
    job = session.job
    for text in ("8x", "", "1,200", "99999999"):
        session.type(text)
        assert session.misread
        assert not session.accept()
        assert session.job == job
        assert at(session) == ("Rooms", "cabinet", "A1", "width")
    session.type("610")
    assert session.misread is None
    assert session.accept()


def test_each_key_is_read_from_the_last_accepted_job_so_neighbours_move_once():
    session = begun()
    session.go_to("cabinet", "A1", "width")
    for text in ("6", "65", "650"):
        session.type(text)
    assert session.accept()
    assert [cabinet.at for cabinet in session.job.cabinets[:3]] == [0, 650, 2050]
    assert session.moved == ("A2", "A3", "O1", "O2")


def test_putting_back_drops_what_is_being_typed():
    session = begun()
    session.go_to("cabinet", "A1", "width")
    session.type("1")
    session.revert()
    assert session.job == read_example("kitchen")
    session.type("oops")
    session.revert()
    assert session.misread is None


def test_undo_and_redo_walk_through_every_kind_of_change():
    session = begun()
    jobs = [session.job]
    steps = (
        lambda: (session.go_to("site", "", "name"), enter(session, "Another")),
        lambda: (session.go(RUNS), session.choose_feed()),
        lambda: (session.go_to("wall", "A", "length"), session.add_next()),
        lambda: session.add_above(),
        lambda: (session.go_to("leg", "L1", "cable"), session.remove_here()),
        lambda: (session.go(POWER), session.propose()),
        lambda: (session.go_to("cabinet", "A2", "width"), session.remove_here()),
        lambda: (session.go(OBSTACLES), session.add_next()),
    )

    def choose_feed() -> None:
        session.go_to("run", "R2", "feed_end")
        session.choose("right")
        session.accept()

    session.choose_feed = choose_feed  # type: ignore[attr-defined]
    for step in steps:
        step()
        assert session.job != jobs[-1]
        jobs.append(session.job)
    for job in reversed(jobs[:-1]):
        session.undo()
        assert session.job == job
    assert not session.can_undo
    for job in jobs[1:]:
        session.redo()
        assert session.job == job
    assert not session.can_redo


def test_undo_takes_back_what_is_being_typed_before_what_was_accepted():
    session = begun()
    session.go_to("site", "", "name")
    enter(session, "First")
    session.type("Second")
    session.undo()
    assert session.job.site.name == "First"
    session.undo()
    assert session.job == read_example("kitchen")


def test_a_new_change_forgets_what_was_taken_back():
    session = begun()
    session.go_to("site", "", "name")
    enter(session, "First")
    session.undo()
    enter(session, "Second")
    assert not session.can_redo


def test_typing_the_same_again_is_no_change():
    session = begun()
    session.go_to("cabinet", "A1", "width")
    session.type("60")
    session.type("600")
    assert session.accept()
    assert not session.can_undo
    assert not session.dirty


def test_unsaved_is_what_differs_from_the_file(tmp_path):
    session = begun()
    assert not session.dirty
    session.go_to("site", "", "name")
    enter(session, "Another")
    assert session.dirty
    session.undo()
    assert not session.dirty
    session.redo()
    session.save(tmp_path / "job.toml", tmp_path / "offcuts.toml")
    assert not session.dirty
    assert session.path == tmp_path / "job.toml"
    assert load_job(session.path) == session.job
    session.undo()
    assert session.dirty


def test_a_new_job_without_a_word_in_it_is_not_unsaved():
    session = Session(Job(), Catalogue())
    assert not session.dirty
    session.add_next()
    assert session.dirty


def test_turning_through_a_choice_is_one_change():
    session = begun()
    session.go_to("run", "R1", "line")
    for option in ("middle", "back", "front", "middle"):
        session.choose(option)
    session.accept()
    session.undo()
    assert session.job == read_example("kitchen")


def test_a_choice_of_nothing_clears_the_field():
    session = begun()
    session.go_to("run", "R1", "leg")
    assert session.form.choices() == ("", "L1", "L2", "L3")
    session.choose("")
    assert session.job.find("run", "R1").leg is None


def test_a_part_nobody_sells_is_among_the_options_so_that_the_choice_shows_what_is():
    session = begun(one_bar(R1={"strip": "no-such-strip"}))
    session.go_to("run", "R1", "strip")
    assert session.form.shown("strip") in session.form.choices()


def test_adding_stands_on_the_new_thing_with_its_first_field():
    session = Session(Job(), Catalogue())
    seen = []
    for add in (
        session.add_next,
        session.add_next,
        session.add_next,
        session.add_next,
        session.add_above,
        session.add_next,
        session.add_above,
        session.add_above,
    ):
        add()
        seen.append(at(session)[1:])
    assert seen == [
        ("room", "room1", "name"),
        ("wall", "A", "length"),
        ("cabinet", "A1", "width"),
        ("cabinet", "A2", "width"),
        ("wall", "B", "length"),
        ("cabinet", "B1", "width"),
        ("wall", "C", "length"),
        ("wall", "D", "length"),
    ]  # fmt: skip


def test_in_power_the_next_after_a_supply_or_a_leg_is_a_leg_and_above_it_a_supply():
    session = begun()
    session.go_to("supply", "S1", "part")
    session.add_next()
    assert at(session)[:3] == ("Power", "leg", "L4")
    session.add_next()
    assert at(session)[2] == "L5"
    session.add_above()
    assert at(session)[1:3] == ("supply", "S2")


@pytest.mark.parametrize("step", [MOUNTING])
def test_where_nothing_can_be_added_the_reason_is_given(step):
    session = begun()
    session.go(step)
    with pytest.raises(Refusal, match="Nothing is added here"):
        session.add_next()
    with pytest.raises(Refusal):
        session.add_above()


def test_revisions_and_options_are_added_in_the_papers_step():
    session = begun()
    session.go(PAPERS)
    session.revise("hood moved", Signed("2027-03-01", "Ann"))
    assert at(session)[1:] == ("revision", "rev1", "why")
    session.add_above()
    assert at(session)[1:] == ("offer", "option3", "name")
    session.add_next()
    assert at(session)[1:] == ("offer", "option4", "name")


def test_a_run_is_removed_in_its_own_step_only():
    session = begun()
    session.go_to("run", "R1", "leg")
    with pytest.raises(Refusal, match="F3"):
        session.remove_here()
    session.go_to("run", "R1", "cabinets")
    assert session.remove_here() == "R1"


def test_the_job_itself_cannot_be_removed():
    with pytest.raises(Refusal, match="cannot be removed"):
        begun().remove_here()


def test_after_removing_one_stands_on_the_thing_before():
    session = begun()
    session.go_to("cabinet", "A2", "depth")
    session.remove_here()
    assert session.row_index is not None
    assert session.place.kind in ("cabinet", "wall")


def test_a_step_that_lists_the_thing_one_stands_on_keeps_it():
    session = begun()
    session.go_to("run", "R3", "cabinets")
    for step in (MOUNTING, POWER, RUNS):
        session.go(step)
        assert at(session)[1:3] == ("run", "R3")


def test_coming_back_to_a_step_one_stands_where_one_stood():
    session = begun()
    session.go_to("cabinet", "A2", "depth")
    session.go(OBSTACLES)
    session.go_to("obstacle", "O3", "width")
    session.go(ROOMS)
    assert at(session) == ("Rooms", "cabinet", "A2", "depth")
    session.go(OBSTACLES)
    assert at(session) == ("Obstacles", "obstacle", "O3", "width")


def test_a_place_whose_thing_went_is_settled_on_something_that_is_there():
    session = begun()
    session.go_to("cabinet", "B3", "width")
    session.add_next()
    session.undo()
    assert session.row_index is not None
    session.go_to("cabinet", "B3", "lip")
    session.go(OBSTACLES)
    session.go_to("wall", "B", "length")
    session.remove_here()
    session.go(OBSTACLES)
    session.go(ROOMS)
    assert session.row_index is not None


def test_a_bars_row_informs_and_is_never_stood_on():
    session = begun()
    session.go(RUNS)
    for _ in range(len(session.rows)):
        session.move_row(1)
        assert session.place.kind == "run"
    assert session.place.id == "R4"


def test_down_the_list_keeps_the_field_where_the_next_form_has_it():
    session = begun()
    session.go_to("cabinet", "A1", "bottom_height")
    session.move_row(1)
    assert at(session) == ("Rooms", "cabinet", "A2", "bottom_height")
    session.move_row(2)
    assert at(session) == ("Rooms", "wall", "B", "length")


TYPED = st.sampled_from(
    ["600", "0", "34 5/8 in", "883?", "", "x", "564; 563", "A1", "A1 A2", "[/]", "9999999", "2",
     "front", "none", "Pantry"]
)  # fmt: skip
MOVES = st.one_of(
    st.tuples(st.just("go"), st.sampled_from(STEPS)),
    st.tuples(st.just("move_row"), st.integers(-3, 3)),
    st.tuples(st.just("move_field"), st.sampled_from([-1, 1])),
    st.tuples(st.just("type"), TYPED),
    st.tuples(st.just("turn"), st.integers(0, 20)),
    st.tuples(st.just("accept"), st.none()),
    st.tuples(
        st.sampled_from(
            ["add_next", "add_next", "add_above", "remove_here", "propose", "undo", "redo",
             "revert"]
        ),
        st.none(),
    ),
)  # fmt: skip


def act(session: Session, name: str, how: object) -> None:
    """Do what a key does: nothing moves on from a field that cannot be read."""
    if name == "turn":
        offered = session.form.choices()
        if offered and session.form.question and session.form.question.shape == "choice":
            session.choose(offered[how % len(offered)])  # type: ignore[operator]
    elif name in ("type", "revert", "undo", "accept"):
        getattr(session, name)(*() if how is None else (how,))
    elif session.accept():
        with suppress(Refusal):
            getattr(session, name)(*() if how is None else (how,))


@pytest.mark.property
@examples(60)
@given(st.sampled_from([Job(), read_example("kitchen"), one_bar()]), st.lists(MOVES, max_size=25))
def test_whatever_keys_are_pressed_the_job_is_sound_and_undo_leads_back(job, moves):
    session = begun(job)
    for name, how in moves:
        act(session, name, how)
        assert read_job(job_text(session.job).encode(), "job.toml") == session.job
        assert session.plan.job == session.job
        assert session.row_index is not None or not session.form.fields
        if session.form.fields:
            assert session.place.field in session.form.fields
    session.revert()
    last = session.job
    back = 0
    while session.can_undo:
        session.undo()
        back += 1
    assert session.job == job
    assert not session.dirty
    for _ in range(back):
        session.redo()
    assert session.job == last


def test_the_walk_back_is_as_long_as_a_days_work():
    session = begun()
    session.go_to("cabinet", "A1", "lip")
    for lip in range(150):
        assert enter(session, str(lip))
    for _ in range(150):
        session.undo()
    assert session.job.find("cabinet", "A1").lip == Decimal(20)
