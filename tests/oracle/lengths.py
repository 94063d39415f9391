"""Seconds of every task, each rounded once."""

from routeplan.operation.world import Hive, Operation, Yard
from tests.oracle.asked import Box, Out


def pace(operation: Operation) -> float:
    """Share of a pair's minutes that this crew needs."""
    people = operation.crew.people
    return operation.settings.minutes.alone_factor if people == 1 else 2 / people


def _paced(operation: Operation, minutes: float) -> int:
    return round(60 * pace(operation) * minutes)


def open_s(operation: Operation, hive: Hive) -> int:
    """Seconds to open, look over and close one hive."""
    minutes = operation.settings.minutes
    lifted = hive.boxes - 1 + hive.supers
    return _paced(operation, minutes.open_single + minutes.box_lifted * lifted + minutes.brood_look)


def hunt_s(operation: Operation, hive: Hive) -> int:
    """Seconds to find the queen."""
    minutes = operation.settings.minutes
    unmarked = minutes.hunt_unmarked_double if hive.boxes >= 2 else minutes.hunt_unmarked
    return _paced(operation, minutes.hunt_marked if hive.queen == "marked" else unmarked)


def ways(operation: Operation, hive: Hive, out: Out) -> dict[str, tuple[int, int]]:
    """Seconds of each allowed way to be sure of the queen, and how many of them are opening the hive."""
    minutes, sure = operation.settings.minutes, operation.settings.sure
    opening, top = open_s(operation, hive), _paced(operation, minutes.open_single)
    frame, shake = _paced(operation, minutes.frame), _paced(operation, minutes.shake)
    moved = _paced(operation, minutes.frame_queen_found)
    moved_shake = _paced(operation, minutes.shake_queen_found)
    look = opening + out.frames * frame + out.shakes * shake
    if hive.queen == "queenless":
        return {"look": (look, opening)}
    found = {}
    if sure.look and not out.queen:
        found["look"] = (look, opening)
    if sure.hunt or out.queen:
        taking = out.frames * moved + out.shakes * moved_shake
        found["hunt"] = (opening + hunt_s(operation, hive) + taking, opening)
    if sure.supers and hive.excluder and hive.supers >= 1 and not out.frames and not out.queen:
        found["supers"] = (top + out.shakes * shake, top)
    return found


def quickest(operation: Operation, hive: Hive, out: Out) -> tuple[int, int] | None:
    """Seconds at a hive by the quickest allowed way, and how many are not counted as it is due; None: no way.

    Of ways that take as long, the one of which least counts.
    """
    due = hive.due or operation.yard(hive.yard).due
    every = ways(operation, hive, out).values()
    return min(((s, o if due else 0) for s, o in every), key=lambda pair: (pair[0], -pair[1]), default=None)


def two_passes(operation: Operation, hive: Hive, out: Out) -> tuple[int, int, int] | None:
    """Seconds of both passes where what leaves is set above an excluder first, and how many are not counted.

    None where that is not allowed. The second pass takes what leaves; the opening of the first is what is not
    counted where the hive is due.
    """
    minutes, limits = operation.settings.minutes, operation.settings.limits
    there = (operation.counted("excluder") or 0) > 0 and limits.visits_per_yard >= 2
    if not (there and operation.settings.excluder.allowed) or out.queen or hive.queen == "queenless":
        return None
    lifts = minutes.box_lifted
    first = _paced(operation, minutes.excluder_first + lifts * (hive.boxes - 1 + hive.supers))
    second = _paced(operation, minutes.excluder_second + lifts * hive.supers)
    second += out.frames * _paced(operation, minutes.frame_queen_found)
    second += out.shakes * _paced(operation, minutes.shake_queen_found)
    due = hive.due or operation.yard(hive.yard).due
    return first, second, min(first, open_s(operation, hive)) if due else 0


def saved_in_two_passes(operation: Operation, hive: Hive, out: Out) -> int:
    """Seconds that both passes save over looking over and finding the queen, as far as allowed; else 0."""
    both = two_passes(operation, hive, out)
    if both is None or not (out.frames or out.shakes):
        return 0
    single = [s for way, (s, _) in ways(operation, hive, out).items() if way != "supers"]
    return max(0, min(single, default=10**9) - both[0] - both[1])


def take_s(operation: Operation, box: Box) -> int:
    """Seconds to look over and take the frames and shakes of one split out of its donors."""
    minutes = operation.settings.minutes
    frame_s, shake_s = _paced(operation, minutes.frame), _paced(operation, minutes.shake)
    return box.kit.frames * frame_s + box.kit.shakes * shake_s


def make_s(operation: Operation, yard: Yard) -> int:
    """Seconds to close, label and load one split at its parents' yard."""
    minutes = operation.settings.minutes
    return round(60 * (pace(operation) * (minutes.make_up + minutes.load) + 2 * yard.carry_min))


def place_s(operation: Operation, yard: Yard, box: Box) -> int:
    """Seconds to set down and open one split in its new yard."""
    minutes = operation.settings.minutes
    queen_in = minutes.queen_in if box.queen == "mated" else 0.0
    return round(
        60 * (pace(operation) * (minutes.place + minutes.open_split + queen_in) + 2 * yard.carry_min)
    )


def fence_s(operation: Operation) -> int:
    """Seconds to set up an electric fence."""
    return _paced(operation, operation.settings.minutes.fence)


def set_up_s(operation: Operation, hives_opened: bool) -> int:
    """Seconds of setting up at a stop."""
    minutes = operation.settings.minutes
    return round(60 * (minutes.set_up_hives if hives_opened else minutes.set_up_placing))


def leave_s(operation: Operation, hives_opened: bool) -> int:
    """Seconds of leaving a stop."""
    minutes = operation.settings.minutes
    return round(60 * (minutes.leave_hives if hives_opened else minutes.leave_placing))


def shut_in_s(operation: Operation) -> int:
    """Most seconds a split may be shut in; 0: no split may travel."""
    shut = operation.settings.shut_in
    typed = [w.max_c for w in operation.weather if w.day == operation.day]
    warmest = max(typed) if typed else shut.warmest_c
    if warmest is None:
        minutes = shut.screened_min[1] if shut.screened else shut.screened_min[1] / 4
        return round(60 * minutes)
    step = sum(warmest >= limit for limit in (20, 25, 30, 35))
    minutes = shut.screened_min[step] if step < 4 else 0.0
    if not shut.screened:
        minutes = 0.0 if warmest >= 27 else minutes / 4
    return round(60 * minutes)
