"""The change log: what changed, who changed it and why, and which papers that made void."""

from pelmet.model.plan.result import Plan
from pelmet.model.told.paper import Block, Grid, Heading, Words

_HEAD = ("revision", "day", "by", "why", "papers void since")
_GIVEN_HEAD = ("paper", "given out as of revision", "day", "by")


def change_log_paper(plan: Plan) -> tuple[Block, ...]:
    """Tell every revision, the oldest first, and which papers people hold."""
    job = plan.job
    rows = tuple(
        (str(at), each.day or "-", each.by or "-", each.why, ", ".join(each.void) or "none")
        for at, each in enumerate(job.revisions, 1)
    )
    blocks: list[Block] = [Words("No revision yet: papers are as they were first given out.")]
    if rows:
        blocks = [Grid(_HEAD, rows, frozenset({0}), name="change-log", large=frozenset({0}))]
    blocks.append(Heading("Papers given out"))
    last = {each.paper: each for each in job.given}
    if not last:
        return (*blocks, Words("None is noted as given out."))
    given = tuple(
        (paper, str(each.revision), each.day or "-", each.by or "-") for paper, each in last.items()
    )
    return (
        *blocks,
        Grid(_GIVEN_HEAD, given, frozenset({1})),
        Words("Of each paper only the last one counts: throw older ones away."),
    )
