"""Zones, their switches and overrides in a job file: as said, in order, and gone when removed."""

from decimal import Decimal
from pathlib import Path

import pytest
from jobs import one_bar
from jsonschema import Draft7Validator

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import remove, set_value
from pelmet.model.file.job.reading import load_job, open_job, read_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.file.job.schema import job_schema
from pelmet.model.file.toml.faults import FileError
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.feeds import Leg, Override, Supply, Zone
from pelmet.model.job.job import Job, Site
from pelmet.model.job.rules import rules_of
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal

# Invented: no such house.
TEXT = """\
schema = 1

[job]
name = "Curlew Lane"

[[supply]]
id = "S1"
dimmer = "mains-dimmer-150"
connection = "hard-wired"

[[zone]]
id = "Z1"
name = "Pantry"
switch = "door-switch-3"
note = "two leaves"

[[zone]]
id = "Z2"

[[leg]]
id = "L1"
supply = "S1"
dimmer = "dimmer-5"
zone = "Z1"
fuse = 3.15

[[leg]]
id = "L2"
supply = "S1"
zone = "Z2"

[[override]]
id = "rule1"
rule = "drop"
limit = 4.5
reason = "short runs, seen on site"
by = "the licensed person"

[[override]]
id = "rule2"
rule = "standby"
reason = "unplugged when not in use"
"""
JOB = Job(
    site=Site(name="Curlew Lane"),
    supplies=(Supply(id="S1", dimmer="mains-dimmer-150", connection="hard-wired"),),
    zones=(
        Zone(id="Z1", name="Pantry", switch="door-switch-3", note="two leaves"),
        Zone(id="Z2"),
    ),
    legs=(
        Leg(id="L1", supply="S1", dimmer="dimmer-5", zone="Z1", fuse=Decimal("3.15")),
        Leg(id="L2", supply="S1", zone="Z2"),
    ),
    overrides=(
        Override(
            id="rule1", rule="drop", limit=Decimal("4.50"), reason="short runs, seen on site",
            by="the licensed person",
        ),
        Override(id="rule2", rule="standby", reason="unplugged when not in use"),
    ),
)  # fmt: skip


def refusal(text: str) -> str:
    with pytest.raises(FileError) as refused:
        read_job(text.encode(), "job.toml")
    return str(refused.value)


# --- Saved and read back --------------------------------------------------------------------------


def test_zones_and_overrides_are_written_in_the_order_of_their_fields():
    assert job_text(JOB) == TEXT


def test_what_is_written_reads_back_the_same_byte_for_byte(tmp_path: Path):
    path = tmp_path / "job.toml"
    save_job(JOB, path, None)
    assert path.read_bytes() == TEXT.encode()
    assert load_job(path) == JOB
    save_job(load_job(path), path, open_job(path).digest)
    assert path.read_bytes() == TEXT.encode()


def test_a_zone_with_nothing_said_is_its_id_alone():
    assert job_text(Job(zones=(Zone(id="Z1"),))) == 'schema = 1\n\n[[zone]]\nid = "Z1"\n'
    (zone,) = read_job(b'schema = 1\n[[zone]]\nid = "Z1"\n', "job.toml").zones
    assert (zone.name, zone.switch) == ("Worktop", None)


# --- Refused in words -----------------------------------------------------------------------------


def test_an_unknown_zone_is_refused_with_the_nearest_name():
    text = TEXT.replace('zone = "Z2"', 'zone = "Z3"')
    line = text.splitlines().index('zone = "Z3"') + 1
    says = (
        f'job.toml:{line}: leg L2, zone: "Z3": there is no zone with this id (did you mean "Z2"?)'
    )
    assert refusal(text) == says
    named = TEXT.replace('"Z1"', '"pantry"').replace('zone = "pantry"', 'zone = "pantri"')
    assert 'did you mean "pantry"?' in refusal(named)


@pytest.mark.parametrize(
    ("found", "wrong", "says"),
    [
        ('id = "Z2"', 'id = "L2"', "already a zone"),
        ('id = "Z2"', 'id = "S1"', "already a supply"),
        ('switch = "door-switch-3"', 'swich = "door-switch-3"', "swich"),
        ('rule = "drop"\n', "", "rule"),
        ('reason = "unplugged when not in use"\n', "", "reason"),
        ('reason = "unplugged when not in use"', 'reason = ""', "reason"),
        ("limit = 4.5", "limit = -1", "out of range"),
        ("fuse = 3.15", "fuse = 0", "out of range"),
        ("fuse = 3.15", 'fuse = "T3.15"', "a number is wanted here"),
        ('rule = "drop"', 'rule = "Drop it"', "rule"),
    ],
)
def test_what_is_wrong_in_zones_and_overrides_is_told(found, wrong, says):
    assert TEXT.count(found) == 1
    assert says in refusal(TEXT.replace(found, wrong))


def test_a_retired_id_is_no_zones_again():
    text = TEXT.replace('name = "Curlew Lane"\n', 'name = "Curlew Lane"\nretired = ["Z2"]\n')
    assert "belonged to something removed" in refusal(text)


def test_an_unknown_switch_is_a_finding_with_the_nearest_name():
    # As with every part: the file is whole without the catalogue it was planned with.
    job = read_job(TEXT.replace("door-switch-3", "door-swich-3").encode(), "job.toml")
    (one,) = [each for each in plan_job(job).findings if each.code == "part-unknown"]
    assert (one.level, one.kind, one.about, one.field) == ("stop", "zone", "Z1", "switch")
    assert 'did you mean "door-switch-3"?' in one.says


