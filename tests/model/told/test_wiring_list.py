"""The wiring list tells both ends of every conductor of every cable, in lines that fit."""

import re
from decimal import Decimal
from typing import Any

import pytest
from draws import examples
from fed_rooms import FED, anything, fed
from hypothesis import given
from jobs import one_bar, part, row

from pelmet.model.job.job import Job, Site
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.cable_list import cable_list
from pelmet.model.told.wiring_list import wiring_list

WIDTH = 78
LABELS = ("marks", "from", "to", "carries", "protected")


def check_form(lines: tuple[str, ...]) -> None:
    for line in lines:
        assert 0 < len(line) <= WIDTH
        assert line.isascii()
        assert line.isprintable()
        assert line == line.rstrip()


def blocks(lines: tuple[str, ...]) -> dict[str, dict[str, str]]:
    """Give what is said of each cable by its id: its first line as ``head``, then by label."""
    found: dict[str, dict[str, str]] = {}
    own: dict[str, str] = {}
    label = "head"
    for line in lines:
        if not line.startswith(" "):
            start = re.match(r"(\S+) .* > ", line)
            if start is None:
                continue
            own = found[start[1]] = {"head": line}
            label = "head"
        elif named := re.match(r"  (marks|from|to|carries|protected) +(\S.*)", line):
            label = named[1]
            own[label] = named[2]
        elif own:
            own[label] += " " + line.strip()
    return found


def told(job: Job) -> dict[str, dict[str, str]]:
    return blocks(wiring_list(plan_job(job)))


def lead(**how: Any) -> dict[str, str]:
    """What is said of the one lead of one bar."""
    return told(one_bar(**how))["L1.1"]


def unlimited(**leg: Any) -> dict[str, str]:
    """The same on a supply that nothing limits."""
    own = part("supplies", "mine", limited="no")
    return lead(S1={"part": "mine"}, L1=leg, parts={"supplies": [own]})


@pytest.mark.snapshot
@pytest.mark.parametrize("shape", FED)
def test_a_list_is_as_stored(shape, snapshot):
    assert "\n".join(wiring_list(plan_job(FED[shape]()))) == snapshot


@pytest.mark.property
@examples(60)
@given(anything())
def test_any_job_gives_a_list_that_fits_and_names_the_cables_of_the_cable_list(job: Job):
    plan = plan_job(job)
    lines = wiring_list(plan)
    check_form(lines)
    folded = " ".join(" ".join(lines).split())
    routes = plan.routes
    cables = [*routes.leads, *(link.cable for link in routes.links if link.cable)]
    places = []
    for cable in cables:
        assert f"{cable.label}: " in folded
        places.append(next(at for at, one in enumerate(lines) if one.startswith(f"{cable.id} ")))
    assert places == sorted(places)
    told_there = " ".join(" ".join(cable_list(plan)).split())
    assert all(f"{cable.label}: " in told_there for cable in cables)


@pytest.mark.parametrize("shape", FED)
def test_the_ids_and_labels_are_those_of_the_cable_list_in_its_order(shape):
    plan = plan_job(FED[shape]())
    here = [line.split(":")[0] for line in wiring_list(plan) if " > " in line]
    there = [line.split(":")[0] for line in cable_list(plan) if " > " in line]
    assert here == there != []


@pytest.mark.parametrize("shape", FED)
def test_every_conductor_has_one_mark_at_both_ends_and_joins_its_like(shape):
    plan = plan_job(FED[shape]())
    for own, said in blocks(wiring_list(plan)).items():
        assert set(said) == {"head", *LABELS}
        assert said["marks"] == f"{own} +, {own} -: the same at both ends"
        assert "+ to +, - to -" in said["to"]
        assert "+ to +, - to -" in said["from"] or "like with like" in said["from"]
        assert "+ to -" not in " ".join(said.values())
        assert "bare " in said["from"]
        assert "bare " in said["to"]


@pytest.mark.parametrize("shape", FED)
def test_every_cable_says_what_it_carries(shape):
    plan = plan_job(FED[shape]())
    flows = {flow.cable: flow.amps for leg in plan.circuits.legs for flow in leg.flows}
    found = blocks(wiring_list(plan))
    for own, said in found.items():
        amps = flows.get(own)
        words = f"{amps.value:.2f} A" if amps else "not known yet"
        assert said["carries"] == words
    assert flows.keys() & found.keys()


def test_the_head_says_that_supplies_stay_unplugged_and_colours_are_a_hint():
    text = " ".join(wiring_list(plan_job(one_bar()))[:3])
    assert "unplugged" in text
    assert "+ to +, - to -" in text
    assert "same text" in text
    assert "colour is only a hint" in text


def test_no_cables_are_told():
    assert wiring_list(plan_job(one_bar(drop=["L1"], R1={"leg": None}))) == ("no cables",)


# --- Ends, joints and strip-back ------------------------------------------------------------------


def test_one_lead_is_told_end_by_end():
    # The bundled supply wants 8 mm of bare wire, the bundled lever connector 6 mm.
    said = lead()
    assert said["head"] == "L1.1 S1 > R1 left: flat-2x0.75 (2 x 0.75 mm2), 1300 mm"
    assert said["from"] == "S1: + to +, - to -; bare 8 mm"
    assert said["to"] == "R1 left: + to +, - to -; 2 x lever-2, one a conductor; bare 6 mm"


def test_a_gauge_is_told_as_a_gauge():
    assert "pair-18 (2 x 18 AWG)" in lead(L1={"cable": "pair-18"})["head"]


