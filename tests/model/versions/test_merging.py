"""Two people's versions become one job with all that both said, or a list of what to decide."""

import re
from decimal import Decimal
from random import Random

import pytest
from draws import quick
from edits import any_edit
from hypothesis import example, given
from hypothesis import strategies as st
from jobs import any_job

from pelmet.model.edit.add import add_item
from pelmet.model.edit.building import note_built, take_back
from pelmet.model.edit.change import rebuilt, remove, set_value, subject
from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.built import STATUSES
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.job import TABLES, Job
from pelmet.model.job.references import REFERENCES
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal
from pelmet.model.versions.deciding import can_be_typed, typed
from pelmet.model.versions.merging import SIDES, Conflict, merge
from pelmet.model.versions.said import differences, value_as_typed

BUILT_NAME = re.compile(r"(.+)\.[0-9]+[a-z]*(?:-[0-9]+)?|H[0-9]+")
REFERRING = {(kind, field) for kind, field, _ in REFERENCES}


def kitchen() -> Job:
    return read_example("kitchen")


def test_what_each_changed_is_in_the_one_job():
    base = kitchen()
    mine = set_value(base, "cabinet", "A1", "depth", 310)
    theirs = set_value(set_value(base, "cabinet", "A1", "lip", 20), "run", "R2", "facing", "down")
    merged = merge(base, mine, theirs)
    assert not merged.conflicts
    cabinet = merged.job.find("cabinet", "A1")
    assert (cabinet.depth, cabinet.lip) == (310, 20)
    assert merged.job.find("run", "R2").facing == "down"


def test_what_both_changed_differently_is_to_be_decided_and_there_is_no_job_yet():
    base = kitchen()
    mine = set_value(base, "cabinet", "A2", "width", Decimal(790))
    theirs = set_value(base, "cabinet", "A2", "width", Decimal(810))
    merged = merge(base, mine, theirs)
    assert merged.job is None
    assert merged.conflicts == (
        Conflict("cabinet", "A2", "width", "Width", "800", "790", "810"),
    )  # fmt: skip
    assert not merge(base, mine, set_value(theirs, "cabinet", "A2", "width", 790)).conflicts


def test_a_reading_and_its_mark_as_assumed_are_one():
    base = set_value(kitchen(), "cabinet", "A2", "depth", 320, assumed=True)
    mine = set_value(base, "cabinet", "A2", "depth", 318)
    theirs = set_value(base, "cabinet", "A2", "depth", 325, assumed=True)
    (conflict,) = merge(base, mine, theirs).conflicts
    assert (conflict.base, conflict.mine, conflict.theirs) == ("320?", "318", "325?")
    only_mine = merge(base, mine, base).job.find("cabinet", "A2")
    assert "depth" not in only_mine.assumed


def test_what_one_removed_and_the_other_changed_or_still_uses_is_to_be_decided():
    base = kitchen()
    gone = remove(base, "run", "R4")
    changed = set_value(base, "run", "R4", "facing", "60 to wall")
    (conflict,) = merge(base, gone, changed).conflicts
    assert (conflict.id, conflict.mine, conflict.theirs) == ("R4", "removed", "changed")
    bare = remove(base, "run", "R4")
    cabinet = base.find("run", "R4").cabinets[0]
    less = remove(bare, "cabinet", cabinet)
    used, _ = add_item(bare, "run")
    (conflict,) = merge(bare, less, used).conflicts
    assert (conflict.kind, conflict.id) == ("cabinet", cabinet)
    assert (conflict.mine, conflict.theirs) == ("removed", "used")


