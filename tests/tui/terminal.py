"""A program in a terminal of its own, whose window can be closed."""

import fcntl
import os
import pty
import select
import subprocess
import sys
import termios
from collections.abc import Callable


class Terminal:
    """Python on these words, the program that it runs, and all that it has written.

    Unless it ``hears``, the system does not tell the program when its window is closed.
    """

    def __init__(self, *words: str, columns: int = 80, lines: int = 24, hears: bool = True) -> None:
        self.near, far = pty.openpty()
        self.said = b""
        self.process = subprocess.Popen(
            [sys.executable, *words],
            stdin=far, stdout=far, stderr=far, start_new_session=True,
            preexec_fn=_own_terminal if hears else None,  # noqa: PLW1509 - nothing else runs while it forks
            env={
                **os.environ, "TERM": "xterm-256color",
                "LINES": str(lines), "COLUMNS": str(columns),
            },
        )  # fmt: skip
        os.close(far)

    def type(self, keys: str) -> None:
        """Send keys in one piece."""
        os.write(self.near, keys.encode())

    def until(self, seen: Callable[[], bool]) -> None:
        """Read until this is so, however long it takes; fail if the program ends before."""
        while not seen():
            if not self._read():
                self.process.wait()
                assert seen(), self.said[-2000:]

    def shows(self, text: str) -> None:
        """Read until the program has written this."""
        self.until(lambda: text.encode() in self.said)

    def ended(self) -> int:
        """Read all that is still written and give the exit code."""
        while self._read():
            pass
        return self.process.wait()

    def end(self) -> None:
        """Kill the program and close its window."""
        self.process.kill()
        self.process.wait()
        os.close(self.near)

    def _read(self) -> bool:
        """Read what there is, if anything; tell whether more may come."""
        if not select.select([self.near], [], [], 0.05)[0]:
            return True
        try:
            more = os.read(self.near, 65536)
        except OSError:  # its end is closed
            more = b""
        self.said += more
        return bool(more)


def _own_terminal() -> None:
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)  # so that closing it is told to the program
