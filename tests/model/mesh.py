"""A fine nodal mesh of a leg to compare with, and random legs: helpers of the tests of legs.

Every strip is cut into cells with a load at each end, and Kirchhoff's current law is solved as one
sparse linear system; its ohms come from tables retyped here, its tree from the job.
"""

import random
from decimal import Decimal
from itertools import accumulate, pairwise

import numpy as np
from jobs import Fields, built, part
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.result import Plan

CELLS = 2000
# IEC 60228 Table A.3, class 5 copper at 20 C [ohm/km], and ASTM B258 with 1/58 ohm mm2/m.
OHMS_PER_KM = {"flat-2x0.5": 39.0, "flat-2x0.75": 26.0, "round-2x1.0": 19.5, "round-2x1.5": 13.3}
GAUGES = {"pair-20": 20, "pair-18": 18, "pair-16": 16}


def one_core(cable: str, celsius: float = 20) -> float:
    """Give the ohms per metre of one core, with copper's 0.00393 per kelvin (IACS)."""
    if cable in GAUGES:
        diameter = 0.127 * 92 ** ((36 - GAUGES[cable]) / 39)
        cold = 1 / 58 / (np.pi / 4 * diameter**2)
        # NEC Chapter 9 Table 8, stranded at 75 C; that of 16 AWG from memory, 20 AWG as 18 AWG.
        table = {18: 7.95, 16: 4.99}
        per_kft = table.get(GAUGES[cable])
        cold = per_kft / 304.8 / (1 + 0.00393 * 55) if per_kft else cold * 7.95 / 7.77
    else:
        cold = OHMS_PER_KM[cable] / 1000
    return cold * (1 + 0.00393 * (celsius - 20))


class Nodal:
    """Kirchhoff's current law at every node; node 0 is held at the supply's volts."""

    def __init__(self, volts: float) -> None:
        self.nodes, self.volts = 1, volts
        self.near: list[np.ndarray] = []
        self.far: list[np.ndarray] = []
        self.siemens: list[np.ndarray] = []
        self.shunt: list[tuple[np.ndarray, np.ndarray, np.ndarray]] = []

    def cable(self, near: int, ohms: float) -> int:
        return self._chain(near, np.array([1 / ohms]))[-1]

    def strip(self, near: int, metres: float, row: Fields) -> int:
        """Add a strip from its data-sheet row; give the node at its far end."""
        each, ohms = metres / CELLS, float(row["ohms_per_metre"])
        taps = self._chain(near, np.full(CELLS, 1 / (ohms * each)))
        share = np.full(CELLS + 1, each)
        share[[0, -1]] /= 2
        amps = float(row["watts_per_metre"]) / float(row["volts"])
        if row["kind"] == "resistor-limited":
            over = float(row["volts"]) - float(row["led_volts"])
            slope, constant = amps / over, -amps / over * float(row["led_volts"])
        else:
            slope, constant = 0.0, amps
        self.shunt.append((taps, share * slope, share * constant))
        return int(taps[-1])

    def join(self, one: int, other: int, ohms: float = 1e-9) -> None:
        """Join two nodes: no ohms to speak of."""
        self.near.append(np.array([one]))
        self.far.append(np.array([other]))
        self.siemens.append(np.array([1 / ohms]))

    def _chain(self, near: int, siemens: np.ndarray) -> np.ndarray:
        far = np.arange(self.nodes, self.nodes + len(siemens))
        self.nodes += len(siemens)
        taps = np.concatenate([[near], far])
        self.near.append(taps[:-1])
        self.far.append(far)
        self.siemens.append(siemens)
        return taps

    def solve(self) -> np.ndarray:
        near, far = np.concatenate(self.near), np.concatenate(self.far)
        siemens = np.concatenate(self.siemens)
        rows = [near, far, near, far, *(taps for taps, _, _ in self.shunt)]
        columns = [near, far, far, near, *(taps for taps, _, _ in self.shunt)]
        values = [siemens, siemens, -siemens, -siemens, *(slope for _, slope, _ in self.shunt)]
        matrix = coo_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
        ).tocsc()
        right = np.zeros(self.nodes)
        for taps, _, constant in self.shunt:
            np.subtract.at(right, taps, constant)
        right -= matrix[:, [0]].toarray().ravel() * self.volts
        free = matrix[1:, 1:]
        return np.concatenate([[self.volts], spsolve(free, right[1:])])


CONTACT = 0.002  # ohms across one contact of the bundled, invented lever connectors


def nodal_ends(job: Job, plan: Plan, leg: str) -> tuple[dict[str, tuple[float, float]], float]:
    """Give the volts at both ends of each bar of a leg, and the leg's amps, by nodal solve."""
    bars, cables = nodal(job, plan, leg)
    first = {lead.id for lead in plan.routes.leads if lead.before is None}
    return bars, sum(amps for own, (_, amps) in cables.items() if own in first)