def test_two_things_under_one_id_are_both_kept_and_what_refers_to_the_second_follows():
    base = kitchen()
    versions = []
    for name, width in (("Pantry", 700), ("Larder", 500)):
        job, room = add_item(base, "room")
        job = set_value(job, "room", room, "name", name)
        job, wall = add_item(job, "wall", job.find("room", room))
        job, cabinet = add_item(job, "cabinet", job.find("wall", wall))
        job = set_value(job, "cabinet", cabinet, "width", Decimal(width))
        job, _ = add_item(job, "run")
        versions.append(job)
    mine, theirs = versions
    merged = merge(base, mine, theirs)
    job = merged.job
    new = {thing.id for table in TABLES.values() for thing in getattr(theirs, table)}
    old = {thing.id for table in TABLES.values() for thing in getattr(base, table)}
    assert set(merged.renumbered) == new - old
    assert [room.name for room in job.rooms[-2:]] in (["Pantry", "Larder"], ["Larder", "Pantry"])
    for room in job.rooms[-2:]:
        (wall,) = (wall for wall in job.walls if wall.room == room.id)
        (cabinet,) = (each for each in job.cabinets if each.wall == wall.id)
        assert cabinet.width == {"Pantry": 700, "Larder": 500}[room.name]
        (run,) = (run for run in job.runs if run.cabinets == (cabinet.id,))
        assert run.status == "surveyed"


def test_an_id_that_was_given_up_never_comes_back():
    base = kitchen()
    added, run = add_item(remove(base, "run", "R4"), "run")
    mine = remove(added, "run", run)  # that id is retired now
    theirs, other = add_item(remove(base, "run", "R4"), "run")
    assert other == run
    job = merge(base, mine, theirs).job
    assert run in job.site.retired
    assert run not in {each.id for each in job.runs}
    assert len(job.runs) == len(theirs.runs)


@pytest.mark.property
@quick(60)
@given(any_job(), any_job())
def test_who_changed_nothing_gets_the_others_job_and_the_same_twice_is_the_same(base, other):
    for mine, theirs in ((base, other), (other, base), (other, other)):
        merged = merge(base, mine, theirs)
        assert merged.job == other
        assert not merged.conflicts
        assert not merged.renumbered


def any_step(job: Job, random: Random) -> Job:
    """Edit a job, or note some run as built, or that it went back."""
    if not job.runs or random.random() < 0.6:
        return any_edit(job, random)
    run = random.choice(job.runs)
    day, by = random.choice(["", "2027-03-01", "2027-03-02"]), random.choice(["", "Jo", "Sam"])
    if run.status != STATUSES[0] and random.random() < 0.4:
        return take_back(job, run.id, random.choice(STATUSES[:2]), "hood moved", day=day, by=by)
    folder = make_folder(plan_job(job))
    return note_built(folder, [run.id], random.choice(STATUSES[1:]), day=day, by=by)


def without_ids(job: Job) -> dict[str, list[str]]:
    """Give what a job holds, whatever its things are called, in the order of each table."""
    names = {thing.id: "id" for table in TABLES.values() for thing in getattr(job, table)}

    def anonymous(value: object) -> object:
        if isinstance(value, tuple):
            return tuple(map(anonymous, value))
        if isinstance(value, str) and (found := BUILT_NAME.fullmatch(value)):
            return f"{names.get(found[1], found[1])} and more"  # a hole, a bar, a piece, a cable
        return names.get(value, value) if isinstance(value, str) else value

    return {
        table: [str({key: anonymous(value) for key, value in dict(thing).items()})
                for thing in getattr(job, table)]
        for table in TABLES.values()
    }  # fmt: skip


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
@quick(60)
@given(seed=st.integers(0, 10**6))
@example(seed=173869)  # each removed the other cabinet of one run
def test_every_merge_of_edits_is_a_valid_job_that_holds_both(name, seed, tmp_path_factory):
    random = Random(seed)
    base = mine = theirs = read_example(name)
    for _ in range(random.randint(1, 4)):
        mine, theirs = any_step(mine, random), any_step(theirs, random)
    merged, swapped = merge(base, mine, theirs), merge(base, theirs, mine)
    assert bool(merged.conflicts) == bool(swapped.conflicts) == (merged.job is None)
    if merged.job is None:
        assert {(each.kind, each.id, each.field, called(each.mine), called(each.theirs))
                for each in merged.conflicts} == {
            (each.kind, each.id, each.field, called(each.theirs), called(each.mine))
            for each in swapped.conflicts}  # fmt: skip
        return
    path = tmp_path_factory.mktemp("merged") / "job.toml"
    save_job(merged.job, path, None)
    assert job_text(load_job(path)) == path.read_text("utf-8")
    assert there_once(merged.job)
    assert without_ids(merged.job) == without_ids(swapped.job)
    told = {(each.kind, each.id, field.field): field.after
            for each in differences(base, merged.job) for field in each.fields}  # fmt: skip
    for each in differences(base, mine):
        if each.how in ("changed", "moved"):
            for field in each.fields:
                assert field.field in ("retired", "pieces") or (  # those are merged one by one
                    told[each.kind, each.id, field.field] == field.after
                )
    assert rebuilt(merged.job) == merged.job


