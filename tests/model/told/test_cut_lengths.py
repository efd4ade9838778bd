"""What a saw is told in inches is never more than planned, and a cable's length never less."""

import csv
import io
import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import TypeGuard

import pytest
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, row
from papers import folder, grid

from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.job.job import Job, Site
from pelmet.model.measure.lengths import parse_length
from pelmet.model.order.folder import Folder
from pelmet.model.order.pieces import Piece
from pelmet.model.plan.figure import Figure
from pelmet.model.told.blocks.one_line import draw_one_line
from pelmet.model.told.figures import as_cable, as_sawn, brief, printed
from pelmet.model.told.formats.tables import paper_tables
from pelmet.model.told.formats.text import paper_text
from pelmet.model.told.paper import Grid
from pelmet.model.told.papers.plan_sheet import sheet_of
from pelmet.model.told.papers.sheets import paper_of
from pelmet.tui.session.outline import outline_of
from pelmet.tui.session.steps import RUNS
from pelmet.tui.wizard.walking import words_for

INCH = Fraction(254, 10)  # international yard and pound agreement, 1959
PARTS = st.sampled_from([16, 32])
SPLICED = row(3208, underside="flush", R1={"over_length": "splice"},
              allowances={"longest_bar": 2000})  # fmt: skip
TO_BE_CUT = {name: job for name in EXAMPLES if not (job := read_example(name)).cuts}
JOBS = {**TO_BE_CUT, "spliced": SPLICED}


def inches(job: Job, parts: int = 16) -> Job:
    site = job.site.model_copy(update={"length_unit": "in", "inch_parts": parts})
    return job.model_copy(update={"site": site})


def read(text: str) -> Fraction:
    return Fraction(parse_length(text, "in"))


def check(told: str, piece: Piece, parts: int) -> None:
    """Sawn, and strip, at most a fraction under what is planned; cable at most one over it."""
    short = Fraction(piece.length) - read(told)
    assert 0 <= (-short if piece.kind == "cable" else short) < INCH / parts, (piece, told)


def cut_tables(found: Folder) -> Iterator[tuple[Piece, str]]:
    """Give every piece of the cut list with the length in the file for the spreadsheet."""
    pieces = {(piece.kind, piece.name): piece for piece in found.pieces}
    for name, text in paper_tables(paper_of(found, "cut-list")).items():
        kind = name.removeprefix("cut-list").lstrip("-") or "channel"
        if kind == "tails":
            continue
        for each in csv.DictReader(io.StringIO(text)):
            if each["cut"] not in ("keep", "scrap", "cut off"):
                yield pieces[kind, each["cut"]], each["length [in]"]


lengths = (
    st.integers(0, 50_393).map(lambda count: count * Decimal("0.396875"))  # 1/64 in, to 20 m
    | st.decimals(0, 20_000, places=3)
    | st.floats(0, 20_000)
)


@pytest.mark.property
@given(lengths, PARTS)
def test_a_fraction_down_to_the_saw_and_up_for_cable(mm, parts):
    site, figure = Site(length_unit="in", inch_parts=parts), Figure("bar", mm, "mm", "bar")
    planned = Fraction(str(mm))
    sawn, cable = (read(printed(told(figure, site), site)) for told in (as_sawn, as_cable))
    assert planned - INCH / parts < sawn <= planned <= cable < planned + INCH / parts


@pytest.mark.property
@given(lengths, st.sampled_from(["mm", "cm", "m"]))
def test_metric_lengths_are_told_as_ever(mm, unit):
    site, figure = Site(length_unit=unit), Figure("bar", mm, "mm", "bar")
    for told in (as_sawn, as_cable):
        for print_it in (printed, brief):
            assert print_it(told(figure, site), site) == print_it(figure, site)


