"""What a person is told when something cannot be done: one family for files, forms, commands.

Below all else, and of the standard library alone: the command line has it before it loads anything.
"""

SHOWN_CHARACTERS = 60
SHOWN_PATH = 200  # characters of a file with its folders


class Refusal(Exception):  # noqa: N818 - it is an answer to a person, not a fault
    """Something that cannot be taken or done; all is as it was before it was asked for.

    ``reason`` says why, ``place`` what it is about (a file with its line, a field, a piece),
    ``remedy`` what a person can do. The last two may be empty, and none ends in a full stop.
    """

    def __init__(self, reason: str, place: str = "", remedy: str = "") -> None:
        super().__init__(reason, place, remedy)
        self.reason = reason
        self.place = place
        self.remedy = remedy

    def __str__(self) -> str:
        return refusal_text(self, self.place)


def refusal_text(refusal: Refusal, place: str | None = None) -> str:
    """Tell a person what is refused, why, and what to do: all that is shown of it is made here.

    ``place`` says otherwise what it is about; "" where a person sees that anyway.

    >>> refusal_text(Refusal("there is no such file", "kitchen.toml", "check the name"))
    'kitchen.toml: there is no such file; check the name'
    """
    if place is None:
        return str(refusal)
    says = joined(refusal.reason, refusal.remedy)
    return f"{place}: {says}" if place else says


def joined(reason: str, remedy: str) -> str:
    """Say why, and then what to do if anything can be."""
    return f"{reason}; {remedy}" if remedy else reason


def escaped(text: str, limit: int = SHOWN_CHARACTERS) -> str:
    r"""Cut to ``limit`` characters, with all that a terminal might obey spelt out.

    >>> escaped("red \x1b[31m")
    'red \\x1b[31m'
    """
    shown = "".join(
        letter if letter.isprintable() else letter.encode("unicode_escape").decode("ascii")
        for letter in text[:limit]
    )
    return shown if len(text) <= limit else shown + "..."
