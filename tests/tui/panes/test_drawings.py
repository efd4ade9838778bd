"""Where things are on a drawing, and which is beside which: no terminal here."""

from collections.abc import Callable

import numpy as np
import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, built, one_bar
from scipy.sparse.csgraph import connected_components

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.drawings.drawing import Drawing, Span
from pelmet.tui.panes.drawings import DRAWINGS, make_drawing, spots, thing_beside
from pelmet.tui.wizard.walking import words_for

ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}
BACK = {"left": "right", "right": "left", "up": "down", "down": "up"}
# What the wizard has for a drawing in windows of 80 by 24, 100 by 30 and 120 by 40.
SIZES = [(80, 16), (50, 22), (70, 32)]
EXAMPLES = ("kitchen", "kitchen-with-pantry")
sizes = pytest.mark.parametrize("size", SIZES, ids=[f"{each[0]}x{each[1]}" for each in SIZES])
of_each = pytest.mark.parametrize("name", EXAMPLES)
drawings = pytest.mark.parametrize("drawing", DRAWINGS)


def made_up(*spans: Span) -> Drawing:
    """Make a drawing of which only the spans matter."""
    return Drawing((), spans)


def grid(columns: int, rows: int, across: int, down: int) -> Drawing:
    """Make things in a grid, named by row and column; two columns wide, one row high."""
    return made_up(
        *(
            Span(row * down, column * across, column * across + 2, "cabinet", f"{row} {column}")
            for row in range(rows)
            for column in range(columns)
        )
    )


def pressed(drawing: Drawing, here: str, *arrows: str) -> str:
    """Give where some arrows lead."""
    for arrow in arrows:
        here = thing_beside(drawing, here, *ARROWS[arrow])
    return here


# Where things are


def test_a_thing_is_in_the_middle_of_its_marks_and_a_row_counts_as_two_columns():
    found = spots(
        [
            Span(2, 10, 14, "cabinet", "A1"),
            Span(4, 10, 14, "cabinet", "A1"),
            Span(0, 0, 5, "scale"),
            Span(3, 20, 21, "hole", "H1"),
        ]
    )
    assert dict(found) == {"A1": (12, 6), "H1": (20.5, 6)}


def test_marks_of_nothing_are_no_place():
    assert spots([Span(0, 0, 9, "key"), Span(1, 0, 9, "scale")]) == {}


# Which is beside which


GRIDS = st.builds(grid, st.integers(1, 7), st.integers(1, 7), st.integers(2, 20), st.integers(1, 8))


@pytest.mark.property
@given(GRIDS)
def test_on_a_grid_each_arrow_goes_one_on_and_its_opposite_back(drawing):
    names = set(spots(drawing.spans))
    for name in names:
        row, column = map(int, name.split())
        for arrow, (across, down) in ARROWS.items():
            wanted = f"{row + down} {column + across}"
            reached = pressed(drawing, name, arrow)
            assert reached == (wanted if wanted in names else name)
            if reached != name:
                assert pressed(drawing, reached, BACK[arrow]) == name


@st.composite
def any_spans(draw: Callable[..., int]) -> Drawing:
    """Make a drawing of up to twelve things, each with one to four marks anywhere."""
    place, spans = st.integers(0, 30), []
    for at in range(draw(st.integers(0, 12))):
        for _ in range(draw(st.integers(1, 4))):
            start = draw(place)
            spans.append(Span(draw(place), start, start + draw(st.integers(1, 9)), "run", f"T{at}"))
    return made_up(*spans)


@pytest.mark.property
@given(any_spans(), st.sampled_from(["T0", "T5", "", "nowhere"]), st.sampled_from([*ARROWS]))
def test_an_arrow_never_leaves_the_drawing_and_never_goes_the_other_way(drawing, here, arrow):
    found = spots(drawing.spans)
    reached = pressed(drawing, here, arrow)
    if not found:
        assert reached == here
    elif here not in found:
        assert reached == next(iter(found))
    elif reached != here:
        across, down = ARROWS[arrow]
        gone = found[reached].across - found[here].across, found[reached].down - found[here].down
        assert gone[0] * across + gone[1] * down > 0
    else:
        others = ((spot.across, spot.down) for spot in found.values())
        across, down = ARROWS[arrow]
        furthest = found[here].across * across + found[here].down * down
        assert all(one * across + other * down <= furthest for one, other in others)


