"""What the product defines it uses itself, or the notes show it: nothing is there for tests."""

import ast
import re
import tomllib
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
NOTES = ("README.md", "DEVELOPERS.md")

Named = tuple[str, str]  # a module, and a name in it


class Module(NamedTuple):
    """What a module defines at its top, what it imports by which name, and what each part uses."""

    defined: set[str]
    imported: dict[str, Named]
    used: set[tuple[str, Named]]  # the top-level name that uses it, "" for other statements


def read_module(name: str, text: str) -> Module:
    tree = ast.parse(text)
    found = Module(set(), {}, set())
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            assert node.module, f"{name} imports from where it stands itself"
            for one in node.names:
                found.imported[one.asname or one.name] = (node.module, one.name)
    for part in tree.body:
        own = part.name if isinstance(part, ast.FunctionDef | ast.ClassDef) else ""
        if own and not own.startswith("__"):
            found.defined.add(own)
        for node in ast.walk(part):
            if isinstance(node, ast.Name):
                found.used.add((own, found.imported.get(node.id, (name, node.id))))
            elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                where = found.imported.get(node.value.id)
                if where:  # a name of a module that was imported as a whole
                    found.used.add((own, (".".join(where), node.attr)))
    return found


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(("pelmet", *(part for part in parts if part != "__init__")))


def shown() -> set[Named]:
    """Give what a person is told to import, and what the command starts."""
    text = "\n".join((ROOT / note).read_text(encoding="utf-8") for note in NOTES)
    imports = re.findall(r"^(?:>>> )?from (pelmet\S*) import (.+)$", text, re.MULTILINE)
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    starts = [script.split(":") for script in project["scripts"].values()]
    return {(module, name.strip()) for module, names in imports for name in names.split(",")} | {
        (module, name) for module, name in starts
    }


def unused(modules: dict[str, Module], from_outside: set[Named]) -> set[Named]:
    """Give what nothing uses but itself, or only what is not used either."""

    def home(named: Named) -> Named:
        module = modules.get(named[0])
        there = module.imported.get(named[1], named) if module else named
        return named if there == named else home(there)  # a package imports its own modules

    calls = {
        ((name, own), home(named)) for name, module in modules.items() for own, named in module.used
    }
    defined = {(name, own) for name, module in modules.items() for own in module.defined}
    live = {home(named) for named in from_outside}
    live |= {named for (name, own), named in calls if (name, own) not in defined}
    reached: set[Named] = set()
    while reached != live:
        reached = set(live)
        live |= {named for caller, named in calls if caller in reached}
    return defined - reached


def test_the_product_has_nothing_that_only_tests_use():
    modules = {
        name: read_module(name, path.read_text(encoding="utf-8"))
        for folder in ("model", "tui")
        for path in sorted((ROOT / folder).rglob("*.py"))
        for name in [module_name(path)]
    }
    assert len(modules) > 200
    found = unused(modules, shown())
    assert not found, "use these or take them out: " + ", ".join(map(".".join, sorted(found)))


def test_a_name_is_found_unused_if_only_itself_or_the_unused_use_it():
    texts = {
        "a": "def used(): ...\ndef alone(): alone()\ndef first(): second()\ndef second(): ...",
        "b": "from a import used, alone\n__all__ = ['alone']",
        "c": "from b import used\nused()\ndef shown(): inner()\ndef inner(): ...",
    }
    modules = {name: read_module(name, text) for name, text in texts.items()}
    assert unused(modules, {("c", "shown")}) == {("a", "alone"), ("a", "first"), ("a", "second")}
