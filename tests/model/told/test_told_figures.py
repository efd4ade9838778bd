"""Figures as people read them, and how each was come by."""

from decimal import ROUND_HALF_EVEN, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import ALIKE, one_bar, planned, row

from pelmet.model.job.job import Site
from pelmet.model.measure.lengths import parse_length
from pelmet.model.plan.figure import given as said
from pelmet.model.plan.figure import read_off
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.figures import brief, figures_of, figures_text, named, printed
from pelmet.model.told.why import why_lines
from pelmet.model.told.words import WIDTH

MM = Site()
INCHES = Site(length_unit="in")


def test_what_was_said_is_printed_as_it_was_said() -> None:
    assert printed(said("strip", Decimal("0.10"), "ohm/m", "part"), MM) == "0.1 ohm/m"
    assert printed(said("volts", Decimal(24), "V", "part"), MM) == "24 V"
    assert printed(said("opening", Decimal("563.53125"), "mm", "reading"), MM) == "563.53125 mm"


def test_lengths_are_printed_in_the_unit_of_the_job() -> None:
    # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959)
    length = said("opening", Decimal("879.475"), "mm", "reading")
    assert printed(length, INCHES) == "34 5/8 in"
    assert printed(length, Site(length_unit="m")) == "0.879475 m"


def test_inches_follow_the_parts_that_the_job_asks_for() -> None:
    length = read_off("place", 884.0, "mm", "sum", "")
    assert printed(length, Site(length_unit="in", inch_parts=32)) == "34 13/16 in"
    assert printed(length, INCHES) == "34 13/16 in"
    assert printed(length._replace(value=885.0), Site(length_unit="in", inch_parts=32)) == (
        "34 27/32 in"
    )


@pytest.mark.regression
def test_an_opening_in_inches_is_printed_exactly_however_it_was_typed() -> None:
    for typed, text in (
        ("22 3/64", "22 3/64 in"),
        ("22.25", "22 1/4 in"),
        ("1' 10 1/4\"", "22 1/4 in"),
        ("22.3", "22.3 in"),
    ):
        length = said("opening", parse_length(typed, "in"), "mm", "reading")
        assert printed(length, INCHES) == text


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("unit", "step"),
    [("W", "0.1"), ("V", "0.01"), ("A", "0.01"), ("%", "0.1"), ("lx", "1"), ("lm/m", "1")],
)
@given(st.floats(-1000, 1000))
def test_a_value_worked_out_is_rounded_as_decimal_arithmetic_rounds_it(
    unit: str, step: str, value: float
) -> None:
    shown = printed(read_off("x", value, unit, "sum", ""), MM)
    nearest = Decimal(value).quantize(Decimal(step), ROUND_HALF_EVEN)
    assert Decimal(shown.removesuffix(f" {unit}")) == nearest
    assert not shown.startswith("-0 ")


def test_ohms_keep_four_significant_digits_without_an_exponent() -> None:
    assert printed(read_off("x", 0.00001234567, "ohm", "sum", ""), MM) == "0.00001235 ohm"


def test_a_count_or_a_share_has_no_unit_and_is_not_rounded_to_a_whole_one() -> None:
    assert printed(said("caps", 2, "1", "two ends"), MM) == "2"
    assert printed(said("dark rest goes", 0.5, "1", "choice"), MM) == "0.5"
    assert printed(read_off("evenness", 0.61324, "1", "evenness", ""), MM) == "0.6132"
    assert printed(read_off("whole", 2.0, "1", "sum", ""), MM) == "2"


def test_a_dark_rest_that_is_shared_is_said_to_go_half_to_the_end_it_is_fed_at() -> None:
    bar = planned(R1={"dark_rest": "shared"}).bars[0]
    assert "  dark rest goes of R1: 0.5 - as chosen in the job" in why_lines(bar.dark_left, MM)


def test_a_narrow_column_marks_a_length_that_it_rounds() -> None:
    assert brief(said("opening", Decimal("563.125"), "mm", "reading"), MM) == "~563.12"
    assert brief(said("opening", Decimal("563.5"), "mm", "reading"), MM) == "563.5"


def test_a_figure_of_nothing_in_particular_is_named_alone() -> None:
    assert named(said("clearance", 2, "mm", "allowance")) == "clearance"
    assert named(said("cap", 2, "mm", "part", "cap-17")) == "cap of cap-17"


