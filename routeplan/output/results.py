"""Splits with their later looks, what is missing, why each hive gives or not, and how good the plan is."""

import math
from dataclasses import dataclass, replace

from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.day import Day, gave
from routeplan.plan import HiveLine, Plan, Split, Unplaced

NEAREST_M = 0.5
"""Distances are whole metres in a plan: so much may be lost by rounding."""
CLOSE_CALL = 1.01
"""A flying distance under this many times the minimum is said to be borderline."""


@dataclass(frozen=True)
class SplitLine:
    """One split, ready to be shown."""

    box: str
    kit: str
    contents: str
    donors: str
    queen: str
    place: str
    flying: str
    shut_in: str
    look: str


@dataclass(frozen=True)
class Missing:
    """Splits asked for that are not in the plan."""

    count: str
    order: str
    rule: str
    reason: str


@dataclass(frozen=True)
class Why:
    """One hive, or several alike: what it could give, what it gives, and why."""

    noun: str
    hive: str
    could: str
    gives: str
    reason: str


@dataclass(frozen=True)
class YardWhys:
    """All hives of one yard; `hives` counts them, `visited` says whether the crew goes there."""

    yard: str
    hives: int
    visited: bool
    lines: tuple[Why, ...]


def split_lines(day: Day) -> tuple[SplitLine, ...]:
    """Return all splits in the order of their box numbers."""
    return tuple(_split_line(day, split) for split in day.splits())


def _split_line(day: Day, split: Split) -> SplitLine:
    kit = day.operation.kit(split.kit)
    contents = measures.kinds(
        (("capped", kit.capped), ("open", kit.open), ("food", kit.food), ("shake", kit.shakes))
    )
    fill = [f"{kit.drawn} drawn"] if kit.drawn else []
    fill += [f"{kit.fill} more combs" if kit.fill > 1 else "1 more comb"] if kit.fill else []
    limit = days.shut_in_limit_min(day.operation)
    return SplitLine(
        box=str(day.boxes[split.id]),
        kit=f"{kit.name} ({split.frame})",
        contents=", ".join([contents, *fill]),
        donors=f"{measures.hives(split.donors)} at {split.from_yard}",
        queen=words.QUEEN_WAY.get(split.queen, split.queen),
        place=f"{split.to_yard}, stop {split.placed_at}",
        flying=flying(day, split),
        shut_in=f"{measures.span(split.shut_in_s)}, at most {measures.span(60 * limit)}",
        look=first_look(day, split.queen),
    )


def flying(day: Day, split: Split) -> str:
    """Write a split's distance beside the minimum, and whether it is borderline."""
    least = day.operation.settings.minimum_distance_m
    near = ", borderline" if split.flying_m < CLOSE_CALL * least else ""
    near = ", too near" if split.flying_m < least - NEAREST_M else near
    return f"{day.distance(split.flying_m, 2)}, at least {day.distance(least, 2)}{near}"


def first_look(day: Day, queen: str) -> str:
    """Return when a split is looked at next and what for; common practice."""
    first, last, what = words.LOOKS[queen][0]
    return f"{measures.days_after(day.plan.day, first, last)}: {what}"


def all_looks(day: Day) -> tuple[tuple[str, str, str], ...]:
    """Return (day or days, which boxes or hives, what to look for) by day; common practice."""
    dated = []
    for queen, queen_looks in words.LOOKS.items():
        boxes = [s.id for s in day.splits() if s.queen == queen]
        dated += [(first, last, day.box_words(boxes), what) for first, last, what in queen_looks if boxes]
    if day.plan.splits:
        first, last, what = words.DONOR_LOOK
        dated.append((first, last, words.HIVES_THAT_GAVE, what))
    ordered = sorted(dated, key=lambda look: look[:2])
    return tuple((measures.days_after(day.plan.day, a, b), who, what) for a, b, who, what in ordered)


def missing(day: Day) -> tuple[Missing, ...]:
    """Return what was asked for and is not in the plan."""
    return tuple(_missing(day, line) for line in day.plan.unplaced)


