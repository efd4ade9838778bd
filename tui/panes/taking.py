"""Keys taken one by one, each with its whole effect: over a slow line they come in heaps."""

from textual import events
from textual.message import Message


class Ready(Message):
    """A screen is shown, and keys can have their effect on it."""


class TakesKeys:
    """What a screen is that gives each key its whole effect itself; the app knows no more of it."""

    coming = False
    """Whether it is still to be shown, and to say that it is ready: keys wait for that."""

    async def take(self, event: events.Key | events.Paste) -> bool:  # noqa: ARG002
        """Act on a key; false for one that is no business of this screen."""
        return False