@pytest.mark.property
@given(any_spans(), st.sampled_from([*ARROWS]))
def test_one_arrow_held_down_comes_to_an_end(drawing, arrow):
    found = spots(drawing.spans)
    for name in found:
        end = pressed(drawing, name, *[arrow] * len(found))
        assert pressed(drawing, end, arrow) == end


def test_what_is_straight_ahead_is_gone_to_before_what_is_aside():
    drawing = made_up(
        Span(0, 0, 2, "cabinet", "here"),
        Span(1, 8, 10, "cabinet", "aside"),
        Span(0, 10, 12, "cabinet", "ahead"),
    )
    assert pressed(drawing, "here", "right") == "ahead"
    assert pressed(drawing, "here", "down") == "aside"
    assert pressed(drawing, "here", "left") == "here"


# The drawings of a job


def strongly_connected(ways: dict[str, set[str]]) -> bool:
    """Tell, by another library's word, whether from each one can come to every other."""
    names = [*ways]
    matrix = np.array([[other in ways[one] for other in names] for one in names])
    count, _ = connected_components(matrix, directed=True, connection="strong")
    return count <= 1


@pytest.mark.cross_check
@sizes
@of_each
@pytest.mark.parametrize("drawing", ["plan", "elevation"])
def test_on_a_drawing_that_stays_as_it_is_each_thing_is_reached_from_every_other(
    name, drawing, size
):
    plan = plan_job(read_example(name))
    still = make_drawing(plan, drawing, *size, None)
    ways = {one: {pressed(still, one, arrow) for arrow in ARROWS} for one in spots(still.spans)}
    assert len(ways) > 10
    assert strongly_connected(ways)


def test_a_thing_is_told_by_what_it_is_and_whose():
    plan = plan_job(read_example("kitchen"))
    assert words_for(plan, "A1") == "A1: wall cabinet"
    assert words_for(plan, "B3") == "B3: shelf"
    assert words_for(plan, "O2") == "O2: stile"
    assert words_for(plan, "S1") == "S1: supply"
    assert words_for(plan, "R2.1") == "R2.1, of run R2"
    cable = plan.routes.cables[0]
    assert words_for(plan, cable.id).startswith(f"{cable.label}, ")
    assert words_for(plan, cable.id).endswith(" mm")


def test_a_hole_is_told_by_its_bit_what_it_goes_through_and_its_cables():
    plan = plan_job(read_example("kitchen"))
    kinds = {obstacle.id: obstacle.kind for obstacle in plan.job.obstacles}
    assert {hole.panel for hole in plan.holes} == {"floor", "top", "obstacle"}
    for hole in plan.holes:
        words = words_for(plan, hole.id)
        assert words.startswith(f"{hole.id}: {hole.diameter.value} ")
        assert hole.owner in words
        assert words.endswith(f"for {' '.join(hole.cables)}")
        # A fitter sees a stile there, and no obstacle.
        assert kinds.get(hole.owner, hole.panel) in words


@drawings
@pytest.mark.parametrize("job", [Job(), built({}), one_bar()], ids=["new", "empty", "one bar"])
def test_a_drawing_fits_its_pane_however_small(job, drawing):
    plan = plan_job(job)
    for width, height in ((0, 0), (1, 1), (20, 5), (60, 10), (200, 60)):
        made = make_drawing(plan, drawing, width, height, "A1")
        assert len(made.rows) <= max(height, 5)
        assert all(len(row) <= max(width, 20) for row in made.rows)


@pytest.mark.property
@examples(25)
@given(any_job(), st.sampled_from(DRAWINGS), st.sampled_from(SIZES))
def test_all_that_any_job_draws_is_a_thing_with_a_form(job, drawing, size):
    plan = plan_job(job)
    made = make_drawing(plan, drawing, *size, None)
    for about in spots(made.spans):
        assert words_for(plan, about) != about
        assert words_for(plan, about).isprintable()
