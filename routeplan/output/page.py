"""The day sheet: one HTML file that needs nothing from outside."""

import base64
import hashlib

from markupsafe import Markup

from routeplan.operation.settings import MILE_M
from routeplan.operation.world import Operation
from routeplan.output import card_words, later, measures, words
from routeplan.output import day as days
from routeplan.output.before import before
from routeplan.output.cards import cards
from routeplan.output.day import Day, day_of
from routeplan.output.day_map import NO_MAP, TILES, DayMap, day_map
from routeplan.output.field_data import field_data, field_script
from routeplan.output.good import COUNTS_ARE, counts, proof_lines, quality, totals
from routeplan.output.helps import changes, fallbacks, savings
from routeplan.output.load import load
from routeplan.output.marks import SHAPES, drawing
from routeplan.output.money import money
from routeplan.output.others import others
from routeplan.output.results import missing, split_lines, yard_whys
from routeplan.output.sketch import HEIGHT, WIDTH, sketch
from routeplan.output.templating import TEMPLATES, filled
from routeplan.plan import Plan


def day_page(operation: Operation, plan: Plan, shared: bool = False) -> str:
    """Return the day sheet as one self-contained HTML text.

    The same operation and plan give the same text. Every text of the operation is shown as it is, never
    taken as markup or script. Distances are in the operation's units, times are clock times of the day.

    Parameters
    ----------
    operation : what the plan was made from.
    plan : the day's plan; without stops the page says so.
    shared : a copy to pass on: a drawing in place of the map, no gate codes and no notes.
    """
    day = day_of(operation, plan, shared)
    plan = day.plan
    view = drawing(day)
    plain = sketch(view, MILE_M if day.units == "mi" else 1000.0)
    the_map = NO_MAP if shared else day_map(view, plain, day.units)
    scripts = tuple(text for text in (field_script(), the_map.leaflet, the_map.script) if text)
    return filled(
        "day.html.j2",
        day=day,
        plan=plan,
        policy=_policy(scripts, "" if shared else f"{TILES} "),
        scripts=[Markup(text) for text in scripts],
        style=_style(day, the_map),
        field_data=field_data(day),
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
        after_line=later.after_line(day),
        weeks_after=later.weeks_after(day),
        against=later.against(day),
        looks_are=later.LOOKS_ARE,
        missing=missing(day),
        changes=changes(day),
        fallbacks=fallbacks(day),
        savings=savings(day),
        others=others(day),
        idle=_idle(day),
        whys=yard_whys(day),
        proof=proof_lines(plan),
        totals=totals(day),
        counts=counts(plan),
        counts_are=COUNTS_ARE,
        money=money(day),
        care=_care(day),
        words=words,
        card_words=card_words,
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


def _care(day: Day) -> tuple[tuple[str, str], ...]:
    """Return the cautions, weights in the operation's unit."""
    unit = day.operation.settings.weight
    weights = {"box": measures.weights(*words.BOX_KG, unit), "lift": measures.weight(words.LIFT_KG, unit, 0)}
    return tuple((name, text.format(**weights)) for name, text in words.CARE)


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


def _policy(scripts: tuple[str, ...], pictures_from: str) -> str:
    """Return the page's content policy: these scripts, pictures of the background, nothing else."""
    sums = (base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in scripts)
    allowed = " ".join(f"'sha256-{s}'" for s in sums)
    return (
        f"default-src 'none'; script-src {allowed}; style-src 'unsafe-inline'; img-src {pictures_from}data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _style(day: Day, the_map: DayMap) -> Markup:
    own = "".join((TEMPLATES / name).read_text(encoding="utf-8") for name in ("day.css", "field.css"))
    top = f"{measures.day_words(day.plan.day, year=True)} · {headline(day)}"
    return Markup(f"{the_map.style}\n{own.replace('@HEADLINE@', top)}")