@pytest.mark.property
@pytest.mark.parametrize("name", EXAMPLES)
@quick(60)
@given(seed=st.integers(0, 10**6))
@example(seed=173869)
@example(seed=1962)  # what was cut again is put back
def test_deciding_each_conflict_in_turn_always_ends_in_a_job_that_reads_as_decided(name, seed):
    random = Random(seed)
    base = mine = theirs = read_example(name)
    for _ in range(random.randint(2, 8)):
        mine, theirs = any_step(mine, random), any_step(theirs, random)
    decided = {}
    told = {}
    merged = merge(base, mine, theirs)
    while merged.job is None:
        conflict = merged.conflicts[0]
        assert conflict.place not in decided, "it is asked once"
        decided[conflict.place] = side = random.choice(SIDES)
        told[conflict.place] = getattr(conflict, side)
        merged = merge(base, mine, theirs, decided)
    assert Job.model_validate(dict(merged.job)) == merged.job
    assert there_once(merged.job)
    things = {thing.id: (kind, thing) for kind in TABLES for thing in merged.job.table(kind)}
    for (kind, name, field), reading in told.items():
        if (kind, field) in REFERRING:  # what is decided to go is dropped there too
            continue
        if field and name in things:
            own = value_as_typed(things[name][1], kind, field, mine.site)
            assert own == reading
        if not field and reading == "removed":
            assert name not in things


def called(text: str) -> str:
    """Give a reading without the ids of cuts: theirs are made anew, whoever they are."""
    return re.sub("cut[0-9]+", "cut", text)


def there_once(job: Job) -> bool:
    """Tell whether each bar hangs once, each hole, cable and supply is there once, each piece."""
    names = [
        [(each.run, each.bar) for each in job.hung],
        [each.hole for each in job.drilled],
        [each.cable for each in job.laid],
        [each.supply for each in job.fitted],
        [(cut.part, name) for cut in job.cuts for name in cut.pieces
         if name not in ("spare", "spoilt")],
        [source for cut in job.cuts if (source := cut.offcut or cut.rest_of)],
    ]  # fmt: skip
    return all(len(each) == len(set(each)) for each in names)


def both_say(kind: str, name: str, field: str, *values: object) -> tuple[Job, Job, Job]:
    base = kitchen()
    mine, theirs = (set_value(base, kind, name, field, value) for value in values)
    return base, mine, theirs


@pytest.mark.parametrize(
    ("place", "values", "text", "taken"),
    [
        (("cabinet", "A1", "depth"), (310, 290), "30 cm?", (Decimal(300), True)),
        (("run", "R1", "cabinets"), (("A1",), ("A2",)), "a1 A2", (("A1", "A2"), False)),
        (("site", "", "region"), ("eu", "us"), "uk", ("uk", False)),
        (("allowances", "", "saw_kerf"), (Decimal(2), Decimal(4)), "2.5", (Decimal("2.5"), False)),
    ],
)
def test_a_value_of_ones_own_is_taken_in_place_of_both(place, values, text, taken):
    base, mine, theirs = both_say(*place, *values)
    conflict = next(each for each in merge(base, mine, theirs).conflicts if each.place == place)
    assert can_be_typed(conflict, mine)
    own = typed(conflict, mine, theirs, {}, text)
    assert own == taken
    job = merge(base, mine, theirs, {place: own}).job
    kind, name, field = place
    thing = subject(job, kind, name)
    assert getattr(thing, field) == taken[0]
    assert (field in getattr(thing, "assumed", ())) is taken[1]


