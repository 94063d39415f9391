"""Rules about queens: being sure of her, parents' queens, hives split in their own right, stock."""

from collections.abc import Iterator
from datetime import timedelta

from routeplan.audit.case import WAYS, Case, Key, frames_out, named
from routeplan.audit.giving import fresh_eggs
from routeplan.audit.violation import Violation, count
from routeplan.operation.world import QUEENS_NOT_LAYING, Hive, Order
from routeplan.plan import Stop


def sure_of_her(case: Case) -> Iterator[Violation]:
    """R8: at every hive opened the queen is known not to be on what leaves, in a way that is allowed."""
    for i, stop in case.numbered:
        if tuple(hive for hive, _ in stop.ways) != stop.opens:
            text = f"stop {i} at {stop.yard}: ways to be sure of the queen are not given for the hives opened"
            yield Violation("R8", text, 1, "stop", (stop.yard,))
        for name, way in stop.ways:
            hive = case.hives.get((stop.yard, name))
            if hive is not None and (fault := _way_fault(case, stop, hive, way)):
                yield Violation("R8", f"stop {i}: {named(hive.key)}: {fault}", 1, "hive", hive.key)


def _way_fault(case: Case, stop: Stop, hive: Hive, way: str) -> str | None:
    sure, takes = case.operation.settings.sure, case.takes_of(stop, hive.id)
    if way not in WAYS:
        return f"{way!r} is no way to be sure of the queen"
    if hive.queen == "queenless":
        return None if way == "look" else "it has no queen to look for"
    if way == "look" and (takes["queen"] or not sure.look):
        return "looking over the frames is not enough" if takes["queen"] else "looking over is not allowed"
    if way == "hunt" and not (takes["queen"] or sure.hunt):
        return "finding the queen first is not allowed"
    if way == "excluder" and (takes["queen"] or not case.operation.settings.excluder.allowed):
        return (
            "its queen cannot come from above the excluder"
            if takes["queen"]
            else "two passes are not allowed"
        )
    from_supers = sure.supers and hive.excluder and hive.supers > 0
    if way == "supers" and not from_supers:
        return "it has no supers above an excluder to shake bees from, or that is not allowed"
    if way == "supers" and (frames_out(takes) or takes["queen"]):
        leaves = count(frames_out(takes), "frame") if frames_out(takes) else "its queen"
        return f"{leaves} cannot come from above the excluder"
    return None


def queens_along(case: Case) -> Iterator[Violation]:
    """R12: a queen leaves only a hive that has her and can raise a new one; one queen a hive."""
    for key, give in case.gives.items():
        if not give["queen"]:
            continue
        hive = case.hives[key]
        if give["queen"] > 1:
            yield _fault(f"{named(key)} gives {give['queen']} queens", give["queen"] - 1, key)
        if hive.queen in QUEENS_NOT_LAYING:
            yield _fault(f"{named(key)} gives its queen, but is noted as: {hive.queen}", 1, key)
        charged = key in case.own_right and hive.count.queen_cells == "charged"
        stays = key not in case.operation.broken_up
        if stays and not (fresh_eggs(case, hive) or charged):
            yield _fault(f"{named(key)} gives its queen and has no fresh eggs to raise a new one", 1, key)


def _fault(text: str, amount: float, key: Key) -> Violation:
    return Violation("R12", text, amount, "queens", key)


def own_right(case: Case) -> Iterator[Violation]:
    """R12: a hive split in its own right feeds its own splits only, alone, and at one stop."""
    for key in case.own_right:
        orders = {o.id: o for o in case.operation.orders if (o.from_yard, o.hive) == key}
        splits = {s.id for s in case.splits.values() if s.order in orders}
        for _, stop, take in case.takes():
            if (stop.yard, take.hive) == key and take.split not in splits:
                text = f"{named(key)} is split in its own right and gives to split {take.split}"
                yield _fault(text, take.frames, key)
        for split in sorted(splits):
            if others := case.donors[split] - {key}:
                names = ", ".join(named(other) for other in sorted(others))
                yield _fault(f"split {split} of {named(key)} has frames of {names}", len(others), key)
        stops = {case.made[s] for s in splits if s in case.made}
        if len(stops) > 1:
            yield _fault(f"{named(key)} is split at {len(stops)} stops", len(stops) - 1, key)
        for order in orders.values():
            parts = sum(s.order == order.id for s in case.splits.values())
            if parts and (fault := _own_fault(case, case.hives.get(key), order, parts)):
                yield _fault(f"{named(key)}: {fault}", parts, key)


def _own_fault(case: Case, hive: Hive | None, order: Order, parts: int) -> str | None:
    if hive is None:
        return "it is not in the tables"
    charged, limits = hive.count.queen_cells == "charged", case.operation.settings.limits
    if order.queen == "own cells":
        age = case.strengths[hive.key].age
        if not charged or age > limits.cells_days:
            return "no charged queen cells were seen in it lately"
    if order.queen == "parent's" and parts > 1:
        return f"its one queen cannot go with {parts} splits"
    return None


def stocked(case: Case) -> Iterator[Violation]:
    """R12: mated queens and ripe cells can be used on the day they go in, as many as are counted."""
    for way, item, days in (("mated", "mated queen", 0), ("ripe cell", "ripe cell", 1)):
        day = case.operation.day + timedelta(days=days)
        there = case.operation.counted(item, on=day)
        need = sum(s.queen == way for s in case.splits.values())
        if there is not None and need > there:
            text = (
                f"{count(need, item)} needed on {day.isoformat()}, {there} can be used: {need - there} short"
            )
            yield Violation("R12", text, need - there, "queens", (item,))
