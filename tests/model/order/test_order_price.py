"""The order's lines, the price and the time, each against a sum of its own."""

from collections import Counter
from decimal import Decimal
from math import ceil

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, part, planned
from zoned import two_legs

from pelmet.model.edit.change import rebuilt
from pelmet.model.edit.giving import note_order
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Offer, Ordered
from pelmet.model.job.prices import PartPrice, PriceBook, bundled_prices, overlay_prices
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.order.labour import minutes_of, people_of, visits_of
from pelmet.model.order.lines import OrderLine
from pelmet.model.order.offers import variant_of, variants
from pelmet.model.order.price_of import parts_by_id
from pelmet.model.order.release import Release, release_of
from pelmet.model.order.status import (
    anything_bought,
    is_bought,
    is_fitted,
    is_laid,
    past,
    statuses,
)
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

KITCHEN = read_example("kitchen")


def folder(job: Job, book: PriceBook | None = None) -> Folder:
    return make_folder(plan_job(job), book)


def book(**said: object) -> PriceBook:
    return overlay_prices(bundled_prices(), PriceBook.model_validate(said))


def line(found: Folder, item_id: str) -> OrderLine:
    (one,) = [each for each in found.lines if each.part == item_id]
    return one


def ordered(found: Folder, job: Job) -> Job:
    """The job once all that is to be ordered was."""
    known = parts_by_id(found.plan.parts)  # a line for any clip is of none
    bought = [each for each in found.lines if each.packs and each.part in known]
    return note_order(job, [(each.part, each.length, each.amount) for each in bought])


# --- The order ------------------------------------------------------------------------------------


def test_each_joint_takes_two_connectors_and_each_bar_two_caps_beside_the_spare():
    """Common practice: one connector a pole, like with like."""
    found = folder(one_bar(allowances={"spare_caps": 3, "spare_connectors": 1, "spare_clips": 5}))
    assert line(found, "cap-17").needed == 2 + 3
    assert line(found, "lever-2").needed == 2 + 1
    (bench,) = found.plan.bench
    assert line(found, "clip-17").needed == len(bench.fixings) + 5
    assert line(found, "screw-3x13").needed == len(bench.fixings)
    cables = found.plan.routes.cables
    assert line(found, "cable-marker").needed == 2 * len(cables)


def test_only_whole_packs_and_never_fewer_than_the_least_are_ordered():
    own = book(part=[{"id": "clip-17", "price": 1, "pack": 8, "least": 3}])
    clip = line(folder(one_bar(), own), "clip-17")
    assert clip.packs == 3
    assert clip.amount == 24
    assert clip.cost == 24
    many = book(part=[{"id": "clip-17", "price": 1, "pack": 2}])
    few = line(folder(one_bar(), many), "clip-17")
    assert few.packs == ceil(few.needed / 2)


def test_grommets_are_the_smallest_that_the_cables_go_through():
    found = folder(KITCHEN)
    wanted = Counter(int(hole.grommet.value) for hole in found.plan.holes)
    assert {size: line(found, f"grommet-{size}").needed for size in wanted} == wanted


@pytest.mark.property
@QUICK
@given(any_job())
def test_once_ordered_nothing_is_left_to_order_and_nothing_is_over(job):
    first = folder(job)
    again = folder(ordered(first, job))
    known = parts_by_id(first.plan.parts)
    assert not [each for each in again.lines if each.packs and each.part in known]
    # Whole packs may hold more than the plan takes; stock lengths are needed one by one.
    assert not [each for each in again.lines if each.length is not None and each.over]


def test_after_a_change_only_the_difference_is_ordered():
    """Earlier and later order together are what the changed job takes, packs rounded up."""
    first = folder(KITCHEN)
    bought = ordered(first, KITCHEN).ordered
    grown = read_example("kitchen-with-pantry")
    scratch, later = folder(grown), folder(rebuilt(grown, ordered=bought))
    before = {each.part: each.amount for each in bought if each.length is None}
    for one in scratch.lines:
        if one.length is not None:
            continue
        rest = line(later, one.part)
        assert rest.needed == one.needed
        assert rest.before == before.get(one.part, 0)
        assert rest.before + rest.amount >= one.needed > rest.before + rest.amount - rest.pack or (
            rest.amount == 0
        )
    # Bars that are on hand are cut first, so a new list may take other lengths than all anew.
    cost = sum(each.cost or 0 for each in later.lines if each.length is not None)
    anew = sum(each.cost or 0 for each in scratch.lines if each.length is not None)
    assert 0 < cost < anew


