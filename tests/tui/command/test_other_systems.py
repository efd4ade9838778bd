"""The whole program as Windows and macOS would load it, played on this system."""

import sys
from pathlib import Path

import pytest
from systems import run_on

SYSTEMS = ["win32", "darwin"]

EVERYTHING = """
for name in MODULES:
    import_module(name)
print(*MODULES)
"""

COMMANDS = """
import io, os, sys
from contextlib import redirect_stdout
from pelmet.tui.command.main import main

def say(*words):
    with redirect_stdout(io.StringIO()) as out:
        code = main(list(words))
    print(code, out.getvalue())

os.chdir(sys.argv[1])
say("example", "--write", "kitchen.toml")
say("check", "kitchen.toml")
say("show", "kitchen.toml")
say("papers", "kitchen.toml", "--out", "papers", "--format", "text,csv")
say("offcuts", "add", "surface-17", "900", "--store", "offcuts.toml")
say("offcuts", "--store", "offcuts.toml")
print(sys.platform, "msvcrt" in sys.modules, file=sys.stderr)
"""


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_module_loads(system: str):
    done = run_on(system, EVERYTHING)
    assert done.returncode == 0, done.stderr
    assert {"pelmet.model.file.disk.locking", "pelmet.tui.app"} <= set(done.stdout.split())


@pytest.mark.cross_check
def test_every_command_says_and_writes_the_same(tmp_path: Path):
    said, written = [], []
    for own in ("", *SYSTEMS):
        folder = tmp_path / (own or sys.platform)
        folder.mkdir()
        done = run_on(own, COMMANDS, str(folder))
        assert done.returncode == 0, done.stderr
        said.append(done.stdout)
        written.append({path.relative_to(folder): path.read_bytes()
                        for path in folder.rglob("*") if path.is_file()})  # fmt: skip
        if own:
            assert done.stderr.splitlines()[-1] == f"{own} {own == 'win32'}"
    assert said[0] == said[1] == said[2]
    assert "R1.1 A1 A2 1397.25 1389.25" in " ".join(said[0].split())
    assert written[0] == written[1] == written[2]
    assert len(written[0]) > 20
