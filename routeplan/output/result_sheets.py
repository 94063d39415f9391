"""Sheets of the workbook for what comes of the day: splits, the weeks after, what is missing, sums."""

from collections.abc import Callable

from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.good import counts, proof_lines, times
from routeplan.output.helps import changes, fallbacks, savings
from routeplan.output.later import trips
from routeplan.output.looks import first_look, looks, when
from routeplan.output.money import ROWS
from routeplan.output.others import command
from routeplan.output.results import missing
from routeplan.output.sheet import Cell, Sheet, length, minutes, table
from routeplan.plan import HiveLine


def splits(day: Day) -> Sheet:
    """Return the splits."""
    least, limit = (
        length(day, day.operation.settings.minimum_distance_m),
        days.shut_in_limit_min(day.operation),
    )
    return table(
        day.splits(),
        {
            "box": lambda s: day.boxes[s.id],
            "order": lambda s: s.order,
            "kit": lambda s: s.kit,
            "frame": lambda s: s.frame,
            "queen": lambda s: words.QUEEN_WAY.get(s.queen, s.queen),
            "instead of food frames": lambda s: s.swap or None,
            "from yard": lambda s: s.from_yard,
            "hives": lambda s: ", ".join(s.donors),
            "to yard": lambda s: s.to_yard,
            "made at stop": lambda s: s.made_at,
            "placed at stop": lambda s: s.placed_at,
            f"distance {day.units}": lambda s: length(day, s.flying_m),
            "begun in yard": lambda s: s.begun_yard or None,
            "hives there": lambda s: ", ".join(s.begun_donors) or None,
            "begun at stop": lambda s: s.begun_at or None,
            f"distance from there {day.units}": lambda s: length(day, s.begun_m) if s.begun_at else None,
            f"at least {day.units}": lambda s: least,
            "shut in min": lambda s: minutes(s.shut_in_s),
            "at most min": lambda s: limit,
            "next look": lambda s: first_look(day, s.queen),
        },
    )


def weeks_after(day: Day) -> Sheet:
    """Return the trips to each yard that gets splits."""
    return table(
        day.plan.after,
        {
            "yard": lambda a: a.yard,
            "splits": lambda a: a.splits,
            "trips to look": lambda a: a.trips,
            "trips to feed": lambda a: a.feeding_trips,
            "trips with cells the day after": lambda a: a.cell_trips,
            "a trip min": lambda a: minutes(a.trip_s),
            f"a trip {day.units}": lambda a: length(day, a.trip_m),
            "all trips min": lambda a: minutes(trips(a) * a.trip_s),
            "few splits min": lambda a: minutes(a.few_s),
            "robbing min": lambda a: minutes(a.robbing_s),
        },
    )


def dated_looks(day: Day) -> Sheet:
    """Return every look of the weeks after, by day."""
    return table(
        looks(day),
        {
            "when": lambda k: when(day.plan.day, k),
            "yard": lambda k: k.yard,
            "which": lambda k: k.who,
            "what": lambda k: k.what,
            "if not": lambda k: k.if_not or None,
            "done": lambda k: None,
        },
    )


def not_in_the_plan(day: Day) -> Sheet:
    """Return what was asked for and is not in the plan."""
    return table(
        zip(day.plan.unplaced, missing(day), strict=True),
        {
            "splits": lambda m: m[0].count,
            "asked for": lambda m: m[1].order,
            "stopped by": lambda m: m[1].rule,
            "reason": lambda m: m[1].reason,
        },
    )


def what_helps(day: Day) -> Sheet:
    """Return what would place what is missing, and what one more of something would save."""
    parts = (
        ("to place what is missing", changes(day)),
        ("to know", fallbacks(day)),
        ("one more would save", savings(day)),
    )
    rows: list[tuple[Cell, ...]] = [(name, line) for name, lines in parts for line in lines]
    return ("for", "what"), rows


def other_plans(day: Day) -> Sheet:
    """Return the other good plans, with what they take more than this one; below zero: less."""
    return table(
        day.plan.alternatives,
        {
            "differs": lambda a: a.differs,
            "more today min": lambda a: minutes(a.today_s),
            "more in four weeks min": lambda a: minutes(a.later_s),
            "more counted min": lambda a: minutes(a.counted_s),
            "stops": lambda a: ", ".join(a.stops),
            "splits to": lambda a: ", ".join(f"{yard} {n}" for yard, n in a.receiving),
            "made at": lambda a: ", ".join(f"{yard} {n}" for yard, n in a.giving),
            "proved": lambda a: "yes" if a.proved else "no",
            "to get it": lambda a: " ".join(command(a.without)) or None,
        },
    )


def hives(day: Day) -> Sheet:
    """Return every hive: what it could give, what it gives, and why."""

    def could(kind: str) -> Callable[[HiveLine], Cell]:
        return lambda line: dict(line.could).get(kind, 0)

    def gives(kind: str) -> Callable[[HiveLine], Cell]:
        return lambda line: dict(line.gives).get(kind, 0)

    kinds = {"capped": "capped", "open": "open", "food": "food", "shake": "shakes"}
    columns: dict[str, Callable[[HiveLine], Cell]] = {"yard": lambda h: h.yard, "hive": lambda h: h.hive}
    columns |= {f"could give {name}": could(kind) for kind, name in kinds.items()}
    more = {"eggs": "open with eggs", "mixed": "mixed with eggs", "queen": "queen"}
    columns |= {f"gives {name}": gives(kind) for kind, name in {**kinds, **more}.items()}
    return table(day.plan.hives, columns | {"why": lambda h: h.reason})


def costs(day: Day) -> Sheet:
    """Return what the plan costs, by kind and by yard."""
    cost = day.plan.cost
    if cost is None:
        return ("what", "money", "currency"), []
    parts = (cost.drive, cost.hours, cost.later, cost.queens, cost.combs, cost.sugar)
    named = [*zip(ROWS, parts, strict=True), ("In all", cost.total), ("For each split", cost.per_split)]
    named += [(f"Yard {yard}", value) for yard, value in cost.yards]
    named.append(("Drive home", cost.home))
    rows: list[tuple[Cell, ...]] = [(name, value, cost.currency) for name, value in named]
    return ("what", "money", "currency"), rows


def totals(day: Day) -> Sheet:
    """Return the sums of the day, what counts, how good the plan is, and what was assumed."""
    t = day.plan.totals
    rows: list[tuple[Cell, ...]] = [
        ("splits asked for", t.asked, ""),
        ("splits placed", t.placed, ""),
        ("paid time", minutes(t.paid_s), "min"),
        *((name[0].lower() + name[1:], minutes(s), "min") for name, s in times(day.plan)),
        ("road", length(day, t.drive_m), day.units),
        ("hives opened", t.hives_opened, ""),
        ("frames taken", t.frames_taken, ""),
        ("leave home", measures.clock(t.leave_home), ""),
        ("back home", measures.clock(t.back_home), ""),
    ]
    rows += [(f"counts: {sign} {name}", minutes(s), "min") for sign, name, s in counts(day.plan)]
    rows += [("how good", line, "") for line in proof_lines(day.plan)]
    rows += [("assumed", note, "") for note in day.plan.notes]
    return ("what", "value", "unit"), rows
