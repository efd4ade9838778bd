"""The plan sheet: all that a plan has to say, from the blocks that the papers are made of."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.plan.result import Plan
from pelmet.model.told.blocks.bars import bar_blocks, bench_blocks
from pelmet.model.told.blocks.control import control_blocks
from pelmet.model.told.blocks.light import light_blocks
from pelmet.model.told.blocks.pictures import plan_picture, section_picture, wall_picture
from pelmet.model.told.blocks.power import power_blocks
from pelmet.model.told.blocks.rules import override_block, rule_blocks
from pelmet.model.told.blocks.seen import dimmed_words, what_is_seen
from pelmet.model.told.blocks.ways import way_blocks
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.drawings.elevation.wall import view_wall
from pelmet.model.told.drawings.section.cut import cuts
from pelmet.model.told.figures import printed
from pelmet.model.told.findings import counts_words, finding_block
from pelmet.model.told.paper import Block, Grid, Heading, Paper, Points, Words, paper_with
from pelmet.model.told.papers.drill_list import hole_blocks
from pelmet.model.told.papers.mains import mains_blocks
from pelmet.model.told.papers.mounting import mounting_blocks
from pelmet.model.told.papers.proof_record import reading_blocks
from pelmet.model.told.papers.wiring import wiring_blocks
from pelmet.model.told.reminders import assumed_words, defaults_words, part_names

TITLE: Final = "Plan sheet"
READER: Final = "whoever plans"


def sheet_of(plan: Plan) -> Paper:
    """Make the plan sheet."""
    return paper_with(plan.job, "sheet", TITLE, READER, tuple(sheet_blocks(plan)))


def sheet_blocks(plan: Plan) -> Iterator[Block]:
    """Tell the whole plan; it takes nothing that is cut, bought or priced."""
    yield from _head(plan)
    yield from cautions_on(plan, "sheet")
    yield Heading("Plan")
    yield plan_picture(plan)
    yield Heading("Elevation")
    yield from _elevations(plan)
    yield Heading("Section")
    drawn = [section_picture(plan, cut) for cut in cuts(plan)]
    yield from drawn or (Words("There is no cabinet to cut through yet."),)
    yield Heading("Bars")
    yield from bar_blocks(plan)
    yield Heading("Bench")
    yield from bench_blocks(plan)
    yield from mounting_blocks(plan)
    yield from wiring_blocks(plan)
    yield Heading("Ways of cables")
    yield from way_blocks(plan)
    yield Heading("Holes")
    yield from hole_blocks(plan)
    yield Heading("Power budget")
    yield from power_blocks(plan)
    yield Heading("Control")
    yield from control_blocks(plan)
    yield Heading("Expected readings")
    yield from reading_blocks(plan)
    yield Heading(plan.job.site.words.said("{Of_mains} side"))
    yield from mains_blocks(plan)
    yield Heading("Light")
    yield from light_blocks(plan)
    yield Heading("Seen")
    dimmed = (dimmed_words(),) if plan.controls.dimmers else ()
    yield Points((*what_is_seen(plan), *dimmed) or ("There is no light to see yet.",))
    yield Heading("Materials, as planned: no waste, no spare")
    yield _materials(plan)
    yield Heading("Findings")
    yield finding_block(plan)
    yield Heading("Rules of the region")
    yield from rule_blocks(plan.job)
    yield override_block(plan.job)
    yield Heading("Assumed")
    yield Points(assumed_words(plan))
    yield Heading("Defaults used")
    yield Words(defaults_words(plan.job))


def _head(plan: Plan) -> Iterator[Block]:
    site = plan.job.site
    yield Words(
        f"Region {site.region}, lengths in {site.unit_name}. Findings: {counts_words(plan)}."
    )
    yield from map(Words, site.note.splitlines())


def _elevations(plan: Plan) -> Iterator[Block]:
    """Draw every wall that has anything on it."""
    full = [
        wall_picture(plan, line.wall.id, room.room.name)
        for room in plan.rooms
        for line in room.walls
        if not view_wall(plan, room, line).bare
    ]
    yield from full or (Words("There is nothing on any wall yet."),)


def _materials(plan: Plan) -> Block:
    if not plan.needs:
        return Words("None.")
    names, site = part_names(plan.parts), plan.job.site
    rows = tuple(
        (need.part, printed(need.amount, site), names.get(need.part, "not in the catalogue"))
        for need in plan.needs
    )
    return Grid(("part", "net amount", "name"), rows, frozenset({1}), "materials")