def nodal(
    job: Job, plan: Plan, leg: str
) -> tuple[dict[str, tuple[float, float]], dict[str, tuple[float, float]]]:
    """Solve a leg as a net of nodes: volts at the left and right end of each bar; at each cable's
    far end the volts, and the amps through it.

    Every wire that ends in a connector passes one contact of each pole there. Taken from the
    plan: the lengths of bars and cables, which other tests check.
    """
    (own,) = (one for one in job.legs if one.id == leg)
    core = one_core(own.cable, float(job.allowances.conductor_temperature))
    rows = {strip.id: strip.model_dump() for strip in plan.parts.strips}
    fits = {fit.run.id: fit for fit in plan.fits}

    def ohms(figure) -> float:
        return 2 * float(figure.value) / 1000 * core

    leads = [lead for lead in plan.routes.leads if lead.leg == leg]
    net = Nodal(24.0)
    busbars: dict[str | None, int] = {None: 0}
    spans: dict[str, tuple[int, int, float]] = {}
    nodes: dict[str, dict[str, int]] = {}
    closing: list[tuple[int, str]] = []
    for lead in leads:
        near = busbars[lead.before]
        whole = ohms(lead.length) + 2 * CONTACT * (1 if lead.before is None else 2)
        busbars[lead.id] = node = net.cable(near, whole)
        spans[lead.id] = near, node, whole
        if lead.run is None:
            continue
        fit = fits[lead.run]
        strip = rows[fit.run.strip]
        at = lead.end.removeprefix(f"{lead.run} ")
        start = net.cable(node, 2 * CONTACT)
        if not any(each.before == lead.id for each in leads):
            spans[lead.id] = near, start, whole + 2 * CONTACT
        bars = list(fit.bars)
        if at == "right" and fit.run.feed_end == "both":
            closing.append((start, bars[-1].id))
            continue
        if at == "middle":
            bar, before = halves(fit)
            sides = nodes.setdefault(bar.id, {})
            length = float(bar.lit.value) / 1000
            sides["left"] = net.strip(start, before, strip) if before else start
            sides["right"] = net.strip(start, length - before, strip)
            row = bars.index(bar)
            walks = [(bars[row::-1], "left", "right"), (bars[row:], "right", "left")]
        else:
            forward = at == "left"
            bars = bars if forward else bars[::-1]
            first, last = ("left", "right") if forward else ("right", "left")
            far = net.strip(start, float(bars[0].lit.value) / 1000, strip)
            nodes[bars[0].id] = {first: start, last: far}
            walks = [(bars, last, first)]
        for walk, leaving, coming in walks:
            for one, other in pairwise(walk):
                (link,) = (each for each in plan.routes.links
                           if {each.from_bar, each.to_bar} == {one.id, other.id})  # fmt: skip
                near, whole = nodes[one.id][leaving], ohms(link.length) + 8 * CONTACT
                node = net.cable(near, whole)
                spans[link.cable.id] = near, node, whole
                far = net.strip(node, float(other.lit.value) / 1000, strip)
                nodes[other.id] = {coming: node, leaving: far}
    for node, last in closing:
        net.join(node, nodes[last]["right"])
    volts = net.solve()
    return (
        {bar: (volts[at["left"]], volts[at["right"]]) for bar, at in nodes.items()},
        {
            own: (min(volts[near], volts[far]), abs(volts[near] - volts[far]) / r)
            for own, (near, far, r) in spans.items()
        },
    )


def halves(fit: RunFit) -> tuple[Bar, float]:
    """Give the bar that is met nearest the middle of a run's light, and metres lit before that."""
    marks = [
        (abs(float(sum(Decimal(each.lit.value) for each in fit.bars)) / 2 - at), row, at - start)
        for row, (bar, start) in enumerate(starts(fit))
        for unit in range(int(bar.units.value))
        if (at := start + float(bar.lit.value) * unit / int(bar.units.value)) or row
    ]
    _, row, before = min(marks, key=lambda mark: (round(mark[0], 6), mark[1], mark[2]))
    return fit.bars[row], before / 1000


def starts(fit: RunFit) -> list[tuple[Bar, float]]:
    lits = [float(bar.lit.value) for bar in fit.bars]
    return list(zip(fit.bars, accumulate(lits, initial=0.0), strict=False))


def random_leg(seed: int) -> Job:
    """Make up to four runs on one leg, each under up to three framed cabinets, on two walls."""
    draw = random.Random(seed)
    tables: dict[str, list[Fields]] = {
        "rooms": [{"id": "K", "name": "Invented room"}],
        "walls": [{"id": wall, "room": "K", "length": 9000} for wall in "AB"],
        "cabinets": [],
        "runs": [],
        "supplies": [{"id": "S1", "part": "supply-24-96", "cabinet": "R11"}],
        "legs": [{"id": "L1", "supply": "S1", "cable": draw.choice([*OHMS_PER_KM, *GAUGES]),
                  "wiring": draw.choice(["branched", "branched", "chained", "home run"])}],
    }  # fmt: skip
    if draw.random() < 0.5:
        tables["legs"][0]["length"] = draw.randint(300, 9000)
    at = dict.fromkeys("AB", 100)
    for number in range(1, draw.randint(1, 4) + 1):
        run, wall, names = f"R{number}", draw.choice("AB"), []
        for place in range(1, draw.randint(1, 3) + 1):
            width = draw.randint(300, 1200)
            names.append(f"{run}{place}")
            tables["cabinets"].append(
                {"id": names[-1], "wall": wall, "at": at[wall], "width": width, "depth": 320,
                 "bottom_height": draw.choice([1400, 1450]), "underside": "framed"}
            )  # fmt: skip
            at[wall] += width
        tables["runs"].append(
            {"id": run, "cabinets": names, "leg": "L1", "pieces": draw.choice([1, 1, 2]),
             "feed_end": draw.choice(["left", "right", "both", "middle"]),
             "strip": draw.choice(["white-24-10", "white-24-14", "fine-24-10", "even-24-10",
                                   "mine"])}
        )  # fmt: skip
    mine = part("strips", "mine", watts_per_metre=Decimal("7.2"), ohms_per_metre=Decimal("0.3"))
    return built(
        tables,
        parts={"strips": [mine]},
        allowances={"conductor_temperature": draw.choice([20, 45, 70])},
    )
