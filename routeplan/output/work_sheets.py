"""Sheets of the workbook for the work of the day: stops, hive work, the next hives, what to load."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from routeplan.operation.world import Hive, Yard
from routeplan.output import day as days
from routeplan.output import measures, two_passes, words
from routeplan.output.day import Day
from routeplan.output.load import load
from routeplan.output.sheet import Cell, Sheet, length, minutes, table
from routeplan.plan import Stop, Take

WAYS = {
    "look": "look over each frame",
    "hunt": "find the queen first",
    "supers": "shake from the supers above the excluder",
    "excluder": "second pass: from above the excluder",
}


def stops(day: Day) -> Sheet:
    """Return the stops with their clock."""

    def yard(item: tuple[int, Stop]) -> Yard:
        return day.operation.yard(item[1].yard)

    positions: dict[str, Callable[[tuple[int, Stop]], Cell]] = {
        "latitude": lambda i: yard(i).stop.lat,
        "longitude": lambda i: yard(i).stop.lon,
    }
    return table(
        list(enumerate(day.plan.stops, 1)),
        {
            "stop": lambda i: i[0],
            "yard": lambda i: i[1].yard,
            "does": lambda i: words.JOB[days.job(day, yard(i))],
            f"drive {day.units}": lambda i: length(day, i[1].drive_m),
            "drive min": lambda i: minutes(i[1].drive_s),
            "arrive": lambda i: measures.clock(i[1].arrive),
            "depart": lambda i: measures.clock(i[1].depart),
            "wait min": lambda i: minutes(i[1].early_s + i[1].wait_s),
            "set up and leave min": lambda i: minutes(i[1].set_up_s + i[1].leave_s),
            "fence min": lambda i: minutes(i[1].fence_s),
            "place min": lambda i: minutes(i[1].place_s),
            "splits opened": lambda i: None if i[1].opened is None else measures.clock(i[1].opened),
            "hive work min": lambda i: minutes(i[1].hive_s),
            "make min": lambda i: minutes(i[1].make_s),
            "places boxes": lambda i: measures.runs(day.boxes[s] for s in i[1].places),
            "makes boxes": lambda i: measures.runs(day.boxes[s] for s in i[1].makes),
            "begins boxes": lambda i: measures.runs(day.boxes[s] for s in i[1].begins),
            "full aboard": lambda i: i[1].full,
            "empty aboard": lambda i: i[1].empty,
            **({} if day.shared else positions),
        },
    )


@dataclass(frozen=True)
class _Out:
    stop: int
    hive: Hive
    way: str
    take: Take
    back: int | None


def _outs(day: Day) -> Iterator[_Out]:
    """Yield every take; the combs put back into a hive stand in its first row only, so that they add up."""
    for number, stop in enumerate(day.plan.stops, 1):
        hives = {h.id: h for h in day.operation.hives if h.yard == stop.yard}
        ways = dict(stop.ways)
        for name in stop.opens:
            back = sum(p.combs for p in stop.puts_back if p.hive == name)
            for n, take in enumerate(t for t in stop.takes if t.hive == name):
                yield _Out(number, hives[name], ways[name], take, None if n else back)


def hive_work(day: Day) -> Sheet:
    """Return every take: from which hive into which box, and the way to be sure of the queen."""
    return table(
        _outs(day),
        {
            "stop": lambda o: o.stop,
            "yard": lambda o: o.hive.yard,
            "hive": lambda o: o.hive.id,
            "queen": lambda o: o.hive.queen,
            "temper": lambda o: o.hive.temper,
            "to be sure": lambda o: WAYS[o.way],
            "what": lambda o: words.KIND[o.take.kind],
            "frames or shakes": lambda o: o.take.frames,
            "bees": lambda o: "with" if o.take.bees else "without",
            "into box": lambda o: day.boxes[o.take.split],
            "combs put back": lambda o: o.back,
            "taken": lambda o: None,
        },
    )


def first_passes(day: Day) -> Sheet:
    """Return the first passes: whose combs are set above an excluder, and when they are collected."""
    return table(
        two_passes.rows(day),
        {
            "stop": lambda r: r[0],
            "yard": lambda r: r[1].yard,
            "hive": lambda r: r[2].hive,
            "combs set above an excluder": lambda r: r[2].combs,
            "collected at stop": lambda r: r[2].collected_at,
            "not before": lambda r: measures.clock(r[2].collect_from),
            "closed at": lambda r: None,
        },
    )


def next_hives(day: Day) -> Sheet:
    """Return the next hives if one disappoints; a kind without any has one row that says so."""
    rows = [
        (row.yard, row.kind, n, hive, more)
        for row in day.plan.standbys
        for n, (hive, more) in enumerate(row.hives or (("none", 0),), 1)
    ]
    return table(
        rows,
        {
            "yard": lambda r: r[0],
            "what": lambda r: words.KIND[r[1]],
            "turn": lambda r: r[2],
            "hive": lambda r: r[3],
            "could still give": lambda r: r[4],
        },
    )


def load_list(day: Day) -> Sheet:
    """Return what to load."""
    return table(
        [(part.name, item) for part in load(day) for item in part.items],
        {
            "part": lambda i: i[0],
            "count": lambda i: i[1].count,
            "what": lambda i: i[1].what,
            "remark": lambda i: i[1].remark,
        },
    )
