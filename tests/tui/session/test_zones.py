"""Zones and overrides in the Power step: listed, stood on, added, changed, removed, taken back."""

from pathlib import Path

import pytest
from draws import examples
from frames import dialog, held, place, press, stand, told, wizard, write
from hypothesis import given
from hypothesis import strategies as st
from screens import frame
from test_session import act, begun

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job, read_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal
from pelmet.tui.session.outline import Row
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import POWER, ROOMS, STEPS
from pelmet.tui.wizard.commands import COMMANDS, command_named

sizes = pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])


def zoned() -> Job:
    """The example with two zones, one leg in none, and an override of a rule."""
    text = job_text(read_example("kitchen"))
    for leg, zone in (("L1", "Z1"), ("L2", "Z2")):
        text = text.replace(f'[[leg]]\nid = "{leg}"\n', f'[[leg]]\nid = "{leg}"\nzone = "{zone}"\n')
    more = """
[[zone]]
id = "Z1"
name = "Left of the hood"
switch = "door-switch-3"

[[zone]]
id = "Z2"

[[override]]
id = "rule1"
rule = "drop"
limit = 4.5
reason = "seen on site"
"""
    return read_job((text + more).encode(), "job.toml")


def power(job: Job) -> Session:
    session = begun(job)
    session.go(POWER)
    return session


def rows(session: Session, *kinds: str) -> list[Row]:
    return [row for row in session.rows if row.kind in kinds]


def at(session: Session) -> tuple[str, str, str]:
    return session.place.kind, session.place.id, session.place.field


# --- The list -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["kitchen", "kitchen-with-pantry"])
def test_a_job_without_zones_lists_none(name):
    session = power(read_example(name))
    assert {row.kind for row in session.rows} == {"supply", "leg", "run"}


def test_each_zone_is_listed_after_the_supplies_with_what_is_in_it():
    session = power(zoned())
    amps = {leg.leg.id: float(leg.amps.value) for leg in session.plan.circuits.legs}
    listed = rows(session, "zone", "bar", "override")
    assert session.rows[-len(listed) :] == tuple(listed)
    assert [(row.kind, row.id, row.text) for row in listed] == [
        ("zone", "Z1", "Z1  Left of the hood"),
        ("bar", "Z1", f"door-switch-3, {amps['L1']:.2f} A: L1"),
        ("zone", "Z2", "Z2  Worktop"),
        ("bar", "Z2", f"no switch, {amps['L2']:.2f} A: L2"),
        ("override", "rule1", "rule1  drop: 4.5"),
    ]


def test_an_empty_zone_and_a_rule_put_aside_are_told_as_such():
    job = zoned()
    for leg in ("L1", "L2"):
        job = begun_set(job, "leg", leg, "zone", "")
    job = begun_set(job, "override", "rule1", "limit", "")
    texts = [row.text for row in rows(power(job), "bar", "override")]
    assert texts == ["door-switch-3: no leg", "no switch: no leg", "rule1  drop: put aside"]


def begun_set(job: Job, kind: str, item_id: str, field: str, text: str) -> Job:
    """Set a field as typing or choosing in the wizard does."""
    session = begun(job)
    session.go_to(kind, item_id, field)
    (session.choose if session.form.question.shape == "choice" else session.type)(text)
    assert session.accept()
    return session.job


def test_what_a_zone_holds_informs_and_is_not_stood_on():
    session = power(zoned())
    seen = []
    for _ in session.rows:
        seen.append(session.place.kind)
        session.move_row(1)
    assert "bar" not in seen
    assert seen.index("override") > seen.index("zone") > seen.index("run")
    assert at(session)[:2] == ("override", "rule1")


@pytest.mark.parametrize(
    ("kind", "item_id", "fields"),
    [
        ("zone", "Z1", ("name", "switch", "note")),
        ("override", "rule1", ("rule", "limit", "reason", "by", "note")),
    ],
)
def test_a_zone_and_an_override_have_a_form(kind, item_id, fields):
    session = begun(zoned())
    session.go_to(kind, item_id, fields[0])
    assert session.place.step is POWER
    assert session.form.fields == fields
    assert all(session.form.question_of(field).title for field in fields)


