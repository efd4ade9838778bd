"""Cautions and notes: each sentence once on a paper, and every caution from the one table."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator

import pytest
from hypothesis import given
from jobs import QUICK, any_job, many_bars, obstacle, one_bar, planned, row

from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.job.job import Job
from pelmet.model.job.region_words import words_of
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.cautions import CAUTIONS, OF_ANY_PLAN, Caution, cautions_for
from pelmet.model.told.paper import Cautions, Paper, Points, Words
from pelmet.model.told.papers.sheets import SHEETS, paper_of

SECOND = {"supplies": [{"id": "S2", "cabinet": "A1"}], "legs": [{"id": "L2", "supply": "S2"}]}
JOBS: dict[str, Job] = {
    **{name: read_example(name) for name in EXAMPLES},
    "thirty bars": many_bars(),
    "two supplies": one_bar(add=SECOND, R1={"feed_end": "both", "far_leg": "L2"}),
    "taped and dimmed": one_bar(R1={"fixing": "tape"}, L1={"dimmer": "dimmer-5"}),
    "long": row(2500, A1={"assumed": ["opening"]}),
    "stile": row(600, 600, add={"obstacles": [obstacle("O1", 1300, 20)]}),
}
ROWS = list(dict.fromkeys(each for rows in CAUTIONS.values() for each in rows))


def papers(job: Job) -> Iterator[Paper]:
    folder = make_folder(plan_job(job))
    return (paper_of(folder, name) for name in SHEETS)


def sentences(text: str) -> list[str]:
    """Part a text where a sentence ends and another begins."""
    return [each.strip(" .") for each in re.split(r"(?<=[.?!]) (?=[A-Z])", text)]


def pattern(caution: Caution) -> str:
    return re.escape(words_of("eu").said(caution.says, ids="IDS", tape="15 C")).replace("IDS", ".+")


def twice(texts: Iterable[str]) -> list[str]:
    """Give the sentences that stand twice in some texts."""
    found = Counter(each for text in texts for each in sentences(text))
    return [each for each, count in found.items() if count > 1]


def cautions_of(paper: Paper) -> list[str]:
    """Give the cautions of a paper, each of which is of the table."""
    found = [text for each in paper.blocks if isinstance(each, Cautions) for text in each.texts]
    own = "|".join(map(pattern, CAUTIONS.get(paper.name, ())))
    assert all(re.fullmatch(own, text) for text in found), paper.name
    return found


def notes_of(paper: Paper) -> Iterator[str]:
    for block in paper.blocks:
        if isinstance(block, Points):
            yield from block.texts
        elif isinstance(block, Words):
            yield block.text


@pytest.mark.parametrize("name", JOBS)
def test_no_sentence_stands_twice_on_a_paper_and_no_caution_is_of_its_own_wording(name):
    for paper in papers(JOBS[name]):
        assert not twice((*cautions_of(paper), *notes_of(paper))), paper.name


@pytest.mark.property
@QUICK
@given(any_job())
def test_nor_is_a_caution_on_any_paper_of_any_job(job: Job):
    for paper in papers(job):
        assert not twice(cautions_of(paper)), paper.name


def test_no_two_rows_say_the_same():
    words = Counter(row.says for row in ROWS)
    again = {says for says, count in words.items() if count > 1}
    # What is drilled in a wall is scanned for too, with no hole on the drill list.
    assert again == {OF_ANY_PLAN[4].says}
    firsts = [sentences(row.says)[0] for row in ROWS if row.says not in again]
    assert len(set(firsts)) == len(firsts)


def test_every_row_is_called_for_by_some_job():
    missing = {row.called_for_by for row in ROWS}
    jobs = [
        *JOBS.values(),
        one_bar(A1={"kind": "upright", "opening": (), "width": 40, "height": 883}),
        one_bar(A1={"depth": 126}, S1={"place": "on top of cabinet"}),
        one_bar(A1={"depth": 139}),
        one_bar(allowances={"hole_edge": 37}),
        row(600, 600, R1={"cabinets": ["A2"]}, A2={"lip": 9}),
        through_sides(A1={"depth": 160}, A2={"depth": 160, "pin_rows": [110]}),
        through_sides(allowances={"side_hole": 6}),
    ]
    for job in jobs:
        plan = plan_job(job)
        missing -= {row.called_for_by for row in ROWS if cautions_for(plan, [row])}
    assert not missing


def through_sides(**how: object) -> Job:
    """Two frames; under the second a stile lets nothing past, so cable goes through their sides."""
    stile = obstacle("O1", 1300, 20, crossing="over")
    run = {"cabinets": ["A2"], "feed_end": "right"}
    return row(600, 600, add={"obstacles": [stile]}, R1=run, **how)


def test_ids_stand_where_a_sentence_has_room_for_them():
    (hung,) = (text for text in cautions_for(planned(), CAUTIONS["mains"]) if "own sheet" in text)
    assert hung.endswith("within reach: S1.")
