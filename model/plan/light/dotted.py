"""How far the dots of a strip show on what covers it."""

from functools import lru_cache
from typing import Final

from pelmet.model.job.parts import Channel, Diffuser, Strip
from pelmet.model.plan.bars.fitting import REMEMBERED
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.light.photometry.dots import dot_modulation

# What a channel's back, strip, LEDs and diffuser take of its depth: an estimate [mm].
_DEPTH_TAKEN: Final = 3.0


@works_out("dots")
@lru_cache(maxsize=REMEMBERED)
def dot_percent(pitch: float, distance: float, spread: float) -> float:
    """Give how uneven a diffuser is from LED to LED [%], by the LEDs' pitch and distance [mm].

    What it does not spread, of so much that it does [%], comes straight from the LEDs.
    """
    return spread * dot_modulation(pitch, distance) + (100 - spread) * dot_modulation(pitch, 0.0)


@works_out("depth to diffuser")
def depth_to_diffuser(depth: float) -> float:
    """Give how far the LEDs are from the diffuser of a channel so deep [mm]."""
    return max(depth - _DEPTH_TAKEN, 0.0)


def dots_of(run: str, strip: Strip, channel: Channel, diffuser: Diffuser) -> Figure:
    """Give how uneven the diffuser is from LED to LED; a clear cover spreads nothing."""
    pitch = given("pitch", strip.pitch, "mm", "part", strip.id)
    if diffuser.clear:
        distance = given("LEDs to diffuser", 0, "mm", "part", diffuser.id)
    elif channel.diffuser_distance is not None:
        distance = given("LEDs to diffuser", channel.diffuser_distance, "mm", "part", channel.id)
    else:
        depth = given("channel depth", channel.depth, "mm", "part", channel.id)
        distance = derived("LEDs to diffuser", "mm", depth_to_diffuser, channel.id, depth)
    share = 0 if diffuser.clear else diffuser.spread_percent
    spread = given("spread by the cover", share, "%", "part", diffuser.id)
    return derived("dots", "%", dot_percent, run, pitch, distance, spread)
