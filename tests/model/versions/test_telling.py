"""What was done between two versions is told by what it comes to, a line a run."""

from pelmet.model.edit.building import note_built, take_back
from pelmet.model.examples import read_example
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Grid, Heading
from pelmet.model.versions.follows import what_follows
from pelmet.model.versions.said import differences
from pelmet.model.versions.telling import diff_data, said_blocks


def test_what_was_built_is_told_run_by_run_and_every_row_as_data():
    old = read_example("kitchen")
    before = make_folder(plan_job(old))
    built = note_built(before, ["R1", "R2"], "wired", day="2027-03-01", by="Jo")
    new = take_back(built, "R2", "mounted", "hood moved")
    said = differences(old, new)
    heading, grid, *_ = said_blocks(said)
    assert heading == Heading("Done")
    assert isinstance(grid, Grid)
    told = dict(grid.rows)
    assert told["R1"] == "1 bar hung, 3 pieces cut, 1 cable laid, wired (2027-03-01, Jo)"
    assert told["R2"].startswith("2 bars hung, 6 pieces cut, ")
    assert told["R2"].endswith("wired (2027-03-01, Jo), back to mounted: hood moved")
    assert told["S1"] == "fitted, supply-24-96"
    assert len(told["holes"].split()) == 2 + len(new.drilled)
    data = diff_data(said, what_follows(before, make_folder(plan_job(new))))
    rows = [each for each in data["said"] if each["kind"] in ("cut", "hung", "drilled", "laid")]
    assert len(rows) == sum(map(len, (new.cuts, new.hung, new.drilled, new.laid)))
