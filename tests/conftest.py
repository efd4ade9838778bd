"""Keep every test away from this person's own settings, and every screen the same each time."""

import gc
import sys
from itertools import count
from pathlib import Path
from random import SystemRandom

import pytest
from hypothesis import HealthCheck, settings

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

# How long a machine takes decides no test. The suite tries the same examples each time; a long
# run, with --hypothesis-profile=long, tries others each time and more of them.
settings.register_profile(
    "suite",
    deadline=None,
    derandomize=True,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile(
    "long",
    settings.get_profile("suite"),
    derandomize=False,
    max_examples=20 * settings.get_profile("suite").max_examples,
)
settings.load_profile("suite")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config):
    """Choose the seed of a long run here, so that all its processes have the same."""
    if config.option.hypothesis_profile == "long" and config.option.hypothesis_seed is None:
        config.option.hypothesis_seed = str(SystemRandom().randrange(2**32))


def pytest_collection_finish():
    """Let what stays to the end not be looked through for waste again and again.

    The wizard does so too with what there is when it starts, which here is the waste of the tests
    before.
    """
    gc.collect()
    gc.freeze()
    gc.freeze = lambda: None
    gc.set_threshold(2000, 10, 50)


def pytest_terminal_summary(terminalreporter, config):
    """Print what tests have measured, such as the keys a whole job takes."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            terminalreporter.write_line(f"{name}: {value}")
    if config.option.hypothesis_seed is not None:
        terminalreporter.write_line(
            f"the same examples again: --hypothesis-seed={config.option.hypothesis_seed}"
        )


_number = count()


@pytest.fixture(autouse=True)
def own_folders(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a fresh home with its own settings folders, and no word from the environment."""
    home = tmp_path_factory.getbasetemp() / f"home{next(_number)}"
    home.mkdir()
    monkeypatch.setenv("XDG_STATE_HOME", str(home / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(home / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    for name in _HEARD:
        monkeypatch.delenv(name, raising=False)
    return home
