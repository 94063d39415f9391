"""How findings are told: grouped by table with counts and a verdict, or as JSON for programs."""

import json
from dataclasses import asdict

from routeplan.operation.findings import Finding, errors
from routeplan.operation.world import Operation

WORDS = {"error": ("fault", "faults"), "warning": ("warning", "warnings")}


def grouped(findings: list[Finding]) -> list[str]:
    """Return the findings as lines: each table with its counts, below it its faults, then its warnings."""
    lines = []
    for table, of_table in _by_table(findings).items():
        lines.append(f"{table}: {_counts(of_table)}")
        lines += [f"  {finding.level}: {finding.in_table()}" for finding in of_table]
    return lines


def _by_table(findings: list[Finding]) -> dict[str, list[Finding]]:
    tables: dict[str, list[Finding]] = {}
    for finding in sorted(findings, key=lambda f: f.level):
        tables.setdefault(finding.table, []).append(finding)
    return {name: sorted(of_table, key=_order) for name, of_table in tables.items()}


def _order(finding: Finding) -> tuple[str, int]:
    return finding.level, finding.row or 0


def _counts(findings: list[Finding]) -> str:
    """Write "2 faults, 1 warning"; what there is none of is left out."""
    parts = []
    for level, (one, many) in WORDS.items():
        count = sum(finding.level == level for finding in findings)
        if count:
            parts.append(f"{count} {one if count == 1 else many}")
    return ", ".join(parts)


def verdict(operation: Operation | None, findings: list[Finding]) -> str:
    """Return in one line whether planning can begin, on what, and how much was found."""
    if operation is None:
        tables = len({finding.table for finding in errors(findings)})
        where = f" in {tables} tables" if tables > 1 else ""
        return f"Not ready to plan: {_counts(errors(findings))} to put right{where}{_rest(findings)}."
    splits = sum(order.count for order in operation.orders)
    return (
        f"Ready to plan: {len(operation.yards)} yards, {len(operation.hives)} hives, "
        f"{splits} splits asked for, {operation.day:%a} {operation.day.isoformat()}{_rest(findings)}."
    )


def _rest(findings: list[Finding]) -> str:
    warnings = _counts([finding for finding in findings if finding.level == "warning"])
    return f"; {warnings}" if warnings else ""


def as_json(operation: Operation | None, findings: list[Finding]) -> str:
    """Return verdict, counts and findings as one JSON object, in ASCII.

    Keys: ready, verdict, day (null when not ready), errors, warnings, and findings: a list of objects with
    the attributes of Finding.
    """
    wrong = len(errors(findings))
    told = {
        "ready": operation is not None,
        "verdict": verdict(operation, findings),
        "day": operation.day.isoformat() if operation else None,
        "errors": wrong,
        "warnings": len(findings) - wrong,
        "findings": [asdict(finding) for finding in findings],
    }
    return json.dumps(told, indent=2)
