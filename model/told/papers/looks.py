"""How the light looks, in a client's words: dots, mirror image, sight from a seat, white, dimming.

Runs that look the same stand together.
"""

from collections.abc import Iterator
from typing import Final

from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.checks.seeing import AS_BRIGHT
from pelmet.model.plan.light.photometry.dimming import square_law_brightness
from pelmet.model.plan.light.seeing import RunSeen
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import millimetres
from pelmet.model.told.papers.switching import Switched, switched
from pelmet.model.told.seeing_list import white_words

_LEVELS: Final = (50, 25, 10)  # of full light, as a dimmer may be set [%]


def what_is_seen(plan: Plan) -> tuple[str, ...]:
    """Say what the eye meets, each sentence once with all the runs that it is true of."""
    runs: dict[str, list[str]] = {}
    for seen in plan.seen:
        for sentence in _of(seen, plan):
            runs.setdefault(sentence, []).append(seen.run)
    return tuple(f"{' '.join(ids)}: {sentence}." for sentence, ids in runs.items())


def _of(seen: RunSeen, plan: Plan) -> Iterator[str]:
    if seen.strip is None or seen.dots is None:
        yield "strip, channel or cover is not known yet, nor is how it looks"
        return
    yield _dots(seen, float(plan.job.allowances.visible_dots))
    yield _image(seen, plan)
    if seen.sides:
        across = " ".join(seen.sides)
        found = "can be looked into" if seen.in_sight else "cannot be seen"
        yield f"the strip itself {found} from a seat across {across}"
    yield white_words(seen.strip)


def _dots(seen: RunSeen, limit: float) -> str:
    assert seen.strip is not None
    assert seen.dots is not None
    if not seen.strip.pitch:
        return "one even line, without dots"
    if seen.clear:
        return "the cover is clear: each point of light shows"
    if float(seen.dots.value) > limit:
        return "points of light show through the cover"
    return "no points of light show through the cover"


def _image(seen: RunSeen, plan: Plan) -> str:
    image, finish = seen.image, seen.room.worktop_finish
    if image is None or not image.sight.seen or finish == "matt":
        return "no mirror image in the worktop, for who stands at it"
    site = plan.job.site
    at = print_length(millimetres(round(image.at.value)), site.length_unit, site.inch_parts)
    if finish == "satin":
        return f"a soft gleam of it lies on the satin top, {at} from the wall"
    contrast = None if image.contrast is None else float(image.contrast.value)
    bright = ", brighter than the top itself" if contrast and contrast > AS_BRIGHT else ""
    return f"the polished top mirrors it, {at} from the wall{bright}"


def switching_words(plan: Plan) -> tuple[str, ...]:
    """Say what is switched together, what dims it, and what dimmed light looks like."""
    found = switched(plan)
    words = tuple(map(_switching, found)) or ("Not settled: nothing is fed yet.",)
    return (*words, _dimmed()) if any(each.dimmers for each in found) else words


def _switching(each: Switched) -> str:
    runs = f" ({' '.join(each.runs)})" if each.runs else ""
    dimmed = f"dimmed by {', '.join(each.dimmers)}" if each.dimmers else "not dimmed"
    return f"{each.name}{runs}: switched by {each.by}, {dimmed}."


def _dimmed() -> str:
    """Say how bright dimmed light looks, by the square law of seeing."""
    levels = ", ".join(f"{each} % like {square_law_brightness(each):.0f} %" for each in _LEVELS)
    return f"Dimmed light looks brighter than it is: {levels} of the full light."