@pytest.mark.parametrize("parts", [16, 32])
@pytest.mark.parametrize("name", JOBS)
def test_the_cut_list_of_an_example_in_inches_never_says_too_much(name, parts):
    found = folder(inches(JOBS[name], parts))
    told = list(cut_tables(found))
    assert {piece.name for piece, _ in told} == {piece.name for piece in found.pieces}
    for piece, text in told:
        check(text, piece, parts)


@pytest.mark.property
@quick(20)
@given(any_job(), PARTS)
def test_the_cut_list_of_any_job_in_inches_never_says_too_much(job, parts):
    for piece, text in cut_tables(folder(inches(job, parts))):
        check(text, piece, parts)


def tables(found: Folder) -> dict[str, dict[str, tuple[str, ...]]]:
    """Give the rows of the plan sheet's tables by what they begin with."""
    blocks = sheet_of(found.plan).blocks
    return {each.name: {row[0]: row for row in each.rows} for each in blocks if is_table(each)}


def is_table(block: object) -> TypeGuard[Grid]:
    return isinstance(block, Grid)


@pytest.mark.parametrize("name", JOBS)
def test_all_that_a_bar_is_sawn_by_says_the_same(name):
    found = folder(inches(JOBS[name]))
    shown = tables(found)
    rows = {row.id: row.text for row in outline_of(RUNS, found.plan)}
    cut = {(piece.kind, piece.name): text for piece, text in cut_tables(found)}
    held = {row[0]: row[-1] for row in grid(paper_of(found, "mounting"), "bar", 1).rows}
    for one in found.plan.bench:
        bar = one.bar
        if not bar.splices:
            length = cut["channel", bar.id]
            assert shown["bars"][bar.id][3] == length
            assert rows[bar.id].startswith(f"{bar.id} {length}")
        lit = as_sawn(bar.lit, found.plan.job.site)
        assert shown["bars"][bar.id][5] == printed(lit, found.plan.job.site).removesuffix(" in")
        if one.diffuser and not one.diffuser_joints:
            length = cut["diffuser", bar.id]
            assert (
                shown["mounting-fixing"][bar.id][-1]
                .removesuffix(", assumed")
                .endswith(f" {length} in")
            )
            assert held[bar.id].removesuffix(", assumed").endswith(f" {length} in")


def test_where_pieces_meet_is_no_further_than_the_piece_before_is_long():
    found = folder(inches(SPLICED))
    cut = {(piece.kind, piece.name): text for piece, text in cut_tables(found)}
    shown = flat(paper_text(sheet_of(found.plan)))
    assert f"{cut['channel', 'R1.1a']} in from the left end: ends square" in shown
    joined = tables(found)["mounting-fixing"]["R1.1"][-1]
    assert f"joined at {cut['diffuser', 'R1.1a']} in from the left end" in joined


@pytest.mark.parametrize("name", JOBS)
def test_all_that_a_cable_is_cut_by_says_the_same(name):
    found = folder(inches(JOBS[name]))
    cut = {(piece.kind, piece.name): text for piece, text in cut_tables(found)}
    picture = flat(" ".join(draw_one_line(found.plan)))
    wiring = tables(found)["wiring"].values()
    assert wiring
    assert list(wiring) == list(grid(paper_of(found, "wiring"), "cable").rows)
    for own, origin, end, part, length, *_ in wiring:
        assert length == cut["cable", own]
        assert re.search(rf" {re.escape(own)} {part}( \(.*?\))?, {length} in( assumed)?, ", picture)
        assert words_for(found.plan, own) == f"{own} {origin} > {end}, {length} in"


def test_a_cable_in_the_wall_is_as_long_on_the_first_fix_paper():
    found = folder(inches(read_example("kitchen")))
    cut = {piece.name: text for piece, text in cut_tables(found) if piece.kind == "cable"}
    rows = grid(paper_of(found, "first-fix"), "cable").rows
    assert rows
    assert [row[2] for row in rows] == [cut[row[0]] for row in rows]


def flat(text: str) -> str:
    return " ".join(text.split())