def test_what_was_ordered_and_is_needed_no_more_is_asked_about():
    job = rebuilt(one_bar(), ordered=(
        Ordered(id="order1", part="supply-24-96", amount=Decimal(1)),
    ))  # fmt: skip
    (found,) = [each for each in folder(job).plan.findings if each.code == "ordered-too-much"]
    assert (found.level, found.kind, found.about) == ("ask", "ordered", "order1")
    assert "1 of supply-24-96" in found.says


# --- The price ------------------------------------------------------------------------------------


@pytest.mark.property
@QUICK
@given(any_job())
def test_lines_add_up_to_the_net_and_tax_is_its_share(job):
    quote = folder(job).quote
    assert sum(each.amount for each in quote.lines) == quote.net
    assert abs(quote.tax - quote.net * 20 / 100) <= Decimal("0.005")
    assert all(each.amount == round(each.amount, 2) for each in quote.lines)


@pytest.mark.cross_check
def test_material_is_what_the_lines_cost_marked_up_by_hand():
    found = folder(KITCHEN, book(markup_percent=25, contingency_percent=0, tax_percent=0))
    cost = sum(each.each * each.amount for each in found.lines)
    assert found.quote.bought == round(cost, 2)
    marked = sum(each.amount for each in found.quote.material)
    assert abs(marked - cost * Decimal("1.25")) <= Decimal("0.02")  # four lines, each to a cent
    fitter = minutes_of(found.work, "fitter") * 50 / 60 + minutes_of(found.work, "bench") * 50 / 60
    assert abs(sum(each.amount for each in found.quote.labour) - fitter) <= Decimal("0.03")
    assert [each.amount for each in found.quote.mains] == [
        round(minutes_of(found.work, "electrician") * 65 / 60, 2)
    ]
    assert found.quote.contingency.amount == 0


def test_what_nobody_foresaw_is_a_share_of_material_and_labour_and_not_of_mains_work():
    quote = folder(KITCHEN, book(contingency_percent=10)).quote
    assert sum(each.amount for each in quote.mains) > 1
    own = sum(each.amount for each in (*quote.material, *quote.labour))
    assert quote.contingency.amount == round(own / 10, 2)


def test_the_total_is_rounded_to_the_step_and_the_difference_stands_apart():
    quote = folder(KITCHEN, book(round_to=5)).quote
    assert quote.total % 5 == 0
    assert abs(quote.rounding) <= Decimal("2.5")
    assert quote.net + quote.tax + quote.rounding == quote.total


def test_a_part_without_a_price_is_named_and_left_out():
    own = {"strips": [part("strips", "mine")]}
    found = folder(one_bar(R1={"strip": "mine"}, parts=own))
    assert found.quote.unpriced == ("mine",)
    (told,) = [each for each in found.plan.findings if each.code == "price-missing"]
    assert "mine" in told.says
    priced = {"strips": [part("strips", "mine", price=7)]}
    found = folder(one_bar(R1={"strip": "mine"}, parts=priced))
    assert found.quote.unpriced == ()
    assert line(found, "mine").each == 35  # a reel of 5 m


def test_ones_own_catalogue_price_holds_before_an_invented_one_and_the_book_before_both():
    own = {"strips": [part("strips", "white-24-10", price=4)]}
    job = one_bar(parts=own)
    assert line(folder(job), "white-24-10").each == 20
    said = book(part=[{"id": "white-24-10", "price": 6}])
    assert line(folder(job, said), "white-24-10").each == 30
    reel = book(part=[{"id": "white-24-10", "price": 6, "stock": [{"length": 5000, "price": 22}]}])
    assert line(folder(job, reel), "white-24-10").each == 22


# --- The time -------------------------------------------------------------------------------------


def test_operations_are_those_the_plan_holds():
    found = folder(one_bar())
    amounts = {each.task.id: each.amount for each in found.work}
    assert amounts["cut-bar"] == amounts["cut-diffuser"] == amounts["cut-strip"] == 1
    assert amounts["stick-strip"] == Decimal("0.85")
    assert amounts["hang-bar"] == Decimal("0.875")
    assert amounts["solder-lead"] == 1
    assert amounts["mains-connect"] == 1
    assert "splice-bar" not in amounts
    assert "fish-in-wall" not in amounts
    (hang,) = [each for each in found.work if each.task.id == "hang-bar"]
    assert hang.minutes == hang.task.least == 10  # 0.875 m at 6 min a metre would be less


