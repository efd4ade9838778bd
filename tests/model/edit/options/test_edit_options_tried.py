"""Options as they are tried: the first answers early, the last list the whole."""

from itertools import pairwise

import pytest
from choices import OWN
from rooms import example

from pelmet.model.edit.options import Option, option, options_for, options_tried

KITCHEN = example()
THINGS = [("run", "R3"), ("obstacle", "O1"), ("supply", "S1"), ("leg", "L3")]


@pytest.fixture
def trials(monkeypatch):
    """Count the jobs that were tried out."""
    count = []
    plan = option.plan_job

    def counting(*given):
        count.append(given)
        return plan(*given)

    monkeypatch.setattr(option, "plan_job", counting)
    return count


def names(found: tuple[Option, ...]) -> list[str]:
    return [one.choice for one in found]


@pytest.mark.parametrize(("kind", "item_id"), THINGS)
def test_every_list_holds_all_of_the_one_before_and_the_last_is_the_whole(kind, item_id):
    lists = list(options_tried(KITCHEN, OWN, kind, item_id))
    assert len(lists) > 2
    assert lists[-1] == options_for(KITCHEN, OWN, kind, item_id)
    for before, after in pairwise(lists):
        assert set(names(before)) <= set(names(after))
    for found in lists:
        assert len(set(names(found))) == len(found)


@pytest.mark.parametrize(("kind", "item_id"), THINGS)
def test_the_first_answer_takes_one_trial_at_most_and_nothing_is_tried_ahead(kind, item_id, trials):
    search = options_tried(KITCHEN, OWN, kind, item_id)
    assert trials == []
    first = next(search)
    assert len(trials) <= 1
    options_for(KITCHEN, OWN, kind, item_id)
    assert len(trials) > len(first) + 1
