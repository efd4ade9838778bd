"""What the wheel is told to hold is all that the folders hold: a new folder is not forgotten."""

import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[1]
TOOL = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]
FOLDERS = {"pelmet.model": ROOT / "model", "pelmet.tui": ROOT / "tui"}
FILES = {
    f"{package}{''.join(f'.{part}' for part in path.parent.relative_to(folder).parts)}/{path.name}"
    for package, folder in FOLDERS.items()
    for path in folder.rglob("*")
    if path.is_file() and "__pycache__" not in path.parts
}


def of(package: str, pattern: str) -> set[str]:
    """Give the files of one package that a pattern takes."""
    return {each for each in FILES if Path(each).match(f"{package}/{pattern}")}


def test_the_packages_are_the_folders_with_python_in_them():
    with_python = {each.partition("/")[0] for each in FILES if each.endswith(".py")}
    assert TOOL["packages"] == sorted(with_python)
    assert {each for each in FILES if each.endswith("/__init__.py")} == {
        f"{package}/__init__.py" for package in with_python
    }
    assert TOOL["package-dir"] == {package: folder.name for package, folder in FOLDERS.items()}


def test_every_file_that_is_no_python_goes_with_its_package():
    patterns = {
        (package, pattern): of(package, pattern)
        for package, each in TOOL["package-data"].items()
        for pattern in each
    }
    assert all(patterns.values()), patterns
    assert set().union(*patterns.values()) == {each for each in FILES if not each.endswith(".py")}