# --- Added and removed ----------------------------------------------------------------------------


def test_removing_a_zone_frees_its_legs_and_retires_its_id():
    job = remove(JOB, "zone", "Z1")
    assert [zone.id for zone in job.zones] == ["Z2"]
    assert [(leg.id, leg.zone) for leg in job.legs] == [("L1", None), ("L2", "Z2")]
    assert job.site.retired == ("Z1",)
    assert job.legs[0] == JOB.legs[0].model_copy(update={"zone": None})
    assert (job.supplies, job.overrides) == (JOB.supplies, JOB.overrides)


def test_removing_an_override_lets_its_rule_hold_again():
    job = remove(JOB, "override", "rule1")
    assert [each.rule for each in job.overrides] == ["standby"]
    assert (job.zones, job.legs) == (JOB.zones, JOB.legs)


def test_a_zone_added_beside_a_supply_takes_in_its_legs_that_are_in_none():
    job = JOB.model_copy(
        update={
            "supplies": (*JOB.supplies, Supply(id="S2")),
            "legs": (*JOB.legs, Leg(id="L3", supply="S1"), Leg(id="L4", supply="S2")),
        }
    )
    job, item_id = add_item(job, "zone", job.find("supply", "S1"))
    assert item_id == "zone1"
    assert job.find("zone", item_id) == Zone(id="zone1", name="Zone 3")
    assert [leg.zone for leg in job.legs] == ["Z1", "Z2", "zone1", None]


@pytest.mark.parametrize("near", [None, ("zone", "Z1"), ("leg", "L1")])
def test_a_zone_added_beside_anything_else_is_empty(near):
    job, item_id = add_item(JOB, "zone", JOB.find(*near) if near else None)
    assert job.legs == JOB.legs
    assert [zone.id for zone in job.zones] == ["Z1", "Z2", item_id]


def test_the_next_zone_is_offered_the_last_ones_switch():
    job, item_id = add_item(remove(JOB, "zone", "Z2"), "zone")
    assert job.find("zone", item_id).switch == "door-switch-3"


def test_a_leg_is_offered_the_last_ones_zone_unless_another_supply_feeds_it():
    job = JOB.model_copy(update={"supplies": (*JOB.supplies, Supply(id="S2"))})
    for supply, zone in (("S1", "Z2"), ("S2", None)):
        new, item_id = add_item(job, "leg", job.find("supply", supply))
        assert new.find("leg", item_id).zone == zone


def test_an_override_is_of_the_first_rule_that_none_is_of_yet():
    job, seen = Job(), []
    rules = list(dict.fromkeys(rule.id for rule in rules_of("eu")))
    for _ in rules:
        job, item_id = add_item(job, "override")
        seen.append(job.find("override", item_id).rule)
    assert seen == rules
    with pytest.raises(Refusal, match="Every rule"):
        add_item(job, "override")


def test_a_zone_is_set_field_by_field_and_a_leg_put_in_it():
    job, item_id = add_item(one_bar(), "zone")
    job = set_value(job, "zone", item_id, "switch", "wall-switch")
    job = set_value(job, "leg", "L1", "zone", item_id)
    assert plan_job(job).controls.zones[0].legs == ("L1",)
    with pytest.raises(Refusal, match="there is no zone"):
        set_value(job, "leg", "L1", "zone", "Z9")


# --- The schema -----------------------------------------------------------------------------------


def test_the_schema_has_the_tables_in_file_order_with_their_keys():
    schema = job_schema()
    tables = list(schema["properties"])
    assert tables[tables.index("supply") : tables.index("override") + 1] == [
        "supply", "zone", "leg", "override",
    ]  # fmt: skip
    keys = {name: list(schema["definitions"][name]["properties"]) for name in ("Zone", "Override")}
    assert keys == {
        "Zone": ["id", "name", "switch", "note"],
        "Override": ["id", "rule", "limit", "reason", "by", "note"],
    }
    assert schema["definitions"]["Override"]["required"] == ["id", "rule", "reason"]


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("table", "row", "good"),
    [
        # By an independent validator, the jsonschema package.
        ("zone", {"id": "Z1", "name": "Pantry", "switch": "door-switch-3"}, True),
        ("zone", {"name": "Pantry"}, False),
        ("zone", {"id": "Z1", "legs": ["L1"]}, False),
        ("zone", {"id": "Z1", "switch": 5}, False),
        ("override", {"id": "rule1", "rule": "drop", "limit": 4.5, "reason": "said"}, True),
        ("override", {"id": "rule1", "rule": "drop", "limit": "4", "reason": "said"}, False),
        ("override", {"id": "rule1", "rule": "Drop it", "reason": "said"}, False),
        ("override", {"id": "rule1", "rule": "drop", "reason": ""}, False),
    ],
)
def test_the_schema_takes_and_refuses_what_the_loader_does(table, row, good):
    document = {"schema": 1, table: [row]}
    assert Draft7Validator(job_schema()).is_valid(document) is good
    try:
        Job.model_validate(document, by_alias=True, by_name=False)
        taken = True
    except ValueError:
        taken = False
    assert taken is good
