"""Adding follows the tape: the last answers again, the next free place, guesses marked so."""

from decimal import Decimal

import pytest
from jobs import built, one_bar, row

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import set_value
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal


def survey(*kinds: str) -> Job:
    job = Job()
    for kind in kinds:
        job, _ = add_item(job, kind)
    return job


def cabinet_at(job: Job, near: str | None = None):
    """Add a cabinet after another and give it."""
    job, item_id = add_item(job, "cabinet", job.find("cabinet", near) if near else None)
    return job.find("cabinet", item_id)


def test_a_wall_in_an_empty_job_brings_its_room():
    job = survey("wall")
    assert [room.name for room in job.rooms] == ["Room 1"]
    assert job.walls[0].room == job.rooms[0].id


def test_rooms_are_numbered_by_how_many_there_are():
    assert [room.name for room in survey("room", "room").rooms] == ["Room 1", "Room 2"]


@pytest.mark.parametrize(
    ("kind", "have", "says"),
    [
        ("cabinet", (), "wall first"),
        ("obstacle", ("room",), "wall first"),
        ("run", ("wall",), "cabinets first"),
        ("run", ("wall", "cabinet", "run"), "Every cabinet has a run"),
        ("leg", ("wall", "cabinet", "run"), "supply first"),
    ],
)
def test_what_has_nothing_to_stand_on_is_refused_with_what_to_add_first(kind, have, says):
    with pytest.raises(Refusal, match=says):
        add_item(survey(*have), kind)


def test_what_nobody_measured_is_marked_as_assumed():
    job = survey("wall", "cabinet", "obstacle")
    assert job.walls[0].assumed == ("length",)
    assert job.cabinets[0].assumed == ("width", "depth", "bottom_height")
    assert set(job.obstacles[0].assumed) == {"at", "width"}


def test_a_measured_reading_is_offered_again_as_measured_but_the_width_never():
    job = survey("wall", "cabinet")
    for field, value in (("width", 450), ("depth", 300), ("bottom_height", 1380)):
        job = set_value(job, "cabinet", "A1", field, Decimal(value))
    job, item_id = add_item(job, "cabinet")
    new = job.find("cabinet", item_id)
    assert (new.width, new.depth, new.bottom_height) == (450, 300, 1380)
    assert new.assumed == ("width",)


def test_assumed_marks_keep_their_order_so_that_two_saves_are_alike():
    job = survey("wall", "cabinet", "cabinet", "cabinet")
    assert {cabinet.assumed for cabinet in job.cabinets} == {("width", "depth", "bottom_height")}


def test_the_next_cabinet_takes_the_last_answers_but_not_its_opening_note_or_place():
    job = row(600, underside="framed", A1={"note": "chipped", "opening": [564], "lip": 22})
    new = cabinet_at(job, "A1")
    assert (new.underside, new.lip, new.depth) == ("framed", 22, 320)
    assert (new.opening, new.note) == ((), "")
    assert new.at == 500 + 600


def test_the_next_place_is_after_what_stands_there():
    job = row(600, 800, at=0, add={"obstacles": [
        {"id": "O1", "wall": "A", "kind": "hood", "at": 1400, "width": 600},
    ]})  # fmt: skip
    assert cabinet_at(job, "A2").at == 2000
    assert cabinet_at(job, "A1").at == 2000
    assert cabinet_at(job).at == 2000


def test_a_gap_between_two_cabinets_is_the_next_place_after_the_first():
    job = row(600, 600, gap=600, at=0)
    assert cabinet_at(job, "A1").at == 600
    assert cabinet_at(job, "A2").at == 1800


def test_an_obstacle_stands_next_to_the_thing_it_is_added_after():
    job = row(600, 800, at=0)
    for near, at in (("A1", 1400), ("A2", 1400)):
        new, item_id = add_item(job, "obstacle", job.find("cabinet", near))
        assert new.find("obstacle", item_id).at == at
    new, item_id = add_item(job, "obstacle", job.find("wall", "A"))
    assert new.find("obstacle", item_id).at == 1400


def test_a_new_wall_of_a_room_is_offered_the_length_of_its_last():
    job = set_value(survey("wall"), "wall", "A", "length", Decimal(4200))
    job, item_id = add_item(job, "wall", job.find("wall", "A"))
    assert job.find("wall", item_id).length == 4200
    assert job.find("wall", item_id).assumed == ("length",)
    job, room = add_item(job, "room")
    job, item_id = add_item(job, "wall", job.find("room", room))
    assert job.find("wall", item_id).length == 3000


def test_a_thing_is_added_to_the_wall_or_room_one_stands_in():
    job = survey("wall", "wall", "room", "wall", "cabinet")
    first = job.find("wall", "A")
    job, item_id = add_item(job, "cabinet", first)
    assert job.find("cabinet", item_id).wall == "A"
    job, item_id = add_item(job, "wall", first)
    assert job.find("wall", item_id).room == first.room
    job, item_id = add_item(job, "cabinet", job.rooms[0])
    assert job.find("cabinet", item_id).wall == item_id.rstrip("0123456789")
    assert job.find("wall", job.find("cabinet", item_id).wall).room == job.rooms[0].id


def test_a_run_goes_under_the_unlit_cabinets_of_one_wall_with_the_last_choices():
    job = row(600, 600, 600, R1={"cabinets": ["A1"], "channel": "slim-12", "feed_end": "right"})
    job, item_id = add_item(job, "run")
    new = job.find("run", item_id)
    assert new.cabinets == ("A2", "A3")
    assert (new.channel, new.feed_end) == ("slim-12", "right")


def test_a_leg_starts_at_the_supply_one_stands_on_with_the_last_cable():
    job = one_bar(add={"supplies": [{"id": "S2"}]}, L1={"cable": "round-2x1.5", "length": 2400})
    job, item_id = add_item(job, "leg", job.find("supply", "S2"))
    new = job.find("leg", item_id)
    assert (new.supply, new.cable, new.length) == ("S2", "round-2x1.5", None)
    job, item_id = add_item(job, "leg", job.find("leg", "L1"))
    assert job.find("leg", item_id).supply == "S1"


def test_a_second_supply_is_like_the_first_but_sits_nowhere_yet():
    job, item_id = add_item(one_bar(S1={"part": "supply-24-96"}), "supply")
    assert (job.find("supply", item_id).part, job.find("supply", item_id).cabinet) == (
        "supply-24-96",
        None,
    )


def test_what_would_stand_beyond_any_wall_is_refused_in_words():
    far = {"id": "A1", "wall": "A", "at": 49_000, "width": 20_000, "depth": 320,
           "bottom_height": 1400}  # fmt: skip
    job = built(
        {
            "rooms": [{"id": "K", "name": "K"}],
            "walls": [{"id": "A", "room": "K", "length": 3000}],
            "cabinets": [far],
        }
    )
    for kind in ("cabinet", "obstacle"):
        with pytest.raises(Refusal, match="ange"):
            add_item(job, kind, job.find("cabinet", "A1"))


def test_a_full_table_is_refused_in_words():
    job = survey(*["room"] * 1000)
    with pytest.raises(Refusal, match="At most 1000"):
        add_item(job, "room")


def test_more_unlit_cabinets_than_a_run_takes_still_give_a_run():
    job = row(*[300] * 62, drop=["R1", "L1"], A={"length": 50_000}, at=0)
    job, item_id = add_item(job, "run")
    assert job.find("run", item_id).cabinets[0] == "A1"
    assert len(job.find("run", item_id).cabinets) == 60
