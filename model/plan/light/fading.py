"""Light lost along a strip, and the step in light where two bars meet in one line.

At the volts that a job is planned with, as shares of what the strip gives at its rated volts.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import groupby, pairwise
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.dc.elements import Solution, StripFlow
from pelmet.model.plan.circuit.dc.elements import Strip as Stretch
from pelmet.model.plan.circuit.dc.law import light_share
from pelmet.model.plan.circuit.leg_network import LegNetwork
from pelmet.model.plan.circuit.legs import BarVolts, Circuits
from pelmet.model.plan.figure import Figure, derived, derived_exactly, given, read_off
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.mounting.mounts import Mount

# Two runs are seen as one line of light when they hang this level and this far out, and no more
# than this is between them [mm]: common practice.
LEVEL_MM: Final = 1.0
APART_MM: Final = 1000.0
_PERCENT: Final = 100


class BarLight(NamedTuple):
    """Light of a bar, in percent of what its strip gives at rated volts.

    ``left``, ``right`` and, if it is fed there, ``middle`` are at those points, ``faintest``
    where its volts are lowest; ``lost`` is from its brightest point to its faintest, in percent
    of the brightest. ``stretches`` are its strip as it was solved.
    """

    bar: str
    left: Figure
    right: Figure
    middle: Figure | None
    faintest: Figure
    lost: Figure
    stretches: tuple[tuple[Stretch, StripFlow], ...]

    @property
    def mean(self) -> Figure:
        """Mean light over all of it [%]."""
        value = mean_light(self.stretches, _value(self.faintest.inputs[0]))
        return read_off("mean light", value, "%", "mean light", self.bar, *self.lost.inputs)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All figures of it, each once."""
        points = (self.left, self.middle, self.right, self.faintest)
        found = {id(figure): figure for figure in points if figure}
        return (*found.values(), self.mean, self.lost)


class LightStep(NamedTuple):
    """Two bars that meet in one line, and by how much the light of their facing ends differs.

    ``step`` is in percent of the brighter end.
    """

    left_bar: str
    right_bar: str
    step: Figure


class Fadings(NamedTuple):
    """The light of every bar that is fed, and the steps between neighbours."""

    bars: tuple[BarLight, ...]
    steps: tuple[LightStep, ...]


def fade_bars(
    parts: Catalogue, fits: Sequence[RunFit], mounts: Sequence[Mount], circuits: Circuits
) -> Fadings:
    """Work out the light along every bar, and the steps from bar to bar in one line."""
    lights: dict[str, BarLight] = {}
    for leg in circuits.legs:
        if leg.operating_point:
            stretches = {one.id: one for one in leg.operating_point.network.elements.strips}
            strips = _StripLight(*leg.operating_point, stretches, {})
            # A run that two legs feed has its bars in both.
            lights.update((volts.bar, strips.light(volts)) for volts in leg.bars)
    steps = tuple(_steps(parts, fits, {mount.bar: mount for mount in mounts}, lights))
    return Fadings(tuple(lights.values()), steps)


class _StripLight(NamedTuple):
    """Strips of a solved network, and what each kind of strip gives its light at."""

    network: LegNetwork
    solution: Solution
    stretches: Mapping[str, Stretch]
    sheets: dict[str, tuple[Figure, ...]]

    def light(self, volts: BarVolts) -> BarLight:
        bar_id = volts.bar
        names = (bar_id,) if volts.middle is None else (f"{bar_id} to left", f"{bar_id} to right")
        law, sheet = self.stretches[names[0]].law, self._sheet(bar_id)

        def share(name: str, at: Figure) -> Figure:
            percent = _PERCENT * light_share(law, _value(at))
            return read_off(name, percent, "%", "light share", bar_id, at, *sheet)

        left, right = share("light at left", volts.left), share("light at right", volts.right)
        middle = share("light at middle", volts.middle) if volts.middle else None
        if volts.lowest is volts.left:
            faintest = left
        elif volts.lowest is volts.right:
            faintest = right
        else:
            faintest = share("faintest light", volts.lowest)
        brightest = max(left, right, middle or left, key=_value)
        return BarLight(
            bar_id,
            left,
            right,
            middle,
            faintest,
            derived("light lost", "%", light_lost, bar_id, brightest, faintest),
            tuple((self.stretches[name], self.solution.strips[name]) for name in names),
        )

    def _sheet(self, bar: str) -> tuple[Figure, ...]:
        """Give what a strip's data sheet says its light hangs on."""
        strip = self.network.strips[bar]
        if strip.id not in self.sheets:
            rated = given("rated volts", strip.volts, "V", "part", strip.id)
            needs = [
                given(name, value, "V", "part", strip.id)
                for name, value in (("LED volts", strip.led_volts), ("least", strip.dropout_volts))
                if value is not None
            ]
            self.sheets[strip.id] = (rated, *needs)
        return self.sheets[strip.id]


