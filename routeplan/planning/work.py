"""Whole seconds of each task, from settings and number of people (trade defaults, common practice)."""

from dataclasses import dataclass

from routeplan.operation.world import Hive, Kit, Operation, Yard


@dataclass(frozen=True)
class Work:
    """Durations of the tasks of one crew, in whole seconds."""

    operation: Operation

    @property
    def factor(self) -> float:
        """A pair is 1; alone takes longer; more people share the work."""
        people = self.operation.crew.people
        return self.operation.settings.minutes.alone_factor if people == 1 else 2 / people

    def open_s(self, hive: Hive) -> int:
        """Open a donor, lift its boxes, look over its brood, close it."""
        m = self.operation.settings.minutes
        lifted = hive.boxes - 1 + hive.supers
        return round(60 * self.factor * (m.open_single + m.box_lifted * lifted + m.brood_look))

    def frame_s(self) -> int:
        """Look over one leaving frame, move it, put a comb back."""
        return round(60 * self.factor * self.operation.settings.minutes.frame)

    def shake_s(self) -> int:
        """Shake in one frame's bees."""
        return round(60 * self.factor * self.operation.settings.minutes.shake)

    def make_s(self, yard: Yard) -> int:
        """Close, label and load one split."""
        m = self.operation.settings.minutes
        return round(60 * (self.factor * (m.make_up + m.load) + 2 * yard.carry_min))

    def place_s(self, yard: Yard, queen: str) -> int:
        """Carry, place, feed and open one split; a caged queen goes in."""
        m = self.operation.settings.minutes
        minutes = m.place + m.open_split + (m.queen_in if queen == "mated" else 0.0)
        return round(60 * (self.factor * minutes + 2 * yard.carry_min))

    def fill_s(self, kit: Kit) -> int:
        """Fill one kit: its frames and its shakes."""
        return kit.frames * self.frame_s() + kit.shakes * self.shake_s()

    def set_up_s(self, opens_hives: bool) -> int:
        """Set up at a yard."""
        m = self.operation.settings.minutes
        return round(60 * (m.set_up_hives if opens_hives else m.set_up_placing))

    def leave_s(self, opens_hives: bool) -> int:
        """Pack up and leave a yard."""
        m = self.operation.settings.minutes
        return round(60 * (m.leave_hives if opens_hives else m.leave_placing))


def shut_in_limit_s(operation: Operation) -> int:
    """Most seconds a split may be shut in on the day, by the warmest hour expected (trade default table)."""
    rule = operation.settings.shut_in
    forecast = [w.max_c for w in operation.weather if w.day == operation.day]
    warmest = max(forecast) if forecast else rule.warmest_c
    if warmest is None:
        minutes = rule.screened_min[1]
    else:
        minutes = next(
            (m for below, m in zip((20, 25, 30, 35), rule.screened_min, strict=True) if warmest < below), 0.0
        )
        if not rule.screened and warmest >= 27:
            minutes = 0.0
    return round(60 * (minutes if rule.screened else minutes / 4))