def test_why_shows_the_formula_the_inputs_the_source_and_what_is_not_assumed() -> None:
    bar = planned().bars[0]
    assert why_lines(bar.length, MM) == (
        "bar of R1.1: 875 mm",
        "formula  bar = opening - 2 x clearance - 2 x cap",
        "source   common practice",
        "from",
        "  opening of A1: 883 mm - least of the readings",
        "  clearance: 2 mm - allowance, editable",
        "  cap of cap-17: 2 mm - from the part's row in the catalogue",
        "Nothing assumed went into it.",
    )


def test_why_names_what_is_assumed_however_far_back() -> None:
    plan = planned(A1={"assumed": ["opening"]})
    watts = plan.circuits.legs[0].watts
    lines = why_lines(watts, MM)
    assert "(assumed)" in " ".join(lines)
    assert lines[-1] == "Assumed, not measured: reading of A1 (883 mm)."


def test_why_gives_the_standing_of_a_published_source() -> None:
    worst = planned(allowances=ALIKE).circuits.legs[0].worst
    assert worst is not None
    text = " ".join(why_lines(worst, MM))
    assert worst.formula.source.title.split(",")[0] in text
    assert "(published)" in text


def test_why_goes_as_deep_as_it_is_asked_to() -> None:
    bar = planned().bars[0]
    shallow, deep = (" ".join(why_lines(bar.length, MM, depth)) for depth in (1, 2))
    assert "reading of A1" not in shallow
    assert "reading of A1: 883 mm - as measured" in deep
    assert len(why_lines(bar.length, MM, 0)) < len(why_lines(bar.length, MM, 1))


@pytest.mark.property
@given(st.integers(1, 12), st.integers(40, 120))
def test_why_fits_its_width_at_any_depth(depth: int, width: int) -> None:
    worst = planned().circuits.legs[0].worst
    assert worst is not None
    assert all(len(line) <= width for line in why_lines(worst, INCHES, depth, width))


def names(job_plan: object, about: str) -> set[str]:
    return {named(figure) for figure in figures_of(job_plan, about)}  # type: ignore[arg-type]


def test_a_run_gives_its_bars_its_leg_and_its_light() -> None:
    found = names(planned(), "R1")
    assert {"bar of R1.1", "lit of R1.1", "watts of R1.1", "volts at right of R1.1"} <= found
    assert {"leg amps of L1", "drop of L1", "lead of L1.1", "least-lit spot of R1"} <= found


@pytest.mark.parametrize(
    ("about", "wanted"),
    [
        ("R1.1", "bar of R1.1"),
        ("L1", "drop of L1"),
        ("S1", "left of S1"),
        ("A1", "opening of A1"),
        ("A", "least-lit spot of R1"),
        ("white-24-10", "white-24-10"),
    ],
)
def test_each_thing_gives_its_own_figures(about: str, wanted: str) -> None:
    assert wanted in names(planned(), about)


def test_a_stile_gives_the_openings_it_cuts_and_the_cable_past_it() -> None:
    stile = {"id": "O1", "wall": "A", "kind": "stile", "at": 900, "width": 40, "crossing": "hole"}
    found = names(planned(add={"obstacles": [stile]}), "O1")
    assert {"opening of A1", "link of R1.1-2"} <= found


def test_an_unknown_id_has_no_figures() -> None:
    assert figures_of(planned(), "nothing") == ()


def test_no_figure_stands_twice_in_the_list() -> None:
    plan = plan_job(row(600, 600, 600))
    for about in ("R1", "L1", "A1"):
        found = figures_of(plan, about)
        assert len(found) == len(set(found)) > 0


def test_a_cabinet_without_a_run_still_has_its_opening() -> None:
    assert [figure.value for figure in figures_of(planned(drop=["R1"]), "A1")] == [883]


def test_the_text_of_all_figures_holds_each_with_its_formula() -> None:
    plan = plan_job(one_bar(A1={"assumed": ["opening"]}))
    text = figures_text(plan)
    assert all(len(line) <= WIDTH and line.isascii() for line in text.splitlines())
    for figure in plan.figures():
        assert f"{named(figure)}: {printed(figure, MM)}" in text
    assert "bar of R1.1: 875 mm (assumed)\n    bar = opening - 2 x clearance - 2 x cap\n" in text


def test_a_figure_that_is_not_finite_is_still_printed() -> None:
    bad = read_off("x", 1.0, "V", "sum", "")._replace(value=float("inf"))
    assert printed(bad, MM) == "inf V"
