"""What a metre of strip draws, written a second time, for arrays of voltages."""

from typing import Any

import numpy as np

from pelmet.model.plan.circuit.dc.law import StripLaw


def current(law: StripLaw, volts: Any) -> Any:
    """Give amps a metre at each of some volts, above 0."""
    if law.kind == "constant-power":
        return law.watts_per_metre / volts
    rated = law.amps_per_metre
    if law.kind == "resistor-limited":
        return np.maximum(0, law.siemens_per_metre * (volts - law.led_volts))
    return np.interp(volts, [law.led_volts, law.least_volts], [0, rated])
