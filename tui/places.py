"""Where this program keeps its own few files: jobs, recovery, parts, prices, off-cuts, a name."""

import os
from pathlib import Path

from platformdirs import user_config_path, user_data_path, user_state_path

OWN_FILES = _CATALOGUE, _PRICES, _OFFCUTS = ("catalogue.toml", "prices.toml", "offcuts.toml")
_APP = "pelmet"
_RECENT_KEPT = 9


def recovery_folder() -> Path:
    """Give the folder of the recovery files."""
    return user_state_path(_APP) / "recovery"


def user_catalogue() -> Path | None:
    """Give the user's own catalogue file: named by PELMET_CATALOGUE, or in the config folder."""
    return _own_file("PELMET_CATALOGUE", _CATALOGUE)


def user_prices() -> Path | None:
    """Give the user's own price book: named by PELMET_PRICES, or in the config folder."""
    return _own_file("PELMET_PRICES", _PRICES)


def offcut_store() -> Path:
    """Give the user's store of off-cuts: named by PELMET_OFFCUTS, or in the data folder."""
    return Path(os.environ.get("PELMET_OFFCUTS") or user_data_path(_APP) / _OFFCUTS)


def own_name() -> str:
    """Give the name that papers are signed with, or nothing as long as nobody has said it."""
    import tomllib

    try:
        found = tomllib.loads(_name_file().read_text("utf-8")).get("name")
    except (OSError, ValueError):
        return ""
    return found if isinstance(found, str) else ""


def remember_name(name: str) -> None:
    """Keep the name that papers are signed with; one that cannot be kept is asked for again."""
    import tomli_w

    file = _name_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(tomli_w.dumps({"name": name}), "utf-8")
    except (OSError, UnicodeError):
        return


def recent_jobs() -> tuple[Path, ...]:
    """Give the jobs opened last that are still there, the latest first."""
    return tuple(path for path in _recent() if path.is_file())


def remember_job(path: Path) -> None:
    """Put a job at the top of the recent ones; a list that cannot be kept is no fault."""
    import tomli_w

    own = path.absolute()
    kept = [own, *(each for each in _recent() if each != own)][:_RECENT_KEPT]
    file = _recent_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(tomli_w.dumps({"recent": [str(each) for each in kept]}), "utf-8")
    except (OSError, UnicodeError):
        return


def _own_file(variable: str, name: str) -> Path | None:
    named = os.environ.get(variable)
    if named:
        return Path(named)
    usual = user_config_path(_APP) / name
    return usual if usual.is_file() else None


def _name_file() -> Path:
    return user_config_path(_APP) / "name.toml"


def _recent_file() -> Path:
    return user_state_path(_APP) / "recent.toml"


def _recent() -> list[Path]:
    import tomllib

    try:
        found = tomllib.loads(_recent_file().read_text("utf-8")).get("recent", [])
    except (OSError, ValueError):
        return []
    return (
        [Path(each) for each in found if isinstance(each, str)] if isinstance(found, list) else []
    )
