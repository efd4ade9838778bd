"""``pelmet papers`` and ``pelmet compare``: files, words, exit codes."""

from importlib.resources import files
from pathlib import Path

import pytest

from pelmet.model.file.job.reading import load_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.paperwork import PAPER_NAMES
from pelmet.tui.command import main as command

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    path = tmp_path / "kitchen.toml"
    path.write_bytes(files("pelmet.model.examples").joinpath("kitchen.toml").read_bytes())
    return path


@pytest.fixture
def released(kitchen: Path) -> Path:
    job = load_job(kitchen)
    site = job.site.model_copy(update={"cut_anyway": "measured by phone"})
    kitchen.write_text(job_text(job.model_copy(update={"site": site})), "utf-8")
    return kitchen


def papers(path: Path, out: Path, *more: str) -> int:
    return command.main(["papers", str(path), "--out", str(out), *more])


def test_every_paper_in_every_format_is_written(released, tmp_path, capsys):
    out = tmp_path / "new" / "papers"
    assert papers(released, out, "--format", "pdf,html,text,csv") == 0
    told = capsys.readouterr()
    written = {path.name for path in out.iterdir()}
    for name in PAPER_NAMES:
        assert {f"{name}.pdf", f"{name}.html", f"{name}.txt"} <= written
    assert "order.csv" in written
    assert {Path(line).name for line in told.out.splitlines()} == written
    assert (out / "order.pdf").read_bytes().startswith(b"%PDF")


def test_the_plan_sheet_is_written_like_any_paper_and_says_what_show_prints(
    kitchen, tmp_path, capsys
):
    out = tmp_path / "papers"
    assert papers(kitchen, out, "--format", "pdf,html,text,csv", "--only", "sheet") == 0
    written = {path.name for path in out.iterdir()}
    assert {"sheet.pdf", "sheet.html", "sheet.txt", "bars.csv", "drill-list.csv"} <= written
    assert (out / "sheet.pdf").read_bytes().startswith(b"%PDF")
    capsys.readouterr()
    assert command.main(["show", str(kitchen)]) == 0
    assert capsys.readouterr().out == (out / "sheet.txt").read_text("utf-8")


def test_only_what_is_new_is_written_of_the_papers_that_know_it(released, tmp_path, capsys):
    out = tmp_path / "papers"
    assert papers(released, out, "--format", "text", "--new") == 0
    written = {path.name for path in out.iterdir()}
    assert {"cut-list-to-do.txt", "quote-to-do.txt", "order-to-do.txt"} <= written
    assert not any(name.startswith(("survey", "mains", "sheet")) for name in written)
    assert "only what is to do" in (out / "wiring-to-do.txt").read_text("utf-8")
    capsys.readouterr()
    assert papers(released, out, "--new", "--only", "survey") == 2
    assert "write it without --new" in capsys.readouterr().err


def test_the_same_job_gives_the_same_bytes_and_a_second_time_changes_nothing(released, tmp_path):
    one, other = tmp_path / "one", tmp_path / "other"
    for out in (one, other, one):
        assert papers(released, out, "--format", "pdf,html,text,csv", "--only", "order,wiring") == 0
    for path in one.iterdir():
        assert path.read_bytes() == (other / path.name).read_bytes()


def test_what_is_held_up_is_not_written_and_says_why(kitchen, tmp_path, capsys):
    out = tmp_path / "papers"
    assert papers(kitchen, out, "--format", "text") == 1
    told = capsys.readouterr()
    assert "cut-list: not released to cutting: readings are assumed behind R4.1" in told.err
    assert not (out / "cut-list.txt").exists()
    assert (out / "order.txt").exists()


def test_a_file_that_holds_something_else_is_left_unless_told(kitchen, tmp_path, capsys):
    (tmp_path / "order.txt").write_text("mine")
    assert papers(kitchen, tmp_path, "--format", "text", "--only", "order") == 1
    assert (tmp_path / "order.txt").read_text() == "mine"
    assert "left as they were" in capsys.readouterr().err
    assert papers(kitchen, tmp_path, "--format", "text", "--only", "order", "--replace") == 0
    assert (tmp_path / "order.txt").read_text("utf-8").startswith("Order list")


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--only", "ordr"), 'no paper "ordr" (did you mean "order"?)'),
        (("--format", "docx"), 'no format "docx"'),
        (("--prices", "nowhere.toml"), "nowhere.toml"),
    ],
)
def test_what_is_not_there_is_refused_in_words(kitchen, tmp_path, capsys, more, says):
    assert papers(kitchen, tmp_path / "out", *more) == 2
    assert says in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_folder_that_cannot_be_written_is_refused(kitchen, tmp_path, capsys):
    (tmp_path / "taken").write_text("")
    assert papers(kitchen, tmp_path / "taken", "--only", "order") == 2
    assert "taken" in capsys.readouterr().err


def test_the_page_is_that_of_the_region_unless_said(kitchen, tmp_path):
    from pypdfium2 import PdfDocument

    def size(*more: str) -> tuple[int, int]:
        assert papers(kitchen, tmp_path, "--only", "order", "--replace", *more) == 0
        width, height = PdfDocument(tmp_path / "order.pdf")[0].get_size()
        return round(width), round(height)

    assert size() == (595, 842)  # A4 in points
    assert size("--page", "us-letter") == (612, 792)


def test_ones_own_prices_hold(kitchen, tmp_path, capsys):
    book = tmp_path / "mine.toml"
    book.write_text('currency = "CHF"\ntax_percent = 8.1\ntax_name = "MWST"\n', "utf-8")
    assert papers(kitchen, tmp_path, "--only", "quote", "--format", "text",
                  "--prices", str(book)) == 0  # fmt: skip
    text = (tmp_path / "quote.txt").read_text("utf-8")
    assert "CHF" in text
    assert "MWST 8.1 %" in text


def test_jobs_are_compared_side_by_side(kitchen, tmp_path, capsys):
    other = tmp_path / "other.toml"
    other.write_bytes(
        files("pelmet.model.examples").joinpath("kitchen-with-pantry.toml").read_bytes()
    )
    assert command.main(["compare", str(kitchen), str(other)]) == 0
    head, _, *rows = capsys.readouterr().out.splitlines()
    assert head.split()[:2] == ["option", "lux"]
    assert [row.split("  ")[0] for row in rows if row[:1].strip()] == [
        "kitchen.toml", "Brighter", "One line, no dots",
        "other.toml", "Brighter", "One line, no dots",
    ]  # fmt: skip


def test_check_tells_what_the_order_finds(kitchen, tmp_path, capsys):
    text = kitchen.read_text("utf-8") + (
        '\n[[catalogue.diffuser]]\nid = "opal-17"\nname = "Short"\ntransmission_percent = 70\n'
        "stock = [500]\nprice = 1\n"
    )
    kitchen.write_text(text, "utf-8")
    assert command.main(["check", str(kitchen)]) == 1
    assert "stock-short" in capsys.readouterr().out
