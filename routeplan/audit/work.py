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


def frame_s(operation: Operation) -> int:
    """Seconds for one frame out and one comb back in."""
    return _seconds(operation, operation.settings.minutes.frame)


def shake_s(operation: Operation) -> int:
    """Seconds for one frame's bees shaken in."""
    return _seconds(operation, operation.settings.minutes.shake)


def make_s(operation: Operation, yard: Yard) -> int:
    """Seconds to make up, close, label and load one split at its parents' yard, carrying included."""
    m = operation.settings.minutes
    return _seconds(operation, m.make_up + m.load, 2 * yard.carry_min)


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
