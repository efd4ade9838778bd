"""How the light looks, in a client's words: dots, mirror image, sight from a seat, white, dimming.

Runs that look the same stand together.
"""

from collections.abc import Iterator
from math import ceil
from typing import Final

from pelmet.model.job.job import Site
from pelmet.model.job.parts import Strip
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.light.photometry.colour import evenly_mixed, rendering_words, white_name
from pelmet.model.plan.light.photometry.dimming import lightness, square_law_brightness
from pelmet.model.plan.light.seeing import FROM, HIDES, RunSight, is_practical
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import length_text, printed

_SEEN_DUV: Final = 0.003  # further from the locus a white is seen as pink or green: from memory
_LEVELS: Final = (50, 25, 10, 1)  # of full light, as a dimmer may be set [%]


def what_is_seen(plan: Plan) -> tuple[str, ...]:
    """Say what the eye meets, each sentence once with all the runs that it is true of."""
    runs: dict[str, list[str]] = {}
    for seen in plan.sights:
        for sentence in _of(seen, plan):
            runs.setdefault(sentence, []).append(seen.run)
    looks = (f"{' '.join(ids)}: {sentence}." for sentence, ids in runs.items())
    return (*looks, *dict.fromkeys(_together(plan)))


def _together(plan: Plan) -> Iterator[str]:
    for one in plan.sights:
        if one.beside:
            runs = (each.run for each in plan.sights if each.run in (one.run, *one.beside))
            yield f"{' '.join(runs)}: seen together, so of one batch."


def _of(seen: RunSight, plan: Plan) -> Iterator[str]:
    if seen.strip is None or seen.dots is None:
        yield "strip, channel or cover is not known yet, nor is how it looks"
        return
    site = plan.job.site
    yield _dots(seen.strip, seen, seen.dots, plan)
    if seen.image or seen.room.in_use == "worktop":
        yield _image(seen, site)
    yield from (f"the strip itself {words}" for words in _seats(seen, plan))
    yield white_words(seen.strip, f"{site.words.colour}s")


def _dots(strip: Strip, seen: RunSight, dots: Figure, plan: Plan) -> str:
    if not strip.pitch:
        return "one even line, without dots"
    uneven = f"{printed(dots, plan.job.site)} uneven from LED to LED"
    if seen.clear:
        return f"the cover is clear: each point of light shows, {uneven}"
    show = "points" if float(dots.value) > float(plan.job.allowances.visible_dots) else "no points"
    return f"{show} of light show through the cover, {uneven}"


def _image(seen: RunSight, site: Site) -> str:
    image, finish, top = seen.image, seen.room.worktop_finish, site.words.worktop
    if image is None:
        return f"no mirror image in the {top}, for who stands at it"
    at = f"{_length(image.at, site)} from the wall"
    if not image.sight.on_top:
        return f"no mirror image in the {top}: it would lie beyond it, {at}"
    if not image.sight.lit:
        return f"no mirror image in the {top}: the strip sends nothing to {at}"
    if not image.sight.past_lip:
        return f"no mirror image in the {top}: the lip hides it, {at}"
    bright = ""
    if image.contrast is not None:
        bright = f", {float(image.contrast.value):.1f} times as bright as the top itself"
    shows = {
        "matt": "the matt top shows no image of it, at most a blur {}",
        "satin": "a soft gleam of it lies on the satin top, {}",
        "polished": "the polished top mirrors it, {}",
    }
    return shows[finish].format(at) + bright


def _seats(seen: RunSight, plan: Plan) -> Iterator[str]:
    """Say what is seen from seats, once for those from which it is the same."""
    sides: dict[tuple[object, ...], list[str]] = {}
    for seat in seen.seats:
        same = seat.looked_in, seat.in_sight, seat.lip and seat.lip.value
        sides.setdefault(same, []).append(seat.side)
    first = {seat.side: seat for seat in seen.seats}
    for names in sides.values():
        seat = first[names[0]]
        where = f"from a seat {FROM[seat.looked_in]} {' '.join(names)}"
        if not seat.in_sight:
            yield f"cannot be seen {where}"
        elif seat.lip is None:
            yield f"can be looked into {where}; no lip hangs before it"
        elif is_practical(seat.lip, plan.job.allowances):
            deep = _length(seat.lip, plan.job.site)
            yield f"can be looked into {where}; {HIDES[seat.looked_in]} {deep} deep hides it"
        else:
            yield f"can be looked into {where}; no lip or panel of use hides it"


def _length(figure: Figure, site: Site) -> str:
    """Print a length to whole millimetres, rounded up: nobody sees finer, and a lip must do."""
    return length_text(ceil(figure.value), site)


def white_words(strip: Strip, colours: str) -> str:
    """Say what white a strip gives, and how it shows ``colours``, as they are called there."""
    if strip.channels > 1:
        white = _tunable(strip)
    else:
        white = f"{strip.kelvin} K, {white_name(strip.kelvin)} white"
    if strip.cri is None:
        return f"{white}; Ra not said: ask for it"
    red = "" if strip.r9 is None else f", R9 {strip.r9}"
    return f"{white}; Ra {strip.cri}{red}: {rendering_words(strip.cri, strip.r9, colours)}"


def _tunable(strip: Strip) -> str:
    if not strip.warm_kelvin or not strip.cool_kelvin:
        return f"tunable about {strip.kelvin} K: its data sheet has the ends"
    both = evenly_mixed(strip.warm_kelvin, strip.cool_kelvin)
    pink = f", Duv {both.duv:.3f}: pinker than a plain strip" if abs(both.duv) > _SEEN_DUV else ""
    return (
        f"tunable from {strip.warm_kelvin} to {strip.cool_kelvin} K; as much light of both gives "
        f"about {both.kelvin:.0f} K{pink}"
    )


def dimmed_words() -> str:
    """Say how bright dimmed light looks: by the square law of seeing, and by CIE lightness."""
    levels = ", ".join(
        f"{level} % like {square_law_brightness(level):.0f} % ({lightness(level):.0f} %)"
        for level in _LEVELS
    )
    return (
        f"Dimmed light looks brighter than it is: {levels} of the full light; as a whole lit room "
        "by the square law, in brackets beside full light by CIE lightness."
    )
