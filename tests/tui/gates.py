"""Holding up what is worked out beside the keys, to see what they do meanwhile."""

from contextlib import contextmanager
from threading import Event


class Gate:
    """Holds up a function from a moment on until it is opened, and counts who came to it."""

    def __init__(self) -> None:
        self.way, self.came, self.with_what = Event(), 0, []
        self.way.set()

    def shut(self) -> None:
        self.way.clear()

    def open(self) -> None:
        self.way.set()

    def before(self, function):
        def gated(*given, **named):
            self.came += 1
            self.with_what.append(given)
            self.way.wait()
            return function(*given, **named)

        return gated


@contextmanager
def gate_before(monkeypatch, module, name):
    gate = Gate()
    monkeypatch.setattr(module, name, gate.before(getattr(module, name)))
    try:
        yield gate
    finally:
        gate.open()  # else its thread would never end


async def until_came(pilot, gate: Gate, count: int) -> None:
    while gate.came < count:
        await pilot.pause(0.01)
