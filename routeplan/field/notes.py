"""Reads field notes, JSON or CSV, strictly: every fault with its place, none guessed away."""

import csv
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from routeplan.field.entries import COLUMNS, COUNTS, FOUND, SAYINGS, Entry, Found
from routeplan.operation.cells import read_cell
from routeplan.operation.characters import plain_name
from routeplan.operation.csv_files import parse_csv
from routeplan.operation.findings import Finding, errors
from routeplan.operation.headings import under_first_row
from routeplan.operation.refuse import RefusedError
from routeplan.operation.unreadable import UnreadableError

LAYOUT = 1
"""Version of the JSON layout; a reader refuses others."""
BY_NAME = {column.name: column for column in COLUMNS}
PLAIN_KEYS = ("at", "stop", "yard", "hive", "box", "what", "note")


@dataclass(frozen=True)
class Notes:
    """A day's field notes in the order written; `plan` is the id of the plan they are about ("" not said),
    `day` its day (None not said)."""

    entries: tuple[Entry, ...]
    plan: str = ""
    day: date | None = None


@dataclass(frozen=True)
class _Line:
    """One entry as text by column, before its cells are read."""

    place: str
    texts: dict[str, str]
    decimal_comma: bool = False


def read_notes(path: Path) -> tuple[Notes | None, list[Finding]]:
    """Read field notes from a .json or .csv file.

    Returns
    -------
    Notes, None when any finding is an error, and all findings. Raises OSError.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        return None, [_fault(path.name, f"is not UTF-8 text (byte {fault.start + 1}).", "Save it as UTF-8.")]
    if path.suffix.casefold() == ".csv":
        return parse_notes_csv(text, path.name)
    return parse_notes_json(text, path.name)


def parse_notes_csv(text: str, label: str = "notes.csv") -> tuple[Notes | None, list[Finding]]:
    """Read field notes from CSV text, as `read_notes`."""
    try:
        sheet = under_first_row(parse_csv(text, "notes", label))
    except RefusedError as fault:
        return None, [_fault(label, fault.problem, fault.cure)]
    except csv.Error as fault:
        cure = "Look for a quotation mark that is never closed."
        return None, [_fault(label, f"cannot be read as CSV: {fault}.", cure)]
    names = [plain_name(header) for header in sheet.header]
    findings = [_unknown(label, name, BY_NAME) for name in names if name and name not in BY_NAME]
    findings += [
        _fault(label, f"The column {name} is there twice.", "Keep one of the two.")
        for name in sorted({n for n in names if n and names.count(n) > 1})
    ]
    if "what" not in names:
        findings.append(_fault(label, "The column what is missing.", f"Columns are: {', '.join(BY_NAME)}."))
    lines = []
    for number, cells in sheet.rows:
        place = f"{label}, row {number}"
        if any(cell.strip() for cell in cells[len(names) :]):
            cure = "Put text that holds a comma in quotation marks."
            findings.append(_fault(place, "This row has more cells than the header.", cure))
        texts = {name: cell.strip() for name, cell in zip(names, cells, strict=False) if cell.strip()}
        lines.append(_Line(place, texts, sheet.decimal_comma))
    return _notes(lines, findings, "", None) if not errors(findings) else (None, findings)


def parse_notes_json(text: str, label: str = "notes.json") -> tuple[Notes | None, list[Finding]]:
    """Read field notes from JSON text, as `read_notes`."""
    try:
        body = json.loads(text)
    except json.JSONDecodeError as fault:
        return None, [_fault(label, f"is not JSON: {fault}.", "Save the notes again on the day sheet.")]
    if not isinstance(body, dict) or body.get("notes") != LAYOUT or isinstance(body["notes"], bool):
        return None, [_fault(label, f"are not field notes of layout {LAYOUT} (key notes).", "")]
    keys = ("notes", "plan", "day", "entries")
    findings = [_unknown(label, key, keys) for key in body if key not in keys]
    plan, day, rows = body.get("plan", ""), None, body.get("entries")
    if not isinstance(plan, str):
        findings.append(_fault(label, "The key plan is not text.", "It is the id on the day sheet."))
    try:
        day = date.fromisoformat(body["day"]) if "day" in body else None
    except (TypeError, ValueError):
        findings.append(_fault(label, f"“{body['day']}” is not a day.", "Write it like 2027-05-15."))
    if not isinstance(rows, list):
        findings.append(_fault(label, "The key entries is not a list.", "Each entry is one object in it."))
        rows = []
    lines = []
    for number, row in enumerate(rows, 1):
        line, faults = _json_line(row, f"{label}, entry {number}")
        findings += faults
        lines.append(line)
    return _notes(lines, findings, plan if isinstance(plan, str) else "", day)


def _json_line(row: Any, place: str) -> tuple[_Line, list[Finding]]:
    """An entry as texts by column; its value goes to the column its word says."""
    if not isinstance(row, dict):
        return _Line(place, {}), [_fault(place, "is not an object.", "Write keys and values in braces.")]
    findings: list[Finding] = []
    texts: dict[str, str] = {}
    cells = {key: row[key] for key in PLAIN_KEYS if key in row}
    keys = (*PLAIN_KEYS, "value")
    findings += [_unknown(place, key, keys) for key in row if key not in keys]
    value, saying = row.get("value"), SAYINGS.get(str(row.get("what")))
    if isinstance(value, dict):
        findings += [_unknown(place, key, FOUND) for key in value if key not in FOUND]
        cells |= {key: value[key] for key in FOUND if key in value}
    elif value not in (None, ""):
        if saying is None or not saying.value:
            findings.append(_fault(place, f"“{value}” is a value too many here.", "Leave it out."))
        else:
            cells[saying.value] = value
    for key, cell in cells.items():
        if isinstance(cell, bool | list | dict):
            findings.append(_fault(place, f"The key {key} holds neither text nor a number.", ""))
        elif cell not in (None, ""):
            texts[key] = str(cell).strip()
    return _Line(place, texts), findings


def _notes(
    lines: list[_Line], findings: list[Finding], plan: str, day: date | None
) -> tuple[Notes | None, list[Finding]]:
    entries = []
    for line in lines:
        entry, faults = _entry(line)
        findings += faults
        entries.append(entry)
    return (None if errors(findings) else Notes(tuple(entries), plan, day)), findings


def _entry(line: _Line) -> tuple[Entry, list[Finding]]:
    read: dict[str, Any] = {column.name: column.default for column in COLUMNS}
    findings = []
    for name, text in line.texts.items():
        if name in ("what", "queen"):
            text = text.replace(" ", "_").replace("-", "_")
        try:
            read[name] = read_cell(BY_NAME[name], text, line.decimal_comma)
        except UnreadableError as fault:
            findings.append(_fault(line.place, f"{name}: “{text}” {fault.problem}", fault.cure))
    if not findings:
        findings += _together(line, read)
    found = Found(**{name: read.pop(name) for name in FOUND})
    at = read.pop("at")
    return Entry(**{**read, "what": read["what"] or ""}, at_min=at, found=found, place=line.place), findings


def _together(line: _Line, read: dict[str, Any]) -> Iterator[Finding]:
    """The columns that belong to the word are filled, no other is, and the amounts can be."""
    saying = SAYINGS.get(read["what"] or "")
    if saying is None:
        yield _fault(line.place, "The column what is blank.", f"Write one of: {', '.join(SAYINGS)}.")
        return
    what = read["what"]
    for name in (n for n in saying.needs if n not in line.texts):
        yield _fault(line.place, f"{what} needs {name}.", f"Fill in {BY_NAME[name].meaning}.")
    for name in sorted(line.texts.keys() - saying.uses):
        yield _fault(line.place, f"{name} does not go with {what}.", "Leave it out, or look at the word.")
    placed = "stop" in line.texts or "yard" in line.texts
    if not placed and ("hive" in line.texts or not ({"box", "note"} & line.texts.keys())):
        yield _fault(line.place, f"{what} does not say where.", "Fill in the stop or the yard.")
    if read["health"] == "unclear":
        yield _fault(line.place, f"health: “{line.texts['health']}” is not understood.", "Write suspect.")
    if what == "found":
        yield from _found(line)
    if what == "frame_taken":
        yield from _taken(line, read)
    if what == "note" and "note" not in line.texts:
        yield _fault(line.place, "A note without words.", "Write it, or leave the line out.")


def _found(line: _Line) -> Iterator[Finding]:
    said = [name for name in FOUND if name in line.texts]
    if not said:
        yield _fault(line.place, "found says nothing of what was found.", f"Fill in {', '.join(FOUND)}.")
    if "hive" not in line.texts and said not in ([], ["health"]):
        yield _fault(line.place, "found needs hive.", "Only health may be said of a whole yard.")


def _taken(line: _Line, read: dict[str, Any]) -> Iterator[Finding]:
    amounts = [read[name] for name in COUNTS if name in line.texts]
    if not amounts:
        yield _fault(line.place, "frame_taken says no frames.", f"Fill in {', '.join(COUNTS)}.")
    for amount in amounts:
        if amount != int(amount):
            yield _fault(line.place, f"{amount:g} frames cannot be taken.", "Only whole frames leave a hive.")


def _unknown(place: str, name: str, known: Any) -> Finding:
    near = get_close_matches(str(name), list(known), n=1, cutoff=0.5)
    cure = f"Did you mean {near[0]}?" if near else f"Known are: {', '.join(known)}."
    return _fault(place, f"“{name}” is not known here.", cure)


def _fault(place: str, message: str, cure: str) -> Finding:
    return Finding("error", place, None, None, "", message, cure)
