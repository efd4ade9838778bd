"""The entry line: what is typed goes where one stands, however fast, and is refused in place."""

import pytest
from frames import entered, heap, held, place, press, stand, told, wizard, wizard_of, write
from jobs import one_bar
from screens import frame
from textual import events

pytestmark = pytest.mark.journey


def cabinet(pilot, item_id):
    return held(pilot).job.find("cabinet", item_id)


# A slow line, such as ssh from a van, delivers many keys in one piece.


async def test_keys_that_come_in_a_heap_each_act_where_the_one_before_led(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await heap(pilot, *"610", "enter", *"590", "down", "ctrl+n", *"450", "enter", *"440", "up")
        assert (cabinet(pilot, "A1").width, cabinet(pilot, "A1").opening) == (610, (590,))
        new = held(pilot).job.cabinets[-1]
        assert (new.wall, new.width, new.opening) == ("A", 450, (440,))
        assert place(pilot) == ("cabinet", new.id, "width")


async def test_a_heap_goes_on_through_choices_and_back_to_readings(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "bottom_height")
        await heap(pilot, *"1380", "enter", "f", "r", "enter", *"25", "down", *"20", "up")
        changed = cabinet(pilot, "A1")
        assert (changed.bottom_height, changed.underside) == (1380, "framed")
        assert (changed.lip, changed.side_panel) == (25, 20)
        assert place(pilot) == ("cabinet", "A1", "lip")


async def test_a_heap_with_a_slip_in_it_stops_at_the_slip(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await heap(pilot, *"1,200", "enter", "enter", "down", "f3", "pagedown")
        assert place(pilot) == ("cabinet", "A1", "width")
        assert entered(pilot) == "1,200"
        assert cabinet(pilot, "A1").width == 600


async def test_a_whole_wall_can_be_pasted_key_by_key(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "B3", "width")
        await press(pilot, "f9")
        keys = [key for width in (600, 450, 300) for key in ("ctrl+n", *str(width))]
        await heap(pilot, *"3600", *keys, "enter")
        own = [each for each in held(pilot).job.cabinets if each.wall == "C"]
        assert [(each.at, each.width) for each in own] == [(0, 600), (600, 450), (1050, 300)]


async def test_a_pasted_reading_is_read_like_a_typed_one(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        pilot.app.post_message(events.Paste("61,5 cm\nand more"))
        await press(pilot, "enter")
        assert cabinet(pilot, "A1").width == 615


async def test_the_first_key_writes_over_the_old_value_and_an_arrow_keeps_it(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await write(pilot, "7")
        assert entered(pilot) == "7"
        await press(pilot, "escape")
        assert entered(pilot) == "600"
        await press(pilot, "end", "backspace", "5", "enter")
        assert cabinet(pilot, "A1").width == 605


async def test_the_plan_and_the_budget_follow_while_one_types(tmp_path):
    async with wizard("kitchen", tmp_path, (120, 40)) as pilot:
        await stand(pilot, "cabinet", "A1", "opening")
        before = frame(pilot.app)
        await write(pilot, "300")
        after = frame(pilot.app)
        assert "= 300 mm" in after
        changed = [
            at
            for at, (one, other) in enumerate(
                zip(before.splitlines(), after.splitlines(), strict=True)
            )
            if one != other
        ]
        assert 38 in changed  # the budget, on the row above the footer


@pytest.mark.parametrize(
    ("kind", "item_id", "field", "text", "marked"),
    [
        ("cabinet", "A1", "width", "1,200", "1,200"),
        ("cabinet", "A1", "width", "600x", "x"),
        ("cabinet", "A1", "opening", "564; 5x3", "x"),
        ("cabinet", "A1", "width", "99999", "99999"),
        ("run", "R1", "cabinets", "A1 A9", None),
        ("run", "R1", "pieces", "9", "9"),
        ("room", "kitchen", "name", "", None),
    ],
)
async def test_what_cannot_be_read_stays_with_marks_under_its_place_and_a_reason(
    tmp_path, kind, item_id, field, text, marked
):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, kind, item_id, field)
        await press(pilot, "end", *["backspace"] * len(entered(pilot)))
        await write(pilot, text)
        job = held(pilot).job
        for key in ("enter", "down", "up", "pagedown", "ctrl+n", "f6", "ctrl+s", "tab"):
            await pilot.press(key)
        assert (place(pilot), entered(pilot)) == ((kind, item_id, field), text)
        assert held(pilot).job == job
        screen = wizard_of(pilot)
        marks = screen.query_one("#entry-marks").text
        assert told(pilot).strip()
        assert set(marks.strip()) == {"^"}
        if marked is not None:
            rows = frame(pilot.app).splitlines()
            line = next(at for at, row in enumerate(rows) if set(row.strip()) == {"^"})
            under = rows[line - 1][marks.index("^") : marks.rindex("^") + 1]
            assert under == marked
        await press(pilot, "escape")
        assert held(pilot).misread is None
        assert screen.query_one("#entry-marks").text == ""


async def test_help_and_leaving_work_from_a_field_that_cannot_be_read(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await write(pilot, "oops")
        await press(pilot, "f1")
        assert "Help" in frame(pilot.app)
        await press(pilot, "escape", "ctrl+q")
    assert pilot.app.return_code == 0


async def test_a_choice_is_picked_by_arrows_space_or_first_letters(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "obstacle", "O1", "kind")
        for key, picked in (
            ("right", "window"),
            ("space", "corner"),
            ("left", "window"),
            ("f", "fridge gap"),
            ("P", "partition"),
            ("i", "pipe"),
        ):
            await press(pilot, key)
            assert entered(pilot) == held(pilot).job.find("obstacle", "O1").kind == picked
        await press(pilot, "enter")
        assert place(pilot)[2] == "at"


async def test_letters_that_begin_no_option_change_nothing(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "obstacle", "O1", "kind")
        job = held(pilot).job
        await press(pilot, *"[xq9", "question_mark", "full_stop")
        assert held(pilot).job == job
        assert held(pilot).misread is None


async def test_a_choice_can_be_put_back(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "obstacle", "O1", "kind")
        await press(pilot, "right", "escape")
        assert entered(pilot) == "hood"
        assert held(pilot).job.find("obstacle", "O1").kind == "hood"


async def test_a_part_that_no_catalogue_holds_is_shown_as_it_is(tmp_path):
    async with wizard(one_bar(R1={"strip": "no-such-strip"}), tmp_path) as pilot:
        await stand(pilot, "run", "R1", "strip")
        assert entered(pilot) == "no-such-strip"
        assert "[no-such-strip]" in frame(pilot.app)
        await press(pilot, "right", "enter")
        assert held(pilot).job.find("run", "R1").strip == "white-24-10"


async def test_down_past_the_form_is_the_first_field_of_the_next_thing_and_up_the_last(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "note")
        await press(pilot, "down")
        assert place(pilot) == ("cabinet", "A2", "width")
        await press(pilot, "up")
        assert place(pilot) == ("cabinet", "A1", "note")
        await stand(pilot, "cabinet", "B3", "note")
        await press(pilot, "down")
        assert place(pilot) == ("cabinet", "B3", "note")
        await stand(pilot, "site", "", "name")
        await press(pilot, "up")
        assert place(pilot) == ("site", "", "name")


async def test_neighbours_that_moved_are_named_and_one_key_puts_all_back(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await write(pilot, "650")
        await press(pilot, "enter")
        assert told(pilot).startswith("A2 A3 O1 O2 moved along")
        await press(pilot, "ctrl+z")
        assert cabinet(pilot, "A2").at == 600


async def test_the_last_field_of_a_form_says_how_to_go_on(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "note")
        await press(pilot, "enter")
        assert "Ctrl+N" in told(pilot)
        assert place(pilot) == ("cabinet", "A1", "note")