@pytest.mark.parametrize(
    ("place", "values", "text", "says"),
    [
        (("cabinet", "A1", "depth"), (310, 290), "2,400", "2"),
        (("cabinet", "A1", "depth"), (310, 290), "90 m", "out of range"),
        (("run", "R1", "cabinets"), (("A1",), ("A2",)), "A1 X9", 'There is no cabinet "X9"'),
        (("site", "", "region"), ("eu", "us"), "mars", "Choose one of"),
    ],
)
def test_what_cannot_be_read_or_stand_there_is_refused_in_words(place, values, text, says):
    base, mine, theirs = both_say(*place, *values)
    conflict = next(each for each in merge(base, mine, theirs).conflicts if each.place == place)
    with pytest.raises(Refusal) as refused:
        typed(conflict, mine, theirs, {}, text)
    assert says.lower() in str(refused.value).lower()


def test_of_a_thing_as_a_whole_nothing_is_typed():
    base = kitchen()
    theirs = set_value(base, "cabinet", "A1", "depth", 290)
    (conflict, *_) = merge(base, remove(base, "cabinet", "A1"), theirs).conflicts
    assert not can_be_typed(conflict, base)


def test_what_refers_to_something_goes_with_it_when_that_is_decided_to_go():
    base = kitchen()
    bare = remove(base, "run", "R4")
    cabinet = base.find("run", "R4").cabinets[0]
    less, (used, run) = remove(bare, "cabinet", cabinet), add_item(bare, "run")
    place = ("cabinet", cabinet, "")
    without = merge(bare, less, used, {place: "mine"}).job
    assert (without.cabinets, without.runs) == (less.cabinets, less.runs)
    kept = merge(bare, less, used, {place: "theirs"}).job
    assert cabinet in {each.id for each in kept.cabinets}
    assert kept.find("run", run).cabinets == (cabinet,)


def test_two_orders_of_one_list_are_to_be_decided_and_one_that_stayed_gives_way():
    base = kitchen()
    a, b, *rest = base.cabinets
    mine, theirs = rebuilt(base, cabinets=(b, a, *rest)), rebuilt(base, cabinets=(*rest, a, b))
    assert merge(base, mine, base).job == mine
    assert merge(base, base, theirs).job == theirs
    (conflict,) = merge(base, mine, theirs).conflicts
    assert (conflict.kind, conflict.field, conflict.title) == ("cabinet", "order", "Order")
    assert conflict.mine.split()[:2] == [b.id, a.id]
    for side, job in zip(SIDES, (base, mine, theirs), strict=True):
        assert merge(base, mine, theirs, {conflict.place: side}).job == job


def test_changes_that_do_not_go_together_are_decided_for_the_thing_as_a_whole():
    strip = bundled_catalogue().strips[0].model_copy(update={"id": "mine"})
    assert (strip.kind, strip.volts) == ("resistor-limited", 24)

    def with_strip(**changes: object) -> Job:
        own = type(strip).model_validate({**dict(strip), **changes})
        return rebuilt(kitchen(), catalogue=Catalogue(strips=(own,)))

    base = with_strip(led_volts=Decimal(9))
    mine = with_strip(led_volts=Decimal(15))
    theirs = with_strip(led_volts=Decimal(9), volts=Decimal(12))  # too few for mine
    (conflict,) = merge(base, mine, theirs).conflicts
    assert (conflict.kind, conflict.id, conflict.field) == ("strip part", "mine", "")
    for side, job in zip(SIDES, (base, mine, theirs), strict=True):
        assert merge(base, mine, theirs, {conflict.place: side}).job == job


def test_more_than_a_job_may_hold_is_refused_in_words():
    base = kitchen()

    def with_offers(count: int, name: str) -> Job:
        job = base
        while len(job.offers) < count:
            job, item_id = add_item(job, "offer")
            job = set_value(job, "offer", item_id, "name", f"{name} {item_id}")
        return job

    with pytest.raises(Refusal, match="At most 20"):
        merge(base, with_offers(15, "mine"), with_offers(15, "theirs"))
