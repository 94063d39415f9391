"""The day sheet: one HTML file that needs nothing from outside."""

import base64
import hashlib
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from routeplan.operation.settings import MILE_M
from routeplan.operation.world import Operation, Yard
from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.cards import cards
from routeplan.output.day import Day, day_of
from routeplan.output.day_map import TILES, DayMap, day_map
from routeplan.output.load import load
from routeplan.output.marks import SHAPES, drawing
from routeplan.output.results import all_looks, missing, proof_lines, quality, split_lines, totals, yard_whys
from routeplan.output.sketch import HEIGHT, WIDTH, sketch
from routeplan.plan import Plan

TEMPLATES = Path(__file__).parent / "templates"


def day_page(operation: Operation, plan: Plan) -> str:
    """Return the day sheet as one self-contained HTML text.

    The same operation and plan give the same text. Every text of the operation is shown as it is, never
    taken as markup or script. Distances are in the operation's units, times are clock times of the day.

    Parameters
    ----------
    operation : what the plan was made from.
    plan : the day's plan; without stops the page says so.
    """
    day = day_of(operation, plan)
    view = drawing(day)
    plain = sketch(view, MILE_M if day.units == "mi" else 1000.0)
    the_map = day_map(view, plain, day.units)
    scripts = (the_map.library, the_map.script, (TEMPLATES / "next.js").read_text(encoding="utf-8"))
    return _environment().get_template("day.html.j2").render(
        day=day,
        plan=plan,
        policy=_policy(scripts),
        scripts=[Markup(text) for text in scripts],
        style=_style(day, the_map),
        map_element=Markup(the_map.element),
        map_texts=the_map.texts,
        sketch=plain,
        field=(WIDTH, HEIGHT),
        shapes=SHAPES,
        legend=_legend(day),
        headline=headline(day),
        before=before(day),
        cards=cards(day),
        load=load(day),
        splits=split_lines(day),
        looks=all_looks(day),
        missing=missing(day),
        idle=_idle(day),
        whys=yard_whys(day),
        proof=proof_lines(plan),
        totals=totals(day),
        words=words,
        measures=measures,
    )  # fmt: skip


def headline(day: Day) -> str:
    """Return the plan in one line, made of our own words and numbers only."""
    plan = day.plan
    if not plan.stops:
        return "No plan for this day"
    parts = (
        measures.counted(plan.totals.placed, "split"),
        measures.counted(len(plan.stops), "stop"),
        measures.span(plan.totals.paid_s),
        day.distance(plan.totals.drive_m),
        quality(plan),
    )
    return " · ".join(parts)


def before(day: Day) -> tuple[str, ...]:
    """Return what must be known before leaving."""
    operation, plan, say = day.operation, day.plan, words.BEFORE
    lines = []
    for yard in operation.yards:
        if days.job(day, yard) == "health":
            lines.append(say["health"].format(yard=yard.id, health=yard.health))
    if away := plan.totals.asked - plan.totals.placed:
        lines.append(say["missing"].format(count=measures.counted(away, "split")))
    for yard in operation.yards:
        lines += _hours_that_matter(day, yard)
    if cells := sum(s.queen == "ripe cell" for s in plan.splits):
        when = measures.days_after(plan.day, 1, 1)
        lines.append(say["cells"].format(count=measures.counted(cells, "ripe cell"), when=when))
    if mated := sum(s.queen == "mated" for s in plan.splits):
        lines.append(say["queens"].format(count=measures.counted(mated, "mated queen")))
    if plan.splits:
        heat = days.warmest(operation)
        stated = (
            words.HEAT_NOT_STATED if heat is None else words.HEAT_STATED.format(degrees=measures.number(heat))
        )
        limit = measures.span(60 * days.shut_in_limit_min(operation))
        lines += [say["shut_in"].format(minutes=limit, heat=stated), say["last_look"]]
    return tuple(lines)


def _hours_that_matter(day: Day, yard: Yard) -> list[str]:
    """Say when a yard opens or closes where the plan comes within an hour of it."""
    stops, say, near = [s for s in day.plan.stops if s.yard == yard.id], words.BEFORE, 3600
    lines = []
    if yard.opens_min is not None and any(s.arrive < 60 * yard.opens_min + near for s in stops):
        lines.append(say["opens"].format(yard=yard.id, time=measures.clock(60 * yard.opens_min)))
    if yard.closes_min is not None and any(s.depart > 60 * yard.closes_min - near for s in stops):
        lines.append(say["closes"].format(yard=yard.id, time=measures.clock(60 * yard.closes_min)))
    return lines


def _idle(day: Day) -> tuple[tuple[str, str], ...]:
    """Return each reason not to go to a yard, with its yards."""
    idle: dict[str, list[str]] = {}
    for yard in day.operation.yards:
        if not day.stops_at(yard.id):
            idle.setdefault(days.why_idle(day, yard), []).append(yard.id)
    return tuple((f"{reason[0].upper()}{reason[1:]}", ", ".join(yards)) for reason, yards in idle.items())


def _legend(day: Day) -> tuple[tuple[str, str], ...]:
    jobs = {days.job(day, yard) for yard in day.operation.yards}
    return tuple((job, words.JOB[job]) for job in days.JOBS if job in jobs)


def _policy(scripts: tuple[str, ...]) -> str:
    """Return the page's content policy: these scripts, pictures of the background, nothing else."""
    sums = (base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in scripts)
    allowed = " ".join(f"'sha256-{s}'" for s in sums)
    return (
        f"default-src 'none'; script-src {allowed}; style-src 'unsafe-inline'; img-src {TILES} data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _style(day: Day, the_map: DayMap) -> Markup:
    own = (TEMPLATES / "day.css").read_text(encoding="utf-8")
    top = f"{measures.day_words(day.plan.day, year=True)} · {headline(day)}"
    return Markup(f"{the_map.style}\n{own.replace('@HEADLINE@', top)}")


@cache
def _environment() -> Environment:
    settings: dict[str, Any] = {"autoescape": True, "undefined": StrictUndefined, "trim_blocks": True}
    return Environment(loader=FileSystemLoader(TEMPLATES), lstrip_blocks=True, **settings)
