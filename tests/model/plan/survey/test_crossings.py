"""How cables pass obstacles: the table of what suits each kind, and what is expected of it."""

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.job.items import Cover, Crossing, Obstacle, ObstacleKind
from pelmet.model.plan.survey.crossings import SUITED, WORK, expected_crossing, hardest_crossing
from pelmet.model.plan.survey.openings import BLOCKING

CROSSINGS: tuple[Crossing, ...] = get_args(Crossing)
WAYS = [crossing for crossing in CROSSINGS if crossing not in ("not chosen", "none")]
BLOCKERS = sorted(BLOCKING)


def obstacle(kind: str, crossing: str = "not chosen", cover: str = "open") -> Obstacle:
    return Obstacle.model_validate(
        {"id": "O1", "wall": "A", "kind": kind, "at": 0, "width": 20, "crossing": crossing,
         "cover": cover}
    )  # fmt: skip


STANDING = st.lists(
    st.builds(
        obstacle,
        st.sampled_from(BLOCKERS),
        st.sampled_from(CROSSINGS),
        st.sampled_from(get_args(Cover)),
    ),
    max_size=5,
)


def test_every_kind_that_blocks_can_be_passed_and_no_other_asks_to_be():
    assert SUITED.keys() == BLOCKING
    assert set(get_args(ObstacleKind)) - SUITED.keys() == {
        "socket", "hob zone", "sink zone", "open side",
    }  # fmt: skip


@pytest.mark.parametrize("kind", BLOCKERS)
def test_what_suits_a_kind_is_work_that_somebody_does(kind):
    assert SUITED[kind]
    assert set(SUITED[kind]) <= WORK.keys()
    assert len(set(SUITED[kind])) == len(SUITED[kind])


def test_every_way_past_is_somebodys_work_and_suits_something():
    assert WORK.keys() == set(WAYS)
    assert {crossing for suited in SUITED.values() for crossing in suited} == set(WAYS)
    assert len({work.says for work in WORK.values()}) == len(WAYS)


@pytest.mark.published
def test_what_goes_into_a_wall_is_the_licensed_persons_and_comes_first():
    # Common practice: cable is laid in walls by an electrician before they are closed; what is
    # drilled or clipped to cabinets is the fitter's, when they hang.
    assert (WORK["in wall"].who, WORK["in wall"].when) == ("electrician", "before walls close")
    assert {work.who for way, work in WORK.items() if way != "in wall"} == {"fitter"}
    for way in ("hole", "under", "over"):
        assert WORK[way].when == "after cabinets hang"
    # Behind a hood or a fridge one can only get until it is there.
    assert WORK["behind"].when == "before it is fixed"


@pytest.mark.published
@pytest.mark.parametrize(
    ("kind", "never"),
    [  # Common practice
        ("window", {"hole", "behind", "under"}),
        ("hood", {"hole", "under"}),
        ("pipe", {"hole", "in wall"}),
        ("stile", {"in wall"}),
        ("partition", {"in wall", "behind"}),
    ],
)
def test_nobody_takes_a_cable_past_a_thing_in_such_a_way(kind, never):
    assert never & set(SUITED[kind]) == set()


@pytest.mark.parametrize("kind", BLOCKERS)
def test_what_was_chosen_is_what_is_expected_even_if_it_does_not_suit(kind):
    for cover in get_args(Cover):
        for crossing in (*WAYS, "none"):
            assert expected_crossing(obstacle(kind, crossing, cover)) == crossing, cover


@pytest.mark.published
@pytest.mark.parametrize(
    ("kind", "first"),
    [  # Common practice: the least work that does not show.
        ("stile", "hole"), ("partition", "hole"), ("window", "over"), ("pipe", "under"),
        ("fridge gap", "over"), ("corner", "under"),
    ],
)  # fmt: skip
def test_the_usual_way_is_expected_until_one_is_chosen(kind, first):
    assert (
        expected_crossing(obstacle(kind))
        == expected_crossing(obstacle(kind, cover="covered"))
        == first
    )


@pytest.mark.published
def test_behind_a_hood_is_expected_only_where_a_cover_hides_it():
    assert expected_crossing(obstacle("hood", cover="covered")) == "behind"
    assert expected_crossing(obstacle("hood", cover="open")) == "not chosen"


@pytest.mark.parametrize(
    ("crossings", "decides"),
    [
        ([], "under"),
        (["under", "under"], "under"),
        (["under", "hole"], "hole"),
        (["hole", "behind"], "behind"),
        (["behind", "over"], "over"),
        (["over", "in wall"], "in wall"),
        (["in wall", "none"], "none"),
        (["none", "under"], "none"),
    ],
)
def test_of_things_side_by_side_the_hardest_decides(crossings, decides):
    assert hardest_crossing(obstacle("pipe", crossing) for crossing in crossings) == decides


def test_one_that_waits_for_a_choice_holds_up_all_but_one_that_is_never_passed():
    assert hardest_crossing([obstacle("hood"), obstacle("window", "in wall")]) == "not chosen"
    assert hardest_crossing([obstacle("hood"), obstacle("window", "none")]) == "none"


@pytest.mark.property
@given(STANDING, st.randoms(use_true_random=False))
def test_the_hardest_is_one_of_them_in_whatever_order_they_stand(standing, chance):
    shuffled = list(standing)
    chance.shuffle(shuffled)
    decides = hardest_crossing(standing)
    assert decides == hardest_crossing(shuffled)
    assert decides in ({expected_crossing(each) for each in standing} or {"under"})


@pytest.mark.property
@given(STANDING, STANDING)
def test_one_more_thing_never_makes_it_easier(standing, more):
    # Of the two rows' own answers the harder one is that of both together.
    both = hardest_crossing([*standing, *more])
    assert both in {hardest_crossing(standing), hardest_crossing(more)}
    assert hardest_crossing([*standing, *more, *more]) == both
