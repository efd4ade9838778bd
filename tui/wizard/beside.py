"""Work beside the event loop: done step by step in a thread, while keys are taken."""

import asyncio
from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Final, TypeVar

T = TypeVar("T")
GROUP: Final = "beside"
"""What such work is called among what a screen runs."""
_END: Final = object()
_PAINTED_BY: Final = 0.1  # seconds


async def done_beside(
    painted: asyncio.Event,
    steps: Iterator[T],
    take: Callable[[T], bool],
    then: Callable[[], None],
) -> None:
    """Hand over what each step gives, until none is left or no more is wanted; then go on.

    The steps are done in a thread, one after another; what is handed over is so on the event loop.
    They begin when the screen is painted, which a thread at work would slow down. A dialog that
    closes just then takes word of that along, so it is not waited for without end.
    """
    with suppress(TimeoutError):
        await asyncio.wait_for(painted.wait(), _PAINTED_BY)
    while True:
        given = await asyncio.to_thread(next, steps, _END)
        if given is _END or not take(given):  # type: ignore[arg-type]
            break
    then()
