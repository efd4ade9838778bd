"""No answer of the product asks for the time: the same job says the same however busy it is."""

import ast
from pathlib import Path

ROOT = Path(__file__).parents[1]
CLOCKS = {
    *("monotonic", "perf_counter", "process_time", "time_ns", "sleep", "wait_for"),
    *("set_timer", "set_interval", "time_limit"),
}
TODAY = {"datetime.now", "datetime.utcnow", "datetime.today", "date.today", "time.time"}
MAY_WAIT = {
    "model/file/disk/locking.py": "waits for a lock that another window holds",
    "tui/app.py": "loads the wizard once its frame is painted",
    "tui/wizard/beside.py": "begins at last what waits for the screen to be painted",
    "tui/wizard/signing.py": "offers today where a person notes a day",
    "tui/wizard/wizard.py": "writes the recovery file a little after the last key",
}


def asks_for_the_time(node: ast.AST) -> bool:
    if isinstance(node, ast.Call):
        return ast.unparse(node.func) in TODAY
    if isinstance(node, ast.ImportFrom):
        return not CLOCKS.isdisjoint(each.name for each in node.names)
    if isinstance(node, ast.Constant):  # an option of a solver
        return node.value in CLOCKS if isinstance(node.value, str) else False
    return isinstance(node, ast.Attribute) and node.attr in CLOCKS


def test_only_what_waits_asks_for_the_time():
    asking = {
        path.relative_to(ROOT).as_posix()
        for folder in ("model", "tui")
        for path in (ROOT / folder).rglob("*.py")
        if any(map(asks_for_the_time, ast.walk(ast.parse(path.read_text(encoding="utf-8")))))
    }
    assert asking == set(MAY_WAIT)


def test_a_clock_is_noticed():
    for line in (
        "from time import monotonic", "time.perf_counter()", "date.today()", "datetime.now()",
        "solver.setOptionValue('time_limit', 5)", "self.set_timer(1, self.end)",
    ):  # fmt: skip
        assert any(map(asks_for_the_time, ast.walk(ast.parse(line)))), line
