"""Keep every test away from this person's own settings, and every screen the same each time."""

import sys
from pathlib import Path

import pytest
from hypothesis import settings

# The jobs that the model is tried on serve the wizard's tests too.
sys.path.append(str(Path(__file__).parent / "model"))

_HEARD = (
    "NO_COLOR",
    "TEXTUAL_THEME",
    "TEXTUAL_ANIMATIONS",
    "PELMET_CATALOGUE",
    "PELMET_OFFCUTS",
    "PELMET_PRICES",
    "COLORTERM",
)

settings.register_profile("suite", deadline=None, derandomize=True)
settings.load_profile("suite")


def pytest_terminal_summary(terminalreporter):
    """Print what tests have measured, such as the keys a whole job takes."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            terminalreporter.write_line(f"{name}: {value}")


@pytest.fixture(autouse=True)
def own_folders(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a fresh home with its own settings folders, and no word from the environment."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("XDG_STATE_HOME", str(home / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(home / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    for name in _HEARD:
        monkeypatch.delenv(name, raising=False)
    return home
