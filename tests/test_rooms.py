"""Who may import whom: DEVELOPERS.md states the rule, this holds it.

Every file of the package is read as a syntax tree, so that imports inside functions count too.
"""

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP = Path(__file__).parents[1]
PACKAGE = TOP / "routeplan"
FILES = sorted(PACKAGE.rglob("*.py"))

MAY_IMPORT = {
    "operation": {"operation"},
    "colony": {"operation", "colony"},
    "plan": {"plan"},
    "field": {"operation", "colony", "field", "plan"},
    "planning": {"operation", "colony", "field", "planning", "plan"},
    "audit": {"operation", "field", "audit", "plan"},
    "output": {"operation", "colony", "field", "output", "plan"},
    "cli": {"operation", "colony", "field", "planning", "audit", "output", "plan", "cli", ""},
    "": {"cli"},
}
"""Room (or file at the top, "" for the package itself): the rooms it may import from."""

KEPT_TO = {
    "click": {path.relative_to(PACKAGE).as_posix() for path in FILES if path.parent.name == "cli"},
    "folium": {"output/day_map.py"},
    "xstatic": {"output/day_map.py"},
    "pandas": {"output/workbook.py"},
    "openpyxl": {"operation/start_workbook.py", "output/workbook.py"},
    "icalendar": {"output/followups.py"},
    "jinja2": {"output/templating.py"},
    "markupsafe": {"output/page.py"},
    "python_calamine": {"operation/workbooks.py"},
    "geopy": {"planning/travel.py"},
    "utm": {"operation/utm_grid.py"},
    "openlocationcode": {"operation/plus_codes.py"},
    "ortools": {
        "planning/boxes.py",
        "planning/drive.py",
        "planning/judge.py",
        "planning/most_by_hours.py",
        "planning/order_model.py",
        "planning/possible.py",
        "planning/rest_search.py",
        "planning/two_yard_judge.py",
    },
}
"""Library: the files that may import it."""


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def room_of(dotted: str) -> str:
    """Room of a module of the package: "routeplan.planning.case" is in "planning"."""
    parts = dotted.split(".")
    return parts[1] if len(parts) > 1 and parts[1] not in ("__init__", "__main__", "__version__") else ""


def imported(tree: ast.AST) -> Iterator[str]:
    """Dotted names of all modules a file imports; `from routeplan import plan` is routeplan.plan."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports inside the package are written in full"
            if node.module == "routeplan":
                yield from (f"routeplan.{alias.name}" for alias in node.names)
            else:
                yield node.module or ""


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def test_the_walk_sees_imports_wherever_they_stand() -> None:
    text = "import a.b\nfrom routeplan import plan\ndef f():\n    from routeplan.audit import audit\n"
    assert list(imported(ast.parse(text))) == ["a.b", "routeplan.plan", "routeplan.audit"]
    rooms = {"routeplan.plan": "plan", "routeplan.audit.case": "audit", "routeplan": ""}
    assert {name: room_of(name) for name in rooms} == rooms


def test_every_room_has_its_rule() -> None:
    assert {room_of("routeplan." + name_of(p)[:-3].replace("/", ".")) for p in FILES} == set(MAY_IMPORT)


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_imports_only_along_the_flow(path: Path) -> None:
    room = room_of("routeplan." + name_of(path)[:-3].replace("/", "."))
    own = [m for m in imported(tree_of(path)) if m.split(".")[0] == "routeplan"]
    assert {room_of(m) for m in own} <= MAY_IMPORT[room], own


@pytest.mark.parametrize("library", KEPT_TO)
def test_each_library_stays_in_its_files(library: str) -> None:
    users = {name_of(p) for p in FILES if library in {m.split(".")[0] for m in imported(tree_of(p))}}
    assert users == KEPT_TO[library]


def test_only_the_command_line_prints_and_exits() -> None:
    loud = set()
    for path in FILES:
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.Call):
                called = ast.unparse(node.func)
                if called in ("print", "exit", "quit", "sys.exit", "os._exit", "click.echo"):
                    loud.add(name_of(path))
    assert {name.split("/")[0] for name in loud} == {"cli"}


def test_every_dependency_is_used_and_every_library_is_one() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    named = {re.split(r"[<>=]", one)[0].replace("-", "_") for one in project["dependencies"]}
    named = {"xstatic" if one == "xstatic_leaflet" else one for one in named}
    named.remove("tzdata")  # read by zoneinfo of the standard library
    used = {m.split(".")[0] for p in FILES for m in imported(tree_of(p))}
    assert {one for one in used if one not in sys.stdlib_module_names | {"routeplan"}} == named
