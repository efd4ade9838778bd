"""Whether the process that wrote a file still runs."""

# Processes are asked for half a second after the first paint, which must not wait for it.
_HUNDREDTHS = 100
# Where a system counts from the clock, when it began shifts a little as the clock is put right.
_SHIFT = 2 * _HUNDREDTHS


def start_mark(pid: int) -> str:
    """Give a mark that tells a process from a later one of the same number; "0" if it has ended.

    It is when the process began, in hundredths of a second after the system did: nobody sets that
    like a clock.
    """
    began = _began(pid)
    return "0" if began is None else str(began)


def is_running(pid: int, mark: str) -> bool:
    """Tell whether the process of this number and mark still runs."""
    began = _began(pid)
    return began is not None and mark.isdecimal() and abs(began - int(mark)) <= _SHIFT


def _began(pid: int) -> int | None:
    """Give when a process began; nothing of one that ended, even if its parent buries it later."""
    import psutil

    if not 0 < pid < 2**31:
        return None
    try:
        process = psutil.Process(pid)
        if process.status() == psutil.STATUS_ZOMBIE:
            return None
        return round((process.create_time() - psutil.boot_time()) * _HUNDREDTHS)
    except psutil.Error:
        return None
