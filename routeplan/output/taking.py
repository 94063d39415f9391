"""The rule a crew takes by on sight in one yard, and the next hives if one disappoints."""

from dataclasses import dataclass

from routeplan.output import card_words as say
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.plan import Stop, TakeRule

EVEN_THIRD = 0.005


@dataclass(frozen=True)
class Need:
    """So many of one kind to be taken here in all: one tally box each."""

    count: int
    kind: str


def needs(stop: Stop) -> tuple[Need, ...]:
    """Return what is taken at a stop in all."""
    return tuple(Need(n, _of(kind, n)) for kind, n in kinds_needed(stop))


def kinds_needed(stop: Stop) -> list[tuple[str, int]]:
    """Return each kind taken at a stop with how many, always in one order."""
    sums = {kind: sum(t.frames for t in stop.takes if t.kind == kind) for kind in words.KIND}
    return [(kind, n) for kind, n in sums.items() if n]


def _of(kind: str, count: int) -> str:
    return "shakes" if kind == "shake" and count != 1 else words.KIND[kind]


def rule_at(day: Day, stop: Stop) -> tuple[str, ...]:
    """Say what no hive may be asked for or left without, and which hives in which order."""
    rule = next((r for r in day.plan.take_rules if r.yard == stop.yard), None)
    lines = (keep_rule(day, rule), _order(day, stop, rule))
    return tuple(line for line in lines if line)


def keep_rule(day: Day, rule: TakeRule | None = None) -> str:
    """Write what no hive may be asked for or left without, usable on sight."""
    settings, show = day.operation.settings, measures.number
    limits, text = settings.limits, say.TAKE_RULE
    most, most_strong = limits.brood_per_donor, limits.brood_per_strong_donor
    if settings.season == "early spring":
        most_strong = most
    left = {kind: float(getattr(settings.keep_back, kind)) for kind in ("brood", "open", "bees", "food")}
    if rule is not None:
        most, most_strong = rule.most_brood, rule.most_strong
        left |= dict(rule.keeps)
    strong = text["strong"].format(most=most_strong, least=show(limits.strong_from_brood))
    third = abs(limits.brood_share - 1 / 3) < EVEN_THIRD
    never = text["most"].format(
        brood=most,
        strong=strong if most_strong > most else "",
        share=text["third"] if third else f"{limits.brood_share:.0%}",
        food=limits.food_per_donor,
        shakes=limits.shakes_per_donor,
    )
    shown = {kind: show(n) for kind, n in left.items()}
    return f"{never} {text['leave'].format(**shown, cover=show(settings.bees.cover_over_brood))}"


def _order(day: Day, stop: Stop, rule: TakeRule | None) -> str:
    if rule is None:
        return ""
    opened = [h for s in day.plan.stops if s.yard == stop.yard for h in s.opens]
    first, then = [h for h in rule.order if h in opened], [h for h in rule.order if h not in opened]
    if not then:
        return say.ORDER.format(hives=", ".join(first))
    return say.THEN.format(hives=", ".join(first), then=", ".join(then))


def next_hives(day: Day, stop: Stop) -> tuple[tuple[str, str], ...]:
    """Name for each kind taken here the next hives if one disappoints, each with how many it could give."""
    taken = {t.kind for t in stop.takes}
    rows = [row for row in day.plan.standbys if row.yard == stop.yard and row.kind in taken]
    return tuple(
        (_of(row.kind, 2), ", ".join(f"{hive} ({n})" for hive, n in row.hives) or say.NONE) for row in rows
    )
