"""Splits, what is missing, and why each hive gives or not."""

from dataclasses import dataclass, replace

from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.box_work import swapped
from routeplan.output.day import Day, gave
from routeplan.output.looks import first_look
from routeplan.output.split_weeks import split_weeks
from routeplan.plan import HiveLine, Split, Unplaced


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
    weeks: tuple[tuple[str, str], ...]


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
    weeks = split_weeks(day)
    return tuple(_split_line(day, split, weeks[split.id].facts) for split in day.splits())


def _split_line(day: Day, split: Split, weeks: tuple[tuple[str, str], ...]) -> SplitLine:
    kit = day.operation.kit(split.kit)
    limit = days.shut_in_limit_min(day.operation)
    return SplitLine(
        box=str(day.boxes[split.id]),
        kit=f"{kit.name} ({split.frame})",
        contents=_contents(day, split),
        donors=_donors(split),
        queen=words.QUEEN_WAY.get(split.queen, split.queen),
        place=f"{split.to_yard}, stop {split.placed_at}",
        flying=flying(day, split),
        shut_in=f"{measures.span(split.shut_in_s)}, at most {measures.span(60 * limit)}",
        look=first_look(day, split.queen),
        weeks=weeks,
    )


def _donors(split: Split) -> str:
    made = f"{measures.hives(split.donors)} at {split.from_yard}"
    return f"{measures.hives(split.begun_donors)} at {split.begun_yard}; {made}" if split.begun_at else made


def _contents(day: Day, split: Split) -> str:
    """Write what is in the box: what was taken for it, what stands in for food, combs from home."""
    kit = day.operation.kit(split.kit)
    taken: dict[str, int] = {}
    for take in (t for s in day.plan.stops for t in s.takes if t.split == split.id):
        taken[take.kind] = taken.get(take.kind, 0) + take.frames
    parts = [measures.kinds(taken.items()), swapped(day, split)]
    parts += [f"{kit.drawn} drawn"] if kit.drawn else []
    parts += [f"{kit.fill} more combs" if kit.fill > 1 else "1 more comb"] if kit.fill else []
    return ", ".join(part for part in parts if part)


def flying(day: Day, split: Split) -> str:
    """Write a split's distance beside the minimum, and whether it is borderline."""
    least = day.operation.settings.minimum_distance_m
    sides = with_bees(day, split)
    near = measures.close_call(min(metres for _, metres in sides), least)
    far = " and ".join(
        f"{day.distance(metres, 2)} from {yard}" if split.begun_at else day.distance(metres, 2)
        for yard, metres in sides
    )
    return f"{far}, at least {day.distance(least, 2)}{near}"


def with_bees(day: Day, split: Split) -> list[tuple[str, int]]:
    """The yards whose bees are in a split, and how far each is from its new yard in metres."""
    sides = [(split.begun_at, split.begun_yard, split.begun_m)] if split.begun_at else []
    sides.append((split.made_at, split.from_yard, split.flying_m))
    bees = {
        n for n, stop in enumerate(day.plan.stops, 1) for t in stop.takes if t.split == split.id and t.bees
    }
    found = [(yard, metres) for at, yard, metres in sides if at in bees]
    return found or [(split.from_yard, split.flying_m)]


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
