"""Seconds of each piece of work, from the settings, worked out for the audit alone.

Minutes are common practice (settings); every length is rounded to whole seconds once.
"""

from routeplan.operation.world import Crew, Hive, Operation, Yard


def pace(crew: Crew, alone_factor: float) -> float:
    """Return how the minutes of a pair stretch for this crew."""
    return alone_factor if crew.people == 1 else 2 / crew.people


def _seconds(operation: Operation, pair_min: float, other_min: float = 0.0) -> int:
    """Round minutes of work (at the crew's pace) plus minutes that no pace changes."""
    return round(60 * (pace(operation.crew, operation.settings.minutes.alone_factor) * pair_min + other_min))


def open_s(operation: Operation, hive: Hive) -> int:
    """Seconds to open, look over and close one hive."""
    m = operation.settings.minutes
    lifted = hive.boxes - 1 + hive.supers
    return _seconds(operation, m.open_single + m.box_lifted * lifted + m.brood_look)


def frame_s(operation: Operation, queen_found: bool = False) -> int:
    """Seconds for one frame out and one comb back in."""
    m = operation.settings.minutes
    return _seconds(operation, m.frame_queen_found if queen_found else m.frame)


def shake_s(operation: Operation, queen_found: bool = False) -> int:
    """Seconds for one frame's bees shaken in."""
    m = operation.settings.minutes
    return _seconds(operation, m.shake_queen_found if queen_found else m.shake)


def top_s(operation: Operation) -> int:
    """Seconds to open a hive's supers only, and close it."""
    return _seconds(operation, operation.settings.minutes.open_single)


def due_s(operation: Operation, hive: Hive, way: str) -> int:
    """Seconds that do not count at a hive due for a look anyway: its opening, or what is less."""
    if way == "supers":
        return top_s(operation)
    whole = open_s(operation, hive)
    return min(whole, first_pass_s(operation, hive)) if way == "excluder" else whole


def hunt_s(operation: Operation, hive: Hive) -> int:
    """Seconds to find a queen: marked, unmarked, unmarked in more than one box."""
    m = operation.settings.minutes
    if hive.queen == "marked":
        return _seconds(operation, m.hunt_marked)
    return _seconds(operation, m.hunt_unmarked if hive.boxes < 2 else m.hunt_unmarked_double)


def first_pass_s(operation: Operation, hive: Hive) -> int:
    """Seconds to open a hive, set combs shaken free of bees above an excluder, and close it."""
    m = operation.settings.minutes
    return _seconds(operation, m.excluder_first + m.box_lifted * (hive.boxes - 1 + hive.supers))


def second_pass_s(operation: Operation, hive: Hive) -> int:
    """Seconds to lift its supers and the combs off that were set above an excluder, and close it."""
    m = operation.settings.minutes
    return _seconds(operation, m.excluder_second + m.box_lifted * hive.supers)


def fence_s(operation: Operation) -> int:
    """Seconds to set up an electric fence."""
    return _seconds(operation, operation.settings.minutes.fence)


def hive_work_s(operation: Operation, hive: Hive, way: str, frames: int, shakes: int) -> int:
    """Seconds of all work at one hive, by the way the queen is known not to be on what leaves.

    Of two passes it is the second.
    """
    if way == "supers":
        return top_s(operation) + frames * frame_s(operation) + shakes * shake_s(operation)
    found = way in ("hunt", "excluder")
    if way == "excluder":
        opening = second_pass_s(operation, hive)
        return opening + frames * frame_s(operation, found) + shakes * shake_s(operation, found)
    opening = open_s(operation, hive) + (hunt_s(operation, hive) if found else 0)
    return opening + frames * frame_s(operation, found) + shakes * shake_s(operation, found)


def make_s(operation: Operation, yard: Yard) -> int:
    """Seconds to make up, close, label and load one split at its parents' yard, carrying included."""
    m = operation.settings.minutes
    return _seconds(operation, m.make_up + m.load, 2 * yard.carry_min)


def begin_s(operation: Operation, yard: Yard) -> int:
    """Seconds to carry to the truck and load a box that is begun here and completed at another yard."""
    return _seconds(operation, operation.settings.minutes.load, 2 * yard.carry_min)


def place_s(operation: Operation, yard: Yard, queen: str) -> int:
    """Seconds to carry, place and open one split, and put a mated queen in."""
    m = operation.settings.minutes
    queen_in = m.queen_in if queen == "mated" else 0.0
    return _seconds(operation, m.place + m.open_split + queen_in, 2 * yard.carry_min)


def set_up_s(operation: Operation, hives_opened: bool) -> int:
    """Seconds to set up on arriving at a yard."""
    m = operation.settings.minutes
    return round(60 * (m.set_up_hives if hives_opened else m.set_up_placing))


def leave_s(operation: Operation, hives_opened: bool) -> int:
    """Seconds to clear up before leaving a yard."""
    m = operation.settings.minutes
    return round(60 * (m.leave_hives if hives_opened else m.leave_placing))
