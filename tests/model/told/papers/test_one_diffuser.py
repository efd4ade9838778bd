"""A diffuser is one length on every paper, at a mitre too."""

import math
import re

import pytest
from corners import MEETINGS, corner
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, survey
from papers import folder, paper, said

from pelmet.model.job.job import Job
from pelmet.model.job.piece_names import bar_of
from pelmet.model.told.data.rows import bar_rows
from pelmet.model.told.figures import as_sawn, printed


def lengths_of(job: Job) -> None:
    """Check that the pieces, the JSON and the mounting sheet have each diffuser alike."""
    found = folder(job)
    plan, site = found.plan, found.plan.job.site
    rows = {row["id"]: row["diffuser_mm"] for row in bar_rows(plan)}
    sheet = said(paper(job, "mounting"))
    for one in plan.bench:
        if one.diffuser is None:
            continue
        own = (each for each in found.pieces if each.kind == "diffuser")
        pieces = [each.length for each in own if bar_of(each.name) == bar_of(one.bar.id)]
        assert sum(pieces) == one.diffuser.value
        assert rows[one.bar.id] == pytest.approx(float(one.diffuser.value))
        assert printed(as_sawn(one.diffuser, site), site) in sheet
        edges = [float(each.value) for each in (one.bar.length, *one.bar.points)]
        assert max(edges) - 12 * max(edges) / 1000 <= one.diffuser.value <= max(edges)


@pytest.mark.property
@QUICK
@given(survey())
def test_a_diffuser_is_one_length_on_every_paper(job):
    lengths_of(job)


@pytest.mark.property
@QUICK
@given(st.integers(60, 170) | st.integers(190, 280), st.sampled_from(MEETINGS))
def test_a_diffuser_round_a_corner_is_one_length_on_every_paper(degrees, meeting):
    lengths_of(corner(degrees, meeting))


@pytest.mark.regression
@pytest.mark.parametrize(
    ("degrees", "edge"), [(90, "wall edge"), (135, "wall edge"), (270, "room edge")]
)
def test_mounting_tells_the_mitre_and_which_edge_the_diffuser_is_measured_by(degrees, edge):
    job = corner(degrees, "mitre")
    setting = abs(90 - degrees / 2)
    told = re.findall(r"(\S+) is mitred: (.*)", said(paper(job, "mounting")))
    assert [name for name, _ in told] == ["R1.1", "R1.2"]
    for _, words in told:
        assert f"end {setting:g} deg from square" in words
        assert words.endswith(f"its diffuser is as long as told at its {edge}.")
    # The longer edge is longer than the middle by half the face at the saw's setting.
    for one in folder(job).plan.bench:
        longest = max(float(each.value) for each in one.bar.points)
        slant = 17 / 2 * math.tan(math.radians(setting))
        assert longest == pytest.approx(float(one.bar.length.value) + slant, abs=1e-5)
