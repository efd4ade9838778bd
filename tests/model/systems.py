"""Other systems, as far as this one can play them, each in a process of its own."""

import subprocess
import sys

# What others wrote is loaded as here; then the system changes, and our own modules load anew.
_PRELUDE = """
import errno, fcntl, signal, sys, types
from importlib import import_module
from pkgutil import walk_packages
import pelmet.model, pelmet.tui

MODULES = [
    each.name
    for package in (pelmet.model, pelmet.tui)
    for each in walk_packages(package.__path__, package.__name__ + ".")
    if not each.name.endswith("__main__")
]
for name in MODULES:
    import_module(name)
for name in MODULES:
    del sys.modules[name]
sys.platform = "{system}"
"""

# A locked byte of an open file, as Windows tells of one: by EACCES. Python's library reference,
# msvcrt.locking; the values are those of the C runtime's sys/locking.h.
_WINDOWS = """
def locking(handle, mode, count, flock=fcntl.flock):
    assert count == 1
    how = {msvcrt.LK_UNLCK: fcntl.LOCK_UN, msvcrt.LK_NBLCK: fcntl.LOCK_EX | fcntl.LOCK_NB}[mode]
    try:
        flock(handle, how)
    except BlockingIOError:
        raise PermissionError(errno.EACCES, "Permission denied") from None

msvcrt = types.ModuleType("msvcrt")
msvcrt.LK_UNLCK, msvcrt.LK_NBLCK, msvcrt.locking = 0, 2, locking
sys.modules["msvcrt"] = msvcrt
for name in ("fcntl", "grp", "pty", "pwd", "resource", "termios", "tty"):
    sys.modules[name] = None
del signal.SIGHUP
"""

_PLAYED = {"win32": _WINDOWS, "darwin": ""}


def run_on(system: str, code: str, *arguments: str) -> "subprocess.CompletedProcess[str]":
    """Run Python source where our modules find this system, "" for the one that it is.

    On another the source may use the names of our modules, MODULES.
    """
    played = _PRELUDE.format(system=system) + _PLAYED[system] if system else ""
    return subprocess.run(
        [sys.executable, "-c", played + code, *arguments],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