def _missing(day: Day, line: Unplaced) -> Missing:
    order = next((o for o in day.operation.orders if o.id == line.order), None)
    asked = (
        f"{line.order}: {order.kit}, {words.QUEEN_WAY.get(order.queen, order.queen)}" if order else line.order
    )
    return Missing(
        measures.counted(line.count, "split"), asked, words.RULE.get(line.rule, line.rule), line.reason
    )


def yard_whys(day: Day) -> tuple[YardWhys, ...]:
    """Return per yard, in the order of the tables, every hive and its reason.

    Hives of a yard that give nothing for the same reason share a line.
    """
    by_yard: dict[str, dict[HiveLine, list[str]]] = {}
    for line in day.plan.hives:
        alike = replace(line, hive=line.hive if gave(line) else "")
        by_yard.setdefault(line.yard, {}).setdefault(alike, []).append(line.hive)
    return tuple(
        YardWhys(
            yard,
            sum(map(len, groups.values())),
            bool(day.stops_at(yard)),
            tuple(_why(line, hives) for line, hives in groups.items()),
        )
        for yard, groups in by_yard.items()
    )


def _why(line: HiveLine, hives: list[str]) -> Why:
    could, gives = measures.kinds(line.could) or "nothing", measures.kinds(line.gives) or "–"
    return Why("hive" if len(hives) == 1 else "hives", ", ".join(hives), could, gives, line.reason)


def quality(plan: Plan) -> str:
    """Say in a few words how good the plan is; "best possible" only when count and minutes are proved."""
    proof = plan.proof
    if not plan.stops:
        return words.QUALITY["none"]
    if proof.status == "optimal" and proof.count_status == "optimal":
        return words.QUALITY["best"]
    if proof.count_status != "optimal" and plan.totals.placed < plan.totals.asked:
        return words.QUALITY["found"].format(
            most=measures.counted(proof.most_splits, "split is", "splits are")
        )
    return words.QUALITY["within"].format(gap=per_cent(proof.gap))


def per_cent(share: float) -> str:
    """Write a share as a percentage with one decimal, rounded up so that it never promises too much."""
    return f"{math.ceil(round(share * 1000, 6)) / 10:.1f}{measures.HARD}%"


def proof_lines(plan: Plan) -> tuple[str, ...]:
    """Say what is proved and what is not."""
    proof, totals = plan.proof, plan.totals
    if not plan.stops:
        proved = proof.count_status == "optimal"
        return (words.NONE_POSSIBLE if proved else words.NONE_FOUND,)
    best = measures.counted(totals.placed, "split")
    if proof.status == "optimal":
        minutes = words.PROOF["least"].format(splits=best)
    else:
        minutes = words.PROOF["within"].format(
            paid=measures.span(proof.objective_s),
            bound=measures.span(proof.bound_s),
            gap=per_cent(proof.gap),
            part=per_cent(proof.gap_influenced),
        )
    return _count_line(plan), minutes, words.PROOF["making"].format(time=measures.span(proof.making_s))


def _count_line(plan: Plan) -> str:
    proof, totals = plan.proof, plan.totals
    asked = measures.counted(totals.asked, "split")
    if totals.placed == totals.asked:
        return words.PROOF["all"].format(asked=asked)
    say = "most" if proof.count_status == "optimal" else "open"
    return words.PROOF[say].format(placed=totals.placed, asked=asked, most=proof.most_splits)


def totals(day: Day) -> tuple[tuple[str, str], ...]:
    """Return the paid time by kind of work, then the other sums."""
    t = day.plan.totals
    seconds = (t.drive_s, t.yard_s, t.hive_s, t.make_s, t.place_s, t.wait_s, t.paid_s)
    sums = (*map(measures.span, seconds), day.distance(t.drive_m), str(t.hives_opened), str(t.frames_taken))
    return tuple(zip(words.TOTALS, sums, strict=True))