def test_two_people_count_twice_and_walls_make_a_visit_of_their_own():
    long = folder(one_bar(A1={"width": 2500, "opening": [2480]}))
    assert people_of(long.work, "second fix") == 2
    (hang,) = [each for each in long.work if each.task.id == "hang-bar"]
    assert hang.minutes == 2 * hang.task.minutes * hang.amount
    assert visits_of(long.work) == ("second fix",)
    assert visits_of(folder(KITCHEN).work) == ("first fix", "second fix")


def test_a_full_room_makes_work_on_site_longer_and_the_bench_no_longer():
    plain, full = (folder(KITCHEN, book(congested_percent=share)) for share in (0, 50))
    for visit, times in (("second fix", Decimal("1.5")), ("bench", Decimal(1))):
        one, other = (
            sum(each.minutes for each in found.work if each.visit == visit)
            for found in (plain, full)
        )
        assert other == one * times


# --- Side by side ---------------------------------------------------------------------------------


def test_an_option_is_planned_and_priced_whole():
    job = rebuilt(KITCHEN, offers=(
        Offer(id="option1", name="Brighter", strip="white-24-14"),
        Offer(id="option2", name="Nothing else"),
    ))  # fmt: skip
    now, bright, same = variants(folder(job))
    assert (now.name, bright.name) == ("as planned", "Brighter")
    runs = tuple(run.model_copy(update={"strip": "white-24-14"}) for run in KITCHEN.runs)
    whole = variant_of("x", folder(rebuilt(KITCHEN, runs=runs)))
    assert bright[1:] == whole[1:]
    assert bright.lux > now.lux
    assert bright.watts > now.watts
    assert now.hours == sum(each.minutes for each in folder(KITCHEN).work) / 60
    assert same[1:] == now[1:]


# --- Release and status ---------------------------------------------------------------------------


def released(plan: Plan) -> Release:
    return release_of(plan, plan.findings)


def test_cutting_waits_for_what_is_assumed_or_at_stop_and_a_reason_lets_it_go():
    assert released(planned()).given
    assumed = released(planned(A1={"assumed": ["opening"]}))
    assert not assumed.given
    assert assumed.reasons == ("readings are assumed behind R1.1",)
    job = one_bar(A1={"assumed": ["opening"]})
    anyway = job.site.model_copy(update={"cut_anyway": "client measured"})
    assert released(plan_job(rebuilt(job, site=anyway))).given
    assert released(plan_job(Job())).reasons == ("there is no bar",)
    stopped = planned(S1={"part": "supply-12-60"})
    assert stopped.count("stop")
    assert any(reason.startswith("at stop, ") for reason in released(stopped).reasons)


def test_how_far_a_run_has_come_says_what_is_next_and_what_is_past_recall():
    job = one_bar(R1={"status": "cut"})
    (told,) = statuses(job)
    assert told.next == "tested"
    assert told.past_recall == ("its parts are bought", "its bars and strip are cut")
    assert past(job.runs[0], "ordered")
    assert not past(job.runs[0], "mounted")
    (new,) = statuses(one_bar())
    assert (new.next, new.past_recall) == ("approved", ())
    (proved,) = statuses(one_bar(R1={"status": "proved"}))
    assert proved.next is None


@pytest.mark.parametrize(
    ("status", "bought", "fitted"),
    [("approved", False, False), ("ordered", True, False), ("mounted", True, False),
     ("wired", True, True), ("proved", True, True)],
)  # fmt: skip
def test_a_supply_and_a_leg_are_as_far_as_the_furthest_run_they_feed(status, bought, fitted):
    job = two_legs(R1={"status": "surveyed"}, R2={"status": status})
    assert anything_bought(job) is bought
    assert (is_bought(job, job.supplies[0]), is_fitted(job, job.supplies[0])) == (bought, fitted)
    assert [is_laid(job, leg) for leg in job.legs] == [False, fitted]


def test_a_price_that_is_none_costs_nothing_and_one_that_is_negative_is_refused():
    assert PartPrice(id="x", price=Decimal(0)).price == 0
    with pytest.raises(ValueError, match="out of range"):
        PartPrice(id="x", price=Decimal(-1))
