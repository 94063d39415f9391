"""Reads [headers.TABLE] and [codes.TABLE.COLUMN] of settings.toml: the beekeeper's own headers and codes."""

import math
from collections.abc import Callable, Iterator
from typing import Any

from routeplan.operation.cells import read_cell
from routeplan.operation.columns import TABLES, Column
from routeplan.operation.own_words import OwnCode, OwnHeader
from routeplan.operation.unreadable import UnreadableError

Fault = Callable[[str, Any, str, str], None]
"""Takes key, value, what is wrong, what to do."""


def own_headers(given: Any, fault: Fault) -> Iterator[OwnHeader]:
    """Yield each header: `"own header" = "column"`, or `{ column = "brood", each = 0.5 }`."""
    for table, headers in _groups("headers", given, TABLES, fault):
        columns = {column.name: column for column in TABLES[table]}
        for header, value in headers.items():
            key = f"headers.{table}.{header}"
            column, each = _column_and_each(value)
            if column not in columns:
                fault(key, value, "names no column of this table.", f"Columns are: {', '.join(columns)}.")
            elif each is None or (each != 1 and columns[column].kind not in ("number", "whole")):
                cure = 'Write it like { column = "brood", each = 0.5 }, for a column of numbers.'
                fault(key, value, "does not say how much each counts.", cure)
            else:
                yield OwnHeader(table, header, column, each)


def own_codes(given: Any, fault: Fault) -> Iterator[OwnCode]:
    """Yield each code: `code = "what it stands for"`, a text that the column itself reads."""
    for table, of_columns in _groups("codes", given, TABLES, fault):
        columns = {column.name: column for column in TABLES[table]}
        for name, codes in _groups(f"codes.{table}", of_columns, columns, fault):
            for code, value in codes.items():
                key, text = f"codes.{table}.{name}.{code}", _as_text(value)
                problem = _unread(columns[name], text)
                if problem:
                    fault(key, value, problem.problem, problem.cure)
                else:
                    yield OwnCode(table, name, code, text)


def _groups(
    head: str, given: Any, known: dict[str, Any], fault: Fault
) -> Iterator[tuple[str, dict[str, Any]]]:
    if not isinstance(given, dict):
        fault(head, given, f"is a group of settings: write [{head}.{next(iter(known))}] on its own line.", "")
        return
    for name, group in given.items():
        if name not in known:
            fault(f"{head}.{name}", "", "is not known here.", f"Known are: {', '.join(known)}.")
        elif not isinstance(group, dict):
            problem = f"is a group of settings: write [{head}.{name}] on its own line."
            fault(f"{head}.{name}", group, problem, "")
        else:
            yield name, group


def _column_and_each(value: Any) -> tuple[str, float | None]:
    if isinstance(value, str):
        return value, 1.0
    if not isinstance(value, dict) or set(value) - {"column", "each"}:
        return "", None
    column, each = value.get("column"), value.get("each", 1.0)
    number = isinstance(each, int | float) and not isinstance(each, bool) and math.isfinite(each) and each > 0
    return (column if isinstance(column, str) else ""), (float(each) if number else None)


def _as_text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if isinstance(value, str | int | float) else ""


def _unread(column: Column, text: str) -> UnreadableError | None:
    if not text.strip():
        return UnreadableError("is not text.", "Write what the code stands for, in quotation marks.")
    try:
        read_cell(column, text)
    except UnreadableError as fault:
        return fault
    return None
