"""What the eye meets of each run, in words: dots, image in the top, sight from a seat, white."""

from collections.abc import Iterator
from decimal import Decimal
from math import ceil
from typing import Final

from pelmet.model.job.job import Site
from pelmet.model.job.parts import Strip
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.light.mirrored import Image
from pelmet.model.plan.light.photometry.colour import evenly_mixed, rendering_words, white_name
from pelmet.model.plan.light.photometry.dimming import lightness, square_law_brightness
from pelmet.model.plan.light.seeing import RunSeen
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import printed
from pelmet.model.told.words import labelled, wrapped

_INDENT: Final = 10
_SEEN_DUV: Final = 0.003  # further from the locus a white is seen as pink or green: from memory
_LEVELS: Final = (50, 25, 10, 1)  # of full light, as a dimmer may be set [%]


def seeing_list(plan: Plan) -> tuple[str, ...]:
    """Tell what the eye meets of every run, and what dim levels look like if there is a dimmer.

    Lines of at most 78 columns.
    """
    if not plan.seen:
        return ("no run",)
    lines: list[str] = []
    for seen in plan.seen:
        lines += wrapped(seen.run)
        for label, words in _of_run(seen, plan):
            lines += labelled(f"  {label}", words, _INDENT)
        lines.append("")
    if plan.controls.dimmers:
        lines += wrapped(dim_words(), rest="  ")
        return tuple(lines)
    return tuple(lines[:-1])


def dim_words() -> str:
    """Say what dimmed light looks like: by the square law, and by CIE lightness."""
    levels = ", ".join(
        f"{level} % of the light like {square_law_brightness(level):.0f} ({lightness(level):.0f})"
        for level in _LEVELS
    )
    return (
        f"Dimmed, of 100 for full, it looks: {levels}; as a whole lit room by the square law, in "
        "brackets beside full light by CIE lightness."
    )


def white_words(strip: Strip) -> str:
    """Say what white a strip gives, and how it shows colours."""
    if strip.channels > 1:
        white = _tunable(strip)
    else:
        white = f"{strip.kelvin} K, {white_name(strip.kelvin)} white"
    if strip.cri is None:
        return f"{white}; Ra not said: ask for it"
    red = "" if strip.r9 is None else f", R9 {strip.r9}"
    return f"{white}; Ra {strip.cri}{red}: {rendering_words(strip.cri, strip.r9)}"


def _tunable(strip: Strip) -> str:
    if not strip.warm_kelvin or not strip.cool_kelvin:
        return f"tunable about {strip.kelvin} K: its data sheet has the ends"
    both = evenly_mixed(strip.warm_kelvin, strip.cool_kelvin)
    pink = f", Duv {both.duv:.3f}: pinker than a plain strip" if abs(both.duv) > _SEEN_DUV else ""
    return (
        f"tunable from {strip.warm_kelvin} to {strip.cool_kelvin} K; as much light of both gives "
        f"about {both.kelvin:.0f} K{pink}"
    )


def _of_run(seen: RunSeen, plan: Plan) -> Iterator[tuple[str, str]]:
    """Give what the eye meets of one run, each with its label."""
    site, limit = plan.job.site, float(plan.job.allowances.visible_dots)
    if seen.strip is None or seen.dots is None:
        yield "parts", "strip, channel or diffuser not known"
        return
    yield "dots", _dots(seen, site, limit)
    yield "image", _image(seen, seen.image, site)
    if seen.sides:
        yield "seat", _seat(seen, site)
    yield "white", white_words(seen.strip)
    if seen.beside:
        yield "beside", f"{' '.join(seen.beside)}: seen together, so of one batch"


def _dots(seen: RunSeen, site: Site, limit: float) -> str:
    assert seen.strip is not None
    assert seen.dots is not None
    if not seen.strip.pitch:
        return "none: one line of phosphor"
    cover = ", the cover is clear" if seen.clear else ""
    found = "show" if float(seen.dots.value) > limit else "do not show"
    return f"{printed(seen.dots, site)} uneven from LED to LED{cover}: they {found}"


def _image(seen: RunSeen, image: Image | None, site: Site) -> str:
    if image is None:
        return "none for a standing eye"
    at = f"{_length(image.at, site)} from the wall"
    finish = seen.room.worktop_finish
    if not image.sight.on_top:
        return f"{at}, beyond the top: not seen"
    if not image.sight.lit:
        return f"{at}, where the strip sends nothing: not seen"
    if not image.sight.past_lip:
        return f"{at}, hidden by the lip"
    if image.contrast is None:
        return f"{at} in the {finish} top"
    return f"{at} in the {finish} top, {float(image.contrast.value):.1f} times the top's own light"


def _seat(seen: RunSeen, site: Site) -> str:
    across = " ".join(seen.sides)
    if not seen.in_sight:
        return f"hidden from a seat across {across}"
    if seen.hiding_lip is None:
        return f"in sight from a seat across {across}; no lip hangs before it"
    lip = _length(seen.hiding_lip, site)
    return f"in sight from a seat across {across}; a lip {lip} deep hides it"


def _length(figure: Figure, site: Site) -> str:
    """Print a length to whole millimetres, rounded up: nobody sees finer, and a lip must do."""
    return print_length(Decimal(ceil(figure.value)), site.length_unit, site.inch_parts)