def test_a_finding_on_a_zone_is_jumped_to_from_any_step():
    job = begun_set(zoned(), "leg", "L2", "zone", "")
    codes = {"zone-empty", "door-leaves", "leg-in-no-zone"}
    session = begun(job)
    words_for = [one for one in session.plan.findings if one.code in codes]
    assert {one.code for one in words_for} == codes
    for finding in words_for:
        for step in STEPS:
            session.go(step)
            session.go_to_finding(finding)
            assert at(session) == (finding.kind, finding.about, finding.field)


# --- Adding and removing --------------------------------------------------------------------------


def test_the_first_zone_is_added_after_a_supply_and_takes_in_its_legs():
    session = begun()
    session.go_to("supply", "S1", "part")
    session.add_above()
    assert at(session) == ("zone", "zone1", "name")
    assert [leg.zone for leg in session.job.legs] == ["zone1"] * 3
    session.undo()
    assert session.job == read_example("kitchen")


@pytest.mark.parametrize(
    ("kind", "item_id", "added"),
    [("supply", "S1", "zone"), ("leg", "L1", "supply"), ("run", "R1", "override"),
     ("zone", "Z1", "override"), ("override", "rule1", "supply")],
)  # fmt: skip
def test_f9_adds_what_the_help_says(kind, item_id, added):
    session = power(zoned())
    session.go_to(kind, item_id, POWER.forms[kind][0])
    before = {each: session.job.table(each) for each in ("supply", "zone", "leg", "override")}
    session.add_above()
    assert session.place.kind == added
    for each, items in before.items():
        assert len(session.job.table(each)) - len(items) == (each == added)
    if added != "supply" or kind == "leg":
        words = {"zone": "a zone", "override": "an override", "supply": "a supply"}[added]
        assert words in command_named("add_above").help
        assert kind in command_named("add_above").help.partition(words)[2]


@pytest.mark.parametrize(("kind", "item_id"), [("zone", "Z1"), ("override", "rule1")])
def test_the_next_after_a_zone_or_an_override_is_another(kind, item_id):
    session = power(zoned())
    session.go_to(kind, item_id, POWER.forms[kind][0])
    session.add_next()
    assert session.place.kind == kind
    assert session.place.id != item_id
    assert session.place.field == POWER.forms[kind][0]
    assert session.row_index is not None


def test_an_empty_power_step_has_nothing_to_add_above():
    session = power(Job())
    with pytest.raises(Refusal, match="Ctrl\\+N"):
        session.add_above()
    session.add_next()
    assert session.place.kind == "supply"


def test_removing_a_zone_frees_its_legs_and_one_stands_on_what_is_now_in_its_place():
    session = power(zoned())
    session.go_to("zone", "Z2", "name")
    assert session.remove_here() == "Z2"
    assert [leg.zone for leg in session.job.legs] == ["Z1", None, None]
    assert at(session)[:2] == ("override", "rule1")
    session.undo()
    assert session.job == zoned()


def test_removing_all_of_them_leaves_the_list_as_it_was():
    session = power(zoned())
    for kind, item_id in (("override", "rule1"), ("zone", "Z2"), ("zone", "Z1")):
        session.go_to(kind, item_id, POWER.forms[kind][0])
        session.remove_here()
    assert session.rows == power(read_example("kitchen")).rows


def test_options_are_for_zones_too_once_there_are_any():
    session = power(zoned())
    session.go_to("zone", "Z1", "switch")
    assert command_named("options").why_not(session) == ""
    session.go_to("override", "rule1", "rule")
    assert command_named("options").why_not(session).endswith("a supply, a leg or a zone")
    session = begun()
    session.go(ROOMS)
    assert command_named("options").why_not(session).endswith("a supply or a leg")


MOVES = st.lists(
    st.tuples(
        st.sampled_from(
            ["add_next", "add_above", "add_above", "remove_here", "undo", "redo", "accept"]
        ),
        st.none(),
    )
    | st.tuples(st.sampled_from(["move_row"]), st.integers(-4, 4))
    | st.tuples(st.just("turn"), st.integers(0, 9))
    | st.tuples(st.just("type"), st.sampled_from(["Pantry", "4.5", "", "x", "said"])),
    max_size=25,
)


