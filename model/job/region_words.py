"""What things of the trade are called in each region: one table, of which everything is told.

What a file holds, such as ``hob zone``, is the same everywhere: only what it is called is not.
The words are common practice; the rules of a region have their own (``rules.toml``).
"""

from typing import Final, NamedTuple

from pelmet.model.job.rules import Region


class RegionWords(NamedTuple):
    """The words of one region, in small letters; a text names them as ``{worktop}``."""

    worktop: str = "worktop"
    splashback: str = "splashback"
    hob: str = "hob"
    plinth: str = "plinth"
    carcass: str = "carcass"
    pelmet: str = "pelmet"
    mains: str = "mains"
    of_mains: str = "mains"  # before another word
    mains_dimmer: str = "mains dimmer"
    earth: str = "earth"
    live: str = "live"
    isolator: str = "isolator"
    an_isolator: str = "an isolator"
    socket: str = "socket"
    plugged: str = "a socket outlet"  # what is brought for a plug
    wired: str = "a junction box"  # and for fixed wiring
    tax: str = "VAT"
    first_fix: str = "first fix"
    second_fix: str = "second fix"
    fitter: str = "fitter"
    plaster: str = "plaster"
    licence: str = "licence"
    lift: str = "lift"
    colour: str = "colour"
    aluminium: str = "aluminium"
    metre: str = "metre"

    def said(self, text: str, **others: str) -> str:
        """Fill the words into a text that names them, as ``{worktop}`` or ``{Worktop}``."""
        if "{" not in text:
            return text
        words = self._asdict()
        first = {_first(name): _first(word) for name, word in words.items()}
        return text.format_map(words | first | others)

    def value(self, value: str) -> str:
        """Say what a choice of a job means here: ``hob zone`` is a ``cooktop zone``."""
        return self.said(_VALUES[value]) if value in _VALUES else value


def _first(word: str) -> str:
    return word[:1].upper() + word[1:]


# Choices of a job, and of its price book, that are called otherwise somewhere.
_VALUES: Final = {
    "worktop": "{worktop}",
    "hob zone": "{hob} zone",
    "socket": "{socket}",
    "in plinth": "in {plinth}",
    "mains": "{of_mains}",
    "earth": "{earth}",
    "live": "{live}",
    "first fix": "{first_fix}",
    "second fix": "{second_fix}",
    "fitter": "{fitter}",
}
_WORDS: Final[dict[Region, RegionWords]] = {
    "eu": RegionWords(),
    "uk": RegionWords(wired="a fused connection unit"),
    "us": RegionWords(
        worktop="counter",
        splashback="backsplash",
        hob="cooktop",
        plinth="toe kick",
        carcass="cabinet box",
        pelmet="valance",
        mains="line voltage",
        of_mains="line-voltage",
        mains_dimmer="line dimmer",
        earth="ground",
        live="hot",
        isolator="disconnect",
        an_isolator="a disconnect",
        socket="receptacle",
        plugged="a receptacle",
        tax="sales tax",
        first_fix="rough-in",
        second_fix="finish",
        fitter="installer",
        plaster="drywall",
        licence="license",
        lift="elevator",
        colour="color",
        aluminium="aluminum",
        metre="meter",
    ),
}


def words_of(region: Region) -> RegionWords:
    """Give the words of a region."""
    return _WORDS[region]
