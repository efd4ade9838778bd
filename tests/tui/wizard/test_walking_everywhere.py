"""Everywhere there is to walk to on a drawing, by the very object the wizard asks; no screen."""

from collections.abc import Iterator
from copy import copy
from functools import cache
from itertools import product

import pytest
from textual.events import Key
from textual.geometry import Size

from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.tui.panes.drawings import DRAWINGS, spots
from pelmet.tui.session.session import Session
from pelmet.tui.wizard.walking import Walking

ARROWS = ("left", "right", "up", "down")


class NoScreen:
    """What walking asks of a wizard."""

    def __init__(self, job: Job, size: tuple[int, int]) -> None:
        self.session = Session(job, Catalogue())
        self.size, self.said = Size(*size), ""

    def plan_size(self) -> Size:
        return self.size

    def say(self, message: str, _: str) -> None:
        self.said = message

    def refresh_panes(self) -> None: ...

    def load(self) -> None: ...

    def show_form(self) -> None: ...


class Walker:
    """One who walks a drawing, and can be in many places at once."""

    def __init__(self, job: Job, drawing: str, size: tuple[int, int]) -> None:
        self.size = size
        self.ways: dict[tuple[object, ...], dict[str, tuple[object, ...]]] = {}
        self.states: dict[tuple[object, ...], Walking] = {}
        begun = Walking(NoScreen(job, size))
        begun.begin()
        while begun.drawing != drawing:
            begun.turn()
        self.first = begun
        self._walk(begun)

    def _walk(self, begun: Walking) -> None:
        ahead = [begun]
        while ahead:
            state = ahead.pop()
            self.states[self._name(state)] = state
            ways = self.ways[self._name(state)] = {}
            for arrow in ARROWS:
                gone = copy(state)
                assert gone.take(Key(arrow, None))
                ways[arrow] = self._name(gone)
                if self._name(gone) not in self.ways:
                    self.ways[self._name(gone)] = {}
                    ahead.append(gone)

    @staticmethod
    def _name(state: Walking) -> tuple[object, ...]:
        return tuple(value for name, value in sorted(vars(state).items()) if name != "_wizard")

    def page(self, name: tuple[object, ...]) -> str:
        """Give the title of what is drawn: one room, one wall, one section."""
        return self.states[name].draw(*self.size).rows[0].replace(">", "").replace("<", "")

    def unseen(self) -> set[str]:
        """Give the things that are walked to and then not marked on the drawing."""
        return {
            state.focus
            for state in self.states.values()
            if state.focus
            and not any(
                span.about == state.focus and span.role == "focus"
                for span in state.draw(*self.size).spans
            )
        }

    def rounds(self, arrow: str) -> Iterator[list[str]]:
        """Give the ways on which one arrow comes back to where it was, on one and the same page."""
        for name in self.ways:
            came = [name]
            while (there := self.ways[came[-1]][arrow]) not in came:
                came.append(there)
            ring = came[came.index(there) :]
            if len(ring) > 1 and len({self.page(each) for each in ring}) == 1:
                yield [self.states[each].focus or "" for each in ring]


# What the wizard has for a drawing in windows of 80 by 24, 100 by 30 and 120 by 40: each drawing of
# one example in two of them, and in the third that of the other, which has one room more.
PANES = [(80, 16), (50, 22), (70, 32)]
WALKS = [
    ("kitchen-with-pantry" if pane == drawing else "kitchen", DRAWINGS[drawing], PANES[pane])
    for drawing, pane in product(range(len(DRAWINGS)), range(len(PANES)))
]
walks = pytest.mark.parametrize(("name", "drawing", "pane"), WALKS, ids=str)


@cache
def everywhere(name: str, drawing: str, pane: tuple[int, int]) -> Walker:
    """Walk all over a drawing of an example, once for all that is asked about it."""
    return Walker(read_example(name), drawing, pane)


@walks
def test_what_one_walks_to_is_marked_on_the_drawing(name, drawing, pane):
    walker = everywhere(name, drawing, pane)
    assert len(walker.states) > 2
    assert walker.unseen() == set()


@walks
def test_all_that_is_to_be_seen_can_be_walked_to(name, drawing, pane):
    walker = everywhere(name, drawing, pane)
    seen = set(spots(walker.first.draw(*pane).spans))
    assert seen - {state.focus for state in walker.states.values()} == set()


@walks
def test_an_arrow_held_down_goes_round_on_no_drawing(name, drawing, pane):
    walker = everywhere(name, drawing, pane)
    assert {arrow: list(walker.rounds(arrow)) for arrow in ARROWS} == {
        arrow: [] for arrow in ARROWS
    }
