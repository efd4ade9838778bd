"""What spares a process time while it starts."""

import gc
import os

# Waste is looked for among the newest things after so many are made, and among older ones after so
# many looks. What is made here has hardly a ring in it, and goes by itself; to look through all the
# things of a large job takes longer than a key may.
_NEWEST = 2_000
_LOOKS = 500


def begin_start() -> None:
    """Spare the process what takes time as it starts and serves nothing here."""
    gc.disable()  # what is made while starting stays
    # numpy's linear algebra starts a thread for every core as it is loaded; nothing here uses them.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def end_start() -> None:
    """Look for waste from here on, among what is made from here on: what is there stays."""
    if not gc.isenabled():
        gc.freeze()
        gc.set_threshold(_NEWEST, _LOOKS)
        gc.enable()