@pytest.mark.property
@examples(40)
@given(st.sampled_from([zoned(), read_example("kitchen"), Job()]), MOVES)
def test_whatever_is_done_in_power_the_job_is_sound_and_undo_leads_back(job, moves):
    session = power(job)
    for name, how in moves:
        act(session, name, how)
        assert read_job(job_text(session.job).encode(), "job.toml") == session.job
        assert session.row_index is not None or not session.form.fields
    session.revert()
    while session.can_undo:
        session.undo()
    assert session.job == job


# --- In the wizard --------------------------------------------------------------------------------


@pytest.mark.journey
@sizes
async def test_a_zone_is_added_switched_and_saved_by_keys_alone(tmp_path: Path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await stand(pilot, "supply", "S1", "part")
        await press(pilot, "f9")
        assert place(pilot) == ("zone", "zone1", "name")
        await write(pilot, "Worktop")
        await press(pilot, "enter", "d")
        await press(pilot, "ctrl+s")
        assert load_job(tmp_path / "job.toml") == held(pilot).job
        (zone,) = held(pilot).job.zones
        assert (zone.id, zone.name, zone.switch) == ("zone1", "Worktop", "door-switch-3")
        shown = frame(pilot.app)
        assert "> zone1  Worktop" in shown
        (own,) = held(pilot).plan.controls.zones
        assert f"door-switch-3, {float(own.amps.value):.2f} A: L1 L2 L3" in shown
        assert all(len(row) <= size[0] for row in shown.splitlines())


@pytest.mark.journey
@sizes
async def test_a_zone_is_removed_and_brought_back_by_keys_alone(tmp_path, size):
    async with wizard(zoned(), tmp_path, size) as pilot:
        await stand(pilot, "zone", "Z1", "name")
        await press(pilot, "ctrl+r")
        assert "Z1 removed" in told(pilot)
        assert "Left of the hood" not in frame(pilot.app)
        assert held(pilot).job.find("leg", "L1").zone is None
        await press(pilot, "ctrl+z")
        assert held(pilot).job == zoned()
        assert "Left of the hood" in frame(pilot.app)


@pytest.mark.journey
@sizes
async def test_a_switch_is_taken_from_the_options_of_a_zone(tmp_path, size):
    async with wizard(zoned(), tmp_path, size) as pilot:
        await stand(pilot, "zone", "Z1", "name")
        await press(pilot, "f8")
        assert dialog(pilot)
        shown = pilot.app.screen.query_one("#dialog-options").text.splitlines()
        (taken,) = [row for row in shown if row[2:].startswith("*")]
        assert "switch: door-switch-3" in taken
        here = next(at for at, row in enumerate(shown) if row.startswith(">"))
        down = next(at for at, row in enumerate(shown) if "motion-sensor-4" in row) - here
        await press(pilot, *(["down"] * down or ["up"] * -down), "enter")
        assert not dialog(pilot)
        assert held(pilot).job.find("zone", "Z1").switch == "motion-sensor-4"
        assert "Ctrl+Z" in told(pilot)
        await press(pilot, "ctrl+z")
        assert held(pilot).job == zoned()


@pytest.mark.journey
async def test_the_figures_of_a_zone_are_explained(tmp_path):
    async with wizard(zoned(), tmp_path) as pilot:
        await stand(pilot, "zone", "Z1", "name")
        await press(pilot, "ctrl+g")
        assert dialog(pilot)
        assert "zone amps" in frame(pilot.app)
        assert "zone watts" in frame(pilot.app)


@pytest.mark.journey
async def test_the_help_tells_how_a_zone_is_added(tmp_path):
    async with wizard("kitchen", tmp_path, (80, 60)) as pilot:
        await press(pilot, "f6", "f1")
        text = " ".join(pilot.app.screen.query_one("#dialog-page").text.split())
        assert "a zone after a supply, an override of a rule after a run or a zone" in text
        assert all(command.help in text for command in COMMANDS)
