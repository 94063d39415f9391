"""The page that documents plan.json names exactly the keys that are written."""

import json
import re
from dataclasses import fields
from pathlib import Path

from routeplan.plan import (
    After,
    Alternative,
    Change,
    Cost,
    Done,
    Kept,
    Saving,
    SetAbove,
    Skip,
    Standby,
    TakeRule,
    from_json,
    to_json,
)
from tests.tiny import tiny_plan

PAGE = (Path(__file__).parents[1] / "maps" / "README.md").read_text(encoding="utf-8")

ASIDE = (After, Alternative, Change, Cost, Done, Kept, Saving, SetAbove, Skip, Standby, TakeRule)
"""Parts of a plan that stand beside the day itself, or that the day worked out by hand has none of."""


def documented() -> dict[str, set[str]]:
    """Return the keys documented under each heading."""
    found: dict[str, set[str]] = {}
    for part in PAGE.split("\n### ")[1:]:
        name, _, rest = part.partition("\n")
        rows = re.findall(r"^\| ([a-z_, ]+) \|", rest, flags=re.MULTILINE)
        found[name] = {key for row in rows for key in row.split(", ")} - {"key"}
    return found


def test_every_key_written_is_documented_and_no_other() -> None:
    body = json.loads(to_json(tiny_plan()))
    written = {
        "Plan": set(body),
        "Stop": set(body["stops"][0]),
        "Take": set(next(s for s in body["stops"] if s["takes"])["takes"][0]),
        "PutBack": set(next(s for s in body["stops"] if s["puts_back"])["puts_back"][0]),
        "Split": set(body["splits"][0]),
        "Unplaced": set(body["unplaced"][0]),
        "HiveLine": set(body["hives"][0]),
        "Totals": set(body["totals"]),
        "Proof": set(body["proof"]),
    } | {kind.__name__: {f.name for f in fields(kind)} for kind in ASIDE}
    assert documented() == written


def test_a_plan_reads_back_equal() -> None:
    assert from_json(to_json(tiny_plan(), run={"seconds": 1.0})) == tiny_plan()
