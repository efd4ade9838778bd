"""The Python door: a few names, found when they are asked for, nothing loaded before."""

import doctest
import subprocess
import sys
from pathlib import Path

import pytest

import pelmet.model

ROOT = Path(__file__).parents[2]


def test_the_example_of_the_docstring_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    failed, tried = doctest.testmod(pelmet.model)
    assert tried
    assert not failed


def test_every_public_name_is_there_and_no_other() -> None:
    assert dir(pelmet.model) == sorted(pelmet.model.__all__)
    for name in pelmet.model.__all__:
        assert getattr(pelmet.model, name).__name__ == name


def test_a_wrong_name_is_refused_as_python_refuses_it() -> None:
    with pytest.raises(AttributeError, match="no attribute 'load_jobs'"):
        _ = pelmet.model.load_jobs  # type: ignore[attr-defined]


def loaded_after(code: str) -> set[str]:
    script = f"import sys\n{code}\nprint(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    return set(done.stdout.split())


def test_the_package_alone_loads_nothing_heavy() -> None:
    assert not loaded_after("import pelmet.model") & {"pydantic", "pint", "textual", "rich"}


def test_reading_and_planning_need_no_pint_and_no_terminal() -> None:
    loaded = loaded_after("from pelmet.model import load_job, plan_job, save_job")
    assert "pydantic" in loaded
    assert not loaded & {"pint", "textual", "rich"}
