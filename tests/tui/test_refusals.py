"""What cannot be done is one family, and both front ends tell of it why and what to do."""

import ast
import doctest
from collections.abc import Callable, Iterator
from functools import partial, partialmethod
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import pytest
from frames import press, shown, told, wizard_of
from jobs import one_bar
from screens import on_example

import pelmet.model
import pelmet.tui
from pelmet.model import refusal as family
from pelmet.model.edit.add import add_item
from pelmet.model.file.disk.paper_files import make_folder_for
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.job import Job
from pelmet.model.measure.lengths import parse_length
from pelmet.model.plan.circuit.dc.constant_power import one_end_fed_power
from pelmet.model.refusal import Refusal
from pelmet.tui.app import Pelmet
from pelmet.tui.command import main as command
from pelmet.tui.command.parsers import schema_parser
from pelmet.tui.session.session import Session

Raising = Callable[[], object]
REAL: dict[str, Raising] = {
    "a bad file": partial(command._run, ["check", "bad.toml"]),
    "no file": lambda: load_job("none.toml"),
    "a bad length": partial(command._run, ["offcuts", "add", "opal-17", "5 ells"]),
    "an ambiguous length": lambda: parse_length("2,400", "mm"),
    "a piece that is not in the store": partial(
        command._run, ["offcuts", "take", "job.toml", "c7"]
    ),
    "a paper that is none": partial(
        command._run, ["papers", "job.toml", "--out", "papers", "--only", "nonsense"]
    ),
    "a command that is none": partial(command._run, ["chek"]),
    "a file changed by somebody": lambda: save_job(Job(), "job.toml", "as it was"),
    "a file that went": lambda: save_job(Job(), "none.toml", "as it was"),
    "a name that is taken": lambda: save_job(Job(), "job.toml", None),
    "a folder that is a file": lambda: make_folder_for(Path("job.toml")),
    "a thing without a place": lambda: add_item(Job(), "cabinet"),
    "a strip too long": lambda: one_end_fed_power(13, 0.06, 9.6, 12),
}


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    save_job(one_bar(), "job.toml", None)
    Path("bad.toml").write_text('schema = 1\n[[room]]\nid = "K"\n')


def refusal_of(raising: Raising) -> Refusal:
    with pytest.raises(Refusal) as caught:
        raising()
    return caught.value


def modules() -> Iterator[str]:
    for package in (pelmet.model, pelmet.tui):
        for found in walk_packages(package.__path__, f"{package.__name__}."):
            if not found.name.endswith("__main__"):
                import_module(found.name)
                yield found.name


def defined_below(kind: type[BaseException]) -> set[type[BaseException]]:
    found = {each for below in kind.__subclasses__() for each in (below, *defined_below(below))}
    return {each for each in found if each.__module__.startswith("pelmet.")}


def told_apart() -> set[str]:
    """Give the names of all that some module catches, or looks whether it is."""
    names: set[str] = set()
    for name in modules():
        for node in ast.walk(ast.parse(Path(str(import_module(name).__file__)).read_text("utf-8"))):
            if isinstance(node, ast.ExceptHandler) and node.type:
                names |= {each.id for each in ast.walk(node.type) if isinstance(each, ast.Name)}
            elif isinstance(node, ast.Call) and getattr(node.func, "id", "") == "isinstance":
                names |= {each.id for each in ast.walk(node.args[1]) if isinstance(each, ast.Name)}
    return names


def test_every_exception_of_ours_is_a_refusal():
    assert len(list(modules())) > 300
    assert defined_below(BaseException) == {Refusal} | defined_below(Refusal)


def test_a_kind_of_refusal_is_one_that_somebody_tells_apart():
    told, door = told_apart(), set(pelmet.model.__all__)
    kinds = {each.__name__ for each in defined_below(Refusal)}
    assert kinds
    assert kinds - told - door == set()


def test_every_kind_of_refusal_is_among_those_tried_here():
    tried = {cls for each in REAL.values() for cls in type(refusal_of(each)).__mro__}
    assert defined_below(Refusal) <= tried


@pytest.mark.parametrize("raising", REAL.values(), ids=REAL)
def test_each_says_why_and_what_to_do_on_one_line_that_can_go_on(raising: Raising):
    refused = refusal_of(raising)
    assert refused.reason
    assert refused.remedy
    assert isinstance(refused.place, str)
    for words in (refused.reason, refused.place, refused.remedy):
        assert words.isprintable()
        assert not words.endswith(".")
    assert family.refusal_text(refused, "") == f"{refused.reason}; {refused.remedy}"
    assert family.refusal_text(refused, "Here") == f"Here: {refused.reason}; {refused.remedy}"
    assert str(refused) == family.refusal_text(refused)
    assert family.refusal_text(refused).startswith(refused.place)


def test_the_examples_in_its_words_hold():
    failed, tried = doctest.testmod(family)
    assert (failed, tried) == (0, 2)


def test_what_nothing_can_be_done_about_is_told_without_a_remedy():
    assert family.refusal_text(Refusal("it is so")) == "it is so"
    assert family.refusal_text(Refusal("it is so", "A1")) == "A1: it is so"


@pytest.mark.parametrize("raising", REAL.values(), ids=REAL)
def test_the_command_line_tells_each_and_ends_with_2(
    raising: Raising, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    refused = refusal_of(raising)
    monkeypatch.setitem(command._COMMANDS, "schema", (schema_parser, lambda _: raising()))
    assert command.main(["schema"]) == 2
    out, err = capsys.readouterr()
    assert not out
    assert err == f"{family.refusal_text(refused)}\n"
    assert refused.reason in err
    assert refused.remedy in err


@pytest.mark.journey
@pytest.mark.parametrize("raising", REAL.values(), ids=REAL)
async def test_the_wizard_tells_each(raising: Raising, monkeypatch: pytest.MonkeyPatch):
    refused = refusal_of(raising)
    monkeypatch.setattr(Session, "propose", lambda _: raising())
    async with shown(on_example(), (140, 30)) as pilot:
        await press(pilot, "f3", "ctrl+t")
        says = " ".join(told(pilot).split())
        assert says == family.refusal_text(refused)
        assert refused.reason in says
        assert refused.remedy in says
        assert not wizard_of(pilot).session.dirty


@pytest.mark.journey
def test_a_bad_file_named_at_the_start_is_told_once_the_screen_is_given_back(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.setattr(command, "_has_terminal", lambda: True)
    monkeypatch.setattr(Pelmet, "run", partialmethod(Pelmet.run, headless=True))
    assert command.main(["bad.toml"]) == 2
    assert capsys.readouterr().err == f"{family.refusal_text(refusal_of(REAL['a bad file']))}\n"
