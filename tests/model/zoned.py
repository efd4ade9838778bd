"""Two bars on a leg each, and zones: R1 on L1 and R2 on L2, both of supply S1. All invented."""

from typing import Any

from jobs import ONE_BAR, Fields, built, part

from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

Z1, Z2 = {"id": "Z1", "name": "Worktop"}, {"id": "Z2", "name": "Pantry"}
S2 = {"id": "S2", "cabinet": "A2"}
TUNABLE = part("strips", "tunable", channels=2)
IN_Z1 = {"L1": {"zone": "Z1"}, "L2": {"zone": "Z1"}}


def switch(item_id: str = "mine", **changes: Any) -> Fields:
    """Give a switch of one's own."""
    values = {"kind": "wall switch", "side": "low voltage", "max_volts": 24, "amps": 5}
    return {"id": item_id, "name": f"Invented {item_id}", **values, **changes}


def two_legs(*zones: Fields, **how: Any) -> Job:
    """Two bars on a leg each, and zones; ``how`` as for `jobs.built`."""
    cabinet, run = ONE_BAR["cabinets"][0], ONE_BAR["runs"][0]
    tables = {
        **ONE_BAR,
        "cabinets": [
            {**cabinet, "at": 0, "width": 900, "opening": [900]},
            {**cabinet, "id": "A2", "at": 1200, "width": 900, "opening": [900]},
        ],
        "runs": [run, {**run, "id": "R2", "cabinets": ["A2"], "leg": "L2"}],
        "legs": [*ONE_BAR["legs"], {"id": "L2", "supply": "S1"}],
        "zones": zones,
    }
    return built(tables, **how)


def plan_of(*zones: Fields, **how: Any) -> Plan:
    """Plan them."""
    return plan_job(two_legs(*zones, **how))


def legs(of: Plan) -> dict[str, LegCircuit]:
    """Give the legs by their ids."""
    return {leg.leg.id: leg for leg in of.circuits.legs}
