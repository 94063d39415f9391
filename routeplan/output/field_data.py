"""What the day sheet's own script knows of the plan: every fact once, as plain data.

Times are minutes after midnight; boxes are known by their numbers, stops by their place in the list, from 1.
"""

from functools import cache
from typing import Any

from routeplan.field.entries import COLUMNS, SAYINGS
from routeplan.operation.values import HEALTH_WORDS
from routeplan.output.day import Day, shut_in_limit_min
from routeplan.output.hive_work import hive_kinds
from routeplan.output.taking import kinds_needed
from routeplan.output.templating import TEMPLATES
from routeplan.plan import Stop

SCRIPTS = ("keep", "so_far", "typed", "written", "ask", "asking", "at_stops", "in_hand")
"""Files of the sheet's script in templates/field, in the order they build on each other."""
LAYOUT = 2
"""Raised when the page's tick boxes are numbered otherwise, so that old ticks are not laid on new boxes."""


def field_data(day: Day) -> dict[str, Any]:
    """Return the data of the day; see `_stop` for what is known of a stop."""
    plan, crew = day.plan, day.operation.crew
    return {
        "layout": LAYOUT,
        "plan": plan.id,
        "day": plan.day.isoformat(),
        "back": _minutes(plan.totals.back_home),
        "limit": round(shut_in_limit_min(day.operation)),
        "places": crew.places,
        "nest": crew.empties_per_place,
        "empties": len(plan.splits),
        "done": plan.done.stops if plan.done else 0,
        "columns": {
            c.name: {"kind": c.kind, "options": list(c.options), "least": c.least, "most": c.most}
            for c in COLUMNS
        },
        "words": {
            what: {"needs": list(s.needs), "uses": sorted(s.uses), "value": s.value}
            for what, s in SAYINGS.items()
        },
        "health": {meaning: sorted(words) for meaning, words in HEALTH_WORDS.items()},
        "stops": [_stop(day, number) for number in range(1, len(plan.stops) + 1)],
    }


@cache
def field_script() -> str:
    """Return the sheet's own script, one text that keeps its names to itself."""
    parts = ((TEMPLATES / "field" / f"{name}.js").read_text(encoding="utf-8") for name in SCRIPTS)
    return f'(function () {{\n"use strict";\n{"".join(parts)}}})();\n'


def _stop(day: Day, number: int) -> dict[str, Any]:
    """One stop.

    `hives` in working order, each [name, [[box, [[kind, count], ...]], ...], combs put back]; `most`: brood
    frames from one hive, from a strong one; `next`: [kind, [[hive, frames], ...]] that stand by; `others`:
    hives that may give and are not opened.
    """
    stop = day.plan.stops[number - 1]
    rule = next((r for r in day.plan.take_rules if r.yard == stop.yard), None)
    kinds = {take.kind for take in stop.takes}
    return {
        "yard": stop.yard,
        "arrive": _minutes(stop.arrive),
        "depart": _minutes(stop.depart),
        "need": [list(need) for need in kinds_needed(stop)],
        "makes": [day.boxes[s] for s in stop.makes],
        "begins": [day.boxes[s] for s in stop.begins],
        "places": [day.boxes[s] for s in stop.places],
        "hives": [_hive(day, stop, hive) for hive in stop.opens],
        "most": [rule.most_brood, rule.most_strong] if rule else None,
        "next": [
            [row.kind, [list(hive) for hive in row.hives]]
            for row in day.plan.standbys
            if row.yard == stop.yard and row.kind in kinds
        ],
        "others": sorted(
            {h.id for h in day.operation.hives if h.yard == stop.yard and h.may_give} - set(stop.opens)
        ),
    }


def _hive(day: Day, stop: Stop, hive: str) -> list[Any]:
    outs = [
        [day.boxes[split], [list(kind) for kind in kinds]] for split, kinds in hive_kinds(day, stop, hive)
    ]
    return [hive, outs, sum(p.combs for p in stop.puts_back if p.hive == hive)]


def _minutes(seconds: int) -> int:
    return round(seconds / 60)
