"""The exit codes; they are fixed. The worst of several is the highest of 0 to 3."""

from typing import Final

DONE: Final = 0
STOPPED: Final = 1
REFUSED: Final = 2
FAILED: Final = 3
INTERRUPTED: Final = 130
READER_GONE: Final = 141
