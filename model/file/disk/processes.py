"""Whether the process that wrote a file still runs."""

import os
from pathlib import Path

# Fields of /proc/PID/stat after the process name, from 0 (Linux, proc_pid_stat(5): 3 and 22).
_STATE, _START_TIME = 0, 19
_ENDED = ("Z", "X")  # killed, but not yet buried by its parent


def start_mark(pid: int) -> str:
    """Give a mark that tells a process from a later one of the same number; "0" if none is known.

    It is the start time in clock ticks, which Linux gives.
    """
    fields = _stat(pid)
    return fields[_START_TIME] if fields else "0"


def is_running(pid: int, mark: str) -> bool:
    """Tell whether the process of this number and mark still runs.

    Where the system gives no mark, any process of the number counts. On Windows a process cannot
    be asked without ending it, so there none counts as running.
    """
    if os.name == "nt" or not 0 < pid < 2**31:
        return False
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        pass  # it runs, as somebody else
    fields = _stat(pid)
    return not fields or (fields[_STATE] not in _ENDED and fields[_START_TIME] == mark)


def _stat(pid: int) -> list[str]:
    try:
        text = Path(f"/proc/{pid}/stat").read_text("ascii", errors="replace")
    except OSError:
        return []
    fields = text.rpartition(")")[2].split()  # the name may hold spaces and brackets
    return fields if len(fields) > _START_TIME else []
