"""Writers of photometric files, to test the readers with: they sample a law of intensity."""

from math import asin, atan2, cos, pi, radians, sin

import numpy as np

from pelmet.model.file.photometry.distribution_file import read_distribution

ALL_ROUND = tuple(range(0, 361, 15))
GAMMAS = tuple(range(0, 181, 5))
FINE = tuple(range(181))
LEAN = 1000 / pi


def lambert(plane, gamma):
    """A flat Lambertian face of 1000 lm: F = pi I."""
    return max(1000 / pi * cos(radians(gamma)), 0.0)


def leaning(along):
    """A line that lies in the planes `along` and +180, brighter to its plus side."""

    def law(plane, gamma):
        turned = radians(plane - along - 90)
        out, down = sin(radians(gamma)) * cos(turned), cos(radians(gamma))
        if down <= 1e-12:
            return 0.0
        psi = atan2(out, down)
        beta = asin(sin(radians(gamma)) * sin(turned))
        return LEAN * cos(psi) * (1 + 0.6 * sin(psi)) * cos(beta)

    return law


def lm63(
    law,
    planes=ALL_ROUND,
    gammas=GAMMAS,
    *,
    head=("IES:LM-63-2019", "[TEST] none", "[LUMINAIRE] invented bar", "TILT=NONE"),
    lamps="1 -1",
    multiplier=1.0,
    kind=1,
    units=2,
    size=(0.016, 1.0, 0.0),
    factors=(1.0, 1.0, 10.0),
    scale=1.0,
):
    """Write an LM-63 file; candela stand divided by `scale`."""
    return "\n".join(
        [
            *head,
            f"{lamps} {multiplier} {len(gammas)} {len(planes)} {kind} {units} "
            + " ".join(map(str, size)),
            " ".join(map(str, factors)),
            " ".join(map(str, gammas)),
            " ".join(map(str, planes)),
            *(" ".join(f"{law(plane, gamma) / scale:.9f}" for gamma in gammas) for plane in planes),
            "",
        ]
    )


def eulumdat(
    law,
    symmetry=0,
    planes=ALL_ROUND[:-1],
    gammas=GAMMAS,
    *,
    size=(1000, 16),
    lamps=-1,
    lumens=1000.0,
    output=100,
    conversion=1.0,
    tilt=0,
    sets=1,
):
    """Write an EULUMDAT file; intensities stand for 1000 lm of the lamps."""
    keep = {
        0: planes,
        1: planes[:1],
        2: [plane for plane in planes if plane <= 180],
        3: [*(p for p in planes if p >= 270), *(p for p in planes if p <= 90)],
        4: [plane for plane in planes if plane <= 90],
    }[symmetry]
    one_set = [lamps, "LED", lumens, "3000 K", "90", 10.0]
    fields = [
        "invented",
        2,
        symmetry,
        len(planes),
        15,
        len(gammas),
        5,
        "report",
        "invented bar",
        "number",
        "bar.ldt",
        "today",
        1020,
        20,
        10,
        *size,
        *(0, 0, 0, 0),
        100,
        output,
        conversion,
        tilt,
        sets,
        *(one_set * sets),
        *([0.5] * 10),
        *planes,
        *gammas,
        *(
            f"{law(plane, gamma) * 1000 / lumens / conversion:.9f}"
            for plane in keep
            for gamma in gammas
        ),
    ]
    return "\r\n".join(map(str, fields)) + "\r\n"


def read(text, **terms):
    return read_distribution(text.encode("latin-1"), "bar", **terms)


def at(distribution, psi):
    return np.interp(psi, distribution.psi_degrees, distribution.candela_per_metre)