def mean_light(stretches: Sequence[tuple[Stretch, StripFlow]], lowest_volts: float) -> float:
    """Give the light of a strip as it was solved, over all of it [% of what its rated volts give].

    Light follows current, so what all of it draws says it; constant power holds its light.
    """
    law = stretches[0][0].law
    if law.kind == "constant-power":
        return _PERCENT * light_share(law, lowest_volts)
    drawn = sum(flow.start_amps + flow.end_amps for _, flow in stretches)
    rated = law.amps_per_metre * sum(stretch.metres for stretch, _ in stretches)
    return _PERCENT * (drawn / rated)


@works_out("light lost")
def light_lost(brightest: float, faintest: float) -> float:
    """Give how much fainter the one light is than the other [% of the brighter]."""
    return _PERCENT * (brightest - faintest) / brightest if brightest else 0.0


@works_out("light step")
def step_in_light(
    one: float, strip: Decimal, through: Decimal, other: float, others: Decimal, beside: Decimal
) -> float:
    """Give the step in light between two ends that meet [% of the brighter].

    Of each: its share of rated light [%], its strip's lm/m, and what its diffuser lets through [%].
    """
    ends = (one * float(strip * through), other * float(others * beside))
    return light_lost(max(ends), min(ends))


def _value(figure: Figure) -> float:
    return float(figure.value)


# Steps


def _steps(
    parts: Catalogue,
    fits: Sequence[RunFit],
    hung: Mapping[str, Mount],
    lights: Mapping[str, BarLight],
) -> Iterator[LightStep]:
    lumens = {
        fit.run.id: (
            given("strip", strip.lumens_per_metre, "lm/m", "part", strip.id),
            given("transmission", diffuser.transmission_percent, "%", "part", diffuser.id),
        )
        for fit in fits
        if (strip := find_part(parts.strips, fit.run.strip))
        and (diffuser := find_part(parts.diffusers, fit.run.diffuser))
    }
    for left, right in neighbours(fits, hung):
        if left.id not in lights or right.id not in lights:
            continue
        if left.run not in lumens or right.run not in lumens:
            continue
        one, other = lights[left.id].right, lights[right.id].left
        inputs = (one, *lumens[left.run], other, *lumens[right.run])
        about = f"{left.id}-{right.id}"
        step = derived_exactly("light step", "%", step_in_light, about, *inputs)
        yield LightStep(left.id, right.id, step)


def neighbours(fits: Sequence[RunFit], hung: Mapping[str, Mount]) -> Iterator[tuple[Bar, Bar]]:
    """Give the bars that follow each other in one line of sight, the left or lower one first.

    Those are bars of one run on one wall or upright, and the last bar of a run with the first of
    the next one that hangs in its line.
    """
    stretches: list[tuple[Bar, Bar]] = []
    for fit in fits:
        for key, bars in groupby(fit.bars, _place):
            own = list(bars)
            yield from pairwise(own)
            if not key[1]:
                stretches.append((own[0], own[-1]))
    for _, last in stretches:
        after = [
            first
            for first, _ in stretches
            if first.wall == last.wall
            and first.run != last.run
            and 0 <= float(first.left - last.right) <= APART_MM
            and _in_line(hung[last.id], hung[first.id])
        ]
        if after:
            yield last, min(after, key=lambda bar: bar.left)


def _place(bar: Bar) -> tuple[str, str]:
    """Give the wall a bar is at, and the upright if it stands on one."""
    return bar.wall, bar.opening.shallowest if bar.upright else ""


def _in_line(one: Mount, other: Mount) -> bool:
    return (
        abs(_value(one.height) - _value(other.height)) <= LEVEL_MM
        and abs(_value(one.from_wall) - _value(other.from_wall)) <= LEVEL_MM
    )
