"""The audit shares nothing with planning: its imports show it."""

import ast
from pathlib import Path

import pytest

import routeplan.audit

FILES = sorted(Path(routeplan.audit.__file__).parent.glob("*.py"))
ALLOWED = (
    *("routeplan.audit", "routeplan.operation.world", "routeplan.operation.settings", "routeplan.plan"),
    "routeplan.field.entries",  # what the crew wrote down is given, as tables are
    "routeplan.operation.frame_sizes",  # sizes of frames are facts, not rules
)
STANDARD = {"collections", "dataclasses", "datetime", "functools", "heapq", "itertools", "math", "statistics"}


def _imported(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_imports(path: Path) -> None:
    for name in _imported(path):
        assert name.startswith(ALLOWED) or name.split(".")[0] in STANDARD, name


def test_there_is_something_to_look_at() -> None:
    assert len(FILES) > 5
    assert "routeplan.plan" in set().union(*map(_imported, FILES))