def test_strip_back_is_in_the_unit_of_the_job():
    inch = one_bar(parts={"connectors": [part("connectors", "lever-2", bare_wire="1/4 in")]})
    job = inch.model_copy(update={"site": Site(length_unit="in")})
    assert told(job)["L1.1"]["to"].endswith("bare 1/4 in")


def test_a_supply_without_a_figure_sends_the_fitter_to_its_label():
    assert unlimited()["from"] == "S1: + to +, - to -; bare as its label says"
    assert "bare as its label says" in lead(S1={"part": "no"})["from"]


def test_a_dimmer_stands_between_supply_and_cable():
    said = lead(L1={"dimmer": "dimmer-5"})["from"]
    assert said == "S1: + to +, - to - into dimmer-5, out of it + to +, - to -; bare 8 mm"


def test_a_tee_takes_three_way_connectors_and_its_branches_start_in_it():
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    wide = part("connectors", "lever-3", ways=3, bare_wire=9)
    job = row(600, 600, R1={"cabinets": ["A1"]}, add={"runs": [second]}, L1={"wiring": "chained"},
              parts={"connectors": [wide]})  # fmt: skip
    found = told(job)
    assert "2 x lever-3, one a conductor; bare 9 mm" in found["L1.1"]["to"]
    assert found["L1.2"]["from"] == (
        "R1 left: like with like, in the joint at the end of L1.1; bare 9 mm"
    )
    assert "2 x lever-2, one a conductor; bare 6 mm" in found["L1.2"]["to"]


def test_where_four_meet_two_tees_stand_side_by_side():
    # A measured lead to R1, from which a cable goes on to each of two other runs.
    others = [{"id": f"R1{under}", "cabinets": [under], "leg": "L1"} for under in ("A1", "A3")]
    job = row(
        600, 600, 600, R1={"cabinets": ["A2"]}, add={"runs": others},
        L1={"length": 2000, "wiring": "home run"},
    )  # fmt: skip
    leads = plan_job(job).routes.leads
    assert [lead.before for lead in leads] == [None, "L1.1", "L1.1"]
    assert "; 4 x lever-3, 2 side by side a conductor; bare 6 mm" in told(job)["L1.1"]["to"]


def test_a_link_has_a_joint_at_both_its_ends():
    (link,) = (said for own, said in told(row(600, 600)).items() if own.startswith("R"))
    for end in ("from", "to"):
        assert link[end].endswith("2 x lever-2, one a conductor; bare 6 mm")


def test_without_a_connector_of_its_ways_a_joint_says_so():
    five = part("connectors", "lever-2", ways=5)
    assert "the catalogue has no 2-way connector" in lead(parts={"connectors": [five]})["to"]


def test_tunable_white_has_three_marks_and_names_no_pole_for_the_common_one():
    said = lead(R1={"strip": "two-white-24"}, L1={"cable": "round-3x0.75", "dimmer": "dimmer-2x5"})
    assert said["marks"] == "L1.1 common, L1.1 warm, L1.1 cool: the same at both ends"
    assert "common to common, warm to warm, cool to cool; 3 x lever-2" in said["to"]
    assert "+ to +, - to - into dimmer-2x5, out of it common to common" in said["from"]


def test_an_unfed_link_is_told_without_protection():
    said = told(row(600, 600, R1={"leg": None}, drop=["L1"]))["R1.1-2"]
    assert "part not chosen" in said["head"]
    assert said["carries"] == "not known yet"
    assert "protected" not in said


def test_a_lead_of_unknown_length_is_told():
    said = lead(S1={"place": "elsewhere", "cabinet": None})
    assert said["head"].endswith("length unknown")
    assert said["carries"] == "not known yet"


# --- Protection -----------------------------------------------------------------------------------


def test_a_limited_source_is_told_with_its_amps_and_the_cable_s():
    # 60 W at 24 V.
    assert lead()["protected"] == (
        "by S1, a limited source: 2.50 A at full load, the cable may carry 6 A"
    )


def test_a_label_that_nobody_read_is_told_as_such():
    said = lead(S1={"part": "mine"}, parts={"supplies": [part("supplies", "mine")]})["protected"]
    assert "at full load, its label not read, the cable" in said


@pytest.mark.parametrize(
    ("fuse", "says"),
    [
        (Decimal("3.15"), "by a 3.15 A fuse in the + conductor at S1; the cable may carry 6 A"),
        (None, "by nothing yet: it needs a 1 A fuse; the cable may carry 6 A"),
        (8, "by nothing yet: it needs a 1 A fuse; the cable may carry 6 A"),
    ],
)
def test_a_fuse_is_told_or_the_one_that_is_needed(fuse, says):
    assert unlimited(fuse=fuse)["protected"] == says


def test_a_fuse_beside_a_limited_source_is_told_as_well():
    said = lead(L1={"fuse": 2})["protected"]
    assert said.endswith("; a 2 A fuse in the + conductor at S1 as well")


def test_what_cannot_be_known_is_told():
    assert lead(L1={"cable": "no"})["protected"].startswith("not known")
    said = lead(
        S1={"part": "mine", "place": "elsewhere", "cabinet": None},
        parts={"supplies": [part("supplies", "mine", limited="no")]},
    )
    assert said["protected"] == "by nothing yet; the cable may carry 6 A"


def test_all_of_a_leg_s_cables_are_told_with_the_same_protection():
    job = fed(FED["galley"](), R1="S1", R2="S1", R3="S2")
    found = [said["protected"] for own, said in told(job).items() if own.startswith("LS1.")]
    assert len(found) > 1
    assert len(set(found)) == 1
