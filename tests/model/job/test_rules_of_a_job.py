"""Rules as they hold for a job, with what a person put in their place, and as they are printed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from papers import words
from test_rules import REGIONS, D, job

from pelmet.model.job.feeds import Override
from pelmet.model.job.job import Job
from pelmet.model.job.rule_tables import (
    override_ids,
    questions_of,
)
from pelmet.model.job.rules import every_rule, ruled, rules_of
from pelmet.model.plan.rules import class_2, rule, rule_source
from pelmet.model.told.blocks.rules import override_block, rule_blocks
from pelmet.model.told.formats.text import ascii_lines
from pelmet.model.told.paper import Block, Grid
from pelmet.model.told.words import WIDTH

# --- As they hold for a job -----------------------------------------------------------------------


def test_an_override_gives_a_rule_another_limit_and_keeps_the_rule():
    one = rule(job("us", {"rule": "class-2-watts", "limit": 120}), "class-2-watts")
    assert one is not None
    assert (one.limit, one.rule.limit, one.put_aside) == (120, 100, False)
    assert one.override is not None
    assert one.override.reason == "said so"


def test_an_override_without_a_limit_puts_a_rule_aside():
    one = rule(job("us", {"rule": "class-2-watts"}), "class-2-watts")
    assert one is not None
    assert (one.limit, one.put_aside) == (None, True)


def test_of_two_overrides_of_a_rule_the_first_holds():
    both = ({"rule": "class-2-watts", "limit": 120}, {"rule": "class-2-watts", "limit": 130})
    one = rule(job("us", *both), "class-2-watts")
    assert one is not None
    assert one.limit == 120


def test_an_override_of_another_rule_changes_nothing():
    one = rule(job("us", {"rule": "class-2-amps", "limit": 6}), "class-2-watts")
    assert one == ruled("us", (), "class-2-watts")
    assert one is not None
    assert not one.put_aside


def test_a_rule_without_a_number_is_not_put_aside_by_having_none():
    one = rule(job("us"), "isolating-source")
    assert one is not None
    assert not one.put_aside


def test_a_region_without_a_rule_has_nothing_and_no_region_is_a_mistake():
    assert rule(job("eu"), "class-2-watts") is None
    with pytest.raises(KeyError, match="no-such-rule"):
        rule(job("eu"), "no-such-rule")


def test_a_region_has_only_its_own_limit():
    assert [rule(job(region), "elv-volts").limit for region in REGIONS] == [120, 120, 60]


@pytest.mark.parametrize(
    ("region", "item_id", "source"),
    [
        ("us", "output-amps", ("NEC 411.2, 2002 to 2011 wording", "published")),
        ("eu", "rcd-sockets", ("IEC 60364-4-41 411.3.3, edition not noted; from memory, check it",
                               "from memory")),
        ("eu", "mains-volts", ("common practice", "common practice")),
    ],
)  # fmt: skip
def test_a_rule_is_told_with_its_source_edition_and_standing(region, item_id, source):
    one = ruled(region, (), item_id)
    assert one is not None
    assert rule_source(one.rule) == source


@pytest.mark.parametrize(
    ("volts", "wanted"),
    [
        ("5", {"class-2-amps-low"}),
        ("12", {"class-2-amps-low", "class-2-watts-low"}),
        ("20", {"class-2-amps-low"}),
        ("20.1", {"class-2-watts"}),
        ("24", {"class-2-watts", "class-2-amps"}),
        ("30", {"class-2-watts"}),
        ("30.1", {"class-2-watts-high"}),
        ("60", {"class-2-watts-high"}),
    ],
)
def test_the_limits_of_a_class_2_source_go_by_its_volts(volts, wanted):
    assert {one.rule.id for one in class_2(job("us"), D(volts))} == wanted
    assert class_2(job("eu"), D(volts)) == ()


def test_a_class_2_limit_that_was_put_aside_is_given_as_such():
    aside = {"rule": "class-2-amps"}
    limits = {one.rule.id: one.limit for one in class_2(job("us", aside), D(24))}
    assert limits == {"class-2-watts": 100, "class-2-amps": None}


def test_an_override_can_name_the_rules_and_questions_of_its_region():
    assert "class-2-watts" in override_ids("us")
    assert "class-2-watts" not in override_ids("eu")
    assert "cable-in-wall-zones" in override_ids("uk")
    for region in REGIONS:
        names = override_ids(region)
        assert len(set(names)) == len(names) == len(rules_of(region)) + len(questions_of(region))
        for name in names:
            assert Override(id="rule1", rule=name, reason="said so").rule == name


# --- As they are printed --------------------------------------------------------------------------


def rows(job_: Job) -> dict[str, str]:
    """Give what stands of each rule and override as one text, by its id."""
    tables = [each for each in blocks(job_) if isinstance(each, Grid)]
    return {row[0]: " ".join(row) for each in tables for row in each.rows}


def blocks(job_: Job) -> list[Block]:
    return [*rule_blocks(job_), override_block(job_)]


@pytest.mark.parametrize("region", REGIONS)
def test_every_rule_of_the_region_is_printed_with_its_limit_and_where_it_stands(region):
    printed = rows(job(region))
    for one in rules_of(region):
        text = printed[one.id]
        assert one.source in text
        assert one.edition in text
        assert text.endswith(one.standing)
        limit = "-" if one.limit is None else f"{one.limit} {one.unit}"
        assert text.startswith(f"{one.id} {limit} {one.says}; ")
    own = {one.id for one in rules_of(region)}
    assert {one.id for one in every_rule()} & set(printed) == own
    assert "*" not in words(blocks(job(region)))


def test_an_override_is_printed_with_the_limit_before_and_after_its_reason_and_who():
    changed = job(
        "us",
        {"rule": "class-2-watts", "limit": 120, "reason": "see label", "by": "A. Fitter"},
        {"rule": "output-amps"},
        {"rule": "isolator", "reason": "spur by the door"},
        {"rule": "least-section"},
        {"rule": "isolating-source"},
        {"rule": "output-amps", "limit": 30},
    )
    printed = rows(changed)
    assert printed["class-2-watts"].startswith("class-2-watts 120 W * most watts")
    assert printed["output-amps"].startswith("output-amps put aside * most amps")
    assert printed["rule1"] == "rule1 class-2-watts 100 W 120 W see label (A. Fitter)"
    assert printed["rule2"] == "rule2 output-amps 25 A put aside said so"
    assert printed["rule3"] == "rule3 isolator - answered spur by the door"
    assert printed["rule4"] == "rule4 least-section - no rule here said so"
    assert printed["rule5"] == "rule5 isolating-source - put aside said so"
    assert printed["rule6"] == "rule6 output-amps 25 A rule2 holds said so"


@pytest.mark.property
@given(
    st.sampled_from(REGIONS),
    st.lists(
        st.fixed_dictionaries(
            {
                "rule": st.sampled_from(sorted({one.id for one in every_rule()}))
                | st.from_regex(r"[a-z][a-z0-9-]{0,39}", fullmatch=True),
                "reason": st.text(
                    st.characters(exclude_categories=["C", "Zl", "Zp"]), min_size=1, max_size=300
                ),
            },
            optional={"limit": st.decimals(0, 1_000_000, places=6), "by": st.just("é")},
        ),
        max_size=4,
    ),
)
def test_the_table_fits_its_width_in_plain_ascii_whatever_was_said(region, overrides):
    for line in (line for each in blocks(job(region, *overrides)) for line in ascii_lines(each)):
        assert len(line) <= WIDTH
        assert line.isascii()
        assert line.isprintable()
