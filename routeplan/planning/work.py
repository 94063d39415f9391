"""Whole seconds of each task, from settings and number of people (trade defaults, common practice)."""

from dataclasses import dataclass
from functools import cached_property

from routeplan.operation.world import Hive, Operation, Yard


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

    def top_s(self) -> int:
        """Open a hive for its supers only, close it."""
        return round(60 * self.factor * self.operation.settings.minutes.open_single)

    def hunt_s(self, hive: Hive) -> int:
        """Find the queen and keep her aside."""
        m = self.operation.settings.minutes
        if hive.queen == "marked":
            return round(60 * self.factor * m.hunt_marked)
        return round(60 * self.factor * (m.hunt_unmarked_double if hive.boxes >= 2 else m.hunt_unmarked))

    def first_pass_s(self, hive: Hive) -> int:
        """Open a hive, set combs shaken free of bees above an excluder, close it."""
        m = self.operation.settings.minutes
        lifted = hive.boxes - 1 + hive.supers
        return round(60 * self.factor * (m.excluder_first + m.box_lifted * lifted))

    def second_pass_s(self, hive: Hive) -> int:
        """Lift off its supers and what was set above, take the excluder out, close it."""
        m = self.operation.settings.minutes
        return round(60 * self.factor * (m.excluder_second + m.box_lifted * hive.supers))

    def due_s(self, hive: Hive, way: str) -> int:
        """What does not count where a hive is due for a look anyway."""
        if way == "supers":
            return self.top_s()
        return min(self.open_s(hive), self.first_pass_s(hive)) if way == "excluder" else self.open_s(hive)

    def frame_s(self, found: bool = False) -> int:
        """Look over one leaving frame (not when the queen is found), move it, put a comb back."""
        m = self.operation.settings.minutes
        return round(60 * self.factor * (m.frame_queen_found if found else m.frame))

    def shake_s(self, found: bool = False) -> int:
        """Shake in one frame's bees, looked over first (not when the queen is found)."""
        m = self.operation.settings.minutes
        return round(60 * self.factor * (m.shake_queen_found if found else m.shake))

    @property
    def usually_found(self) -> bool:
        """Whether frames are usually handled with the queen found: where looking them over is not allowed."""
        return not self.operation.settings.sure.look

    @cached_property
    def saved_s(self) -> tuple[int, ...]:
        """Seconds saved on one frame or shake of each pooled kind when the queen is found first."""
        found = self.usually_found
        frame = self.frame_s(found) - self.frame_s(True)
        return (frame, frame, frame, frame, self.shake_s(found) - self.shake_s(True))

    def make_s(self, yard: Yard) -> int:
        """Close, label and load one split."""
        m = self.operation.settings.minutes
        return round(60 * (self.factor * (m.make_up + m.load) + 2 * yard.carry_min))

    def begin_s(self, yard: Yard) -> int:
        """Carry to the truck and load a box that is begun here and completed at another yard."""
        return round(60 * (self.factor * self.operation.settings.minutes.load + 2 * yard.carry_min))

    def place_s(self, yard: Yard, queen: str) -> int:
        """Carry, place, feed and open one split; a caged queen goes in."""
        m = self.operation.settings.minutes
        minutes = m.place + m.open_split + (m.queen_in if queen == "mated" else 0.0)
        return round(60 * (self.factor * minutes + 2 * yard.carry_min))

    def fill_s(self, frames: int, shakes: int) -> int:
        """Fill one box with so many frames and shakes, handled the usual way."""
        found = self.usually_found
        return frames * self.frame_s(found) + shakes * self.shake_s(found)

    def fence_s(self) -> int:
        """Set up an electric fence."""
        return round(60 * self.factor * self.operation.settings.minutes.fence)

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
    rule, warmest = operation.settings.shut_in, warmest_c(operation)
    if warmest is None:
        minutes = rule.screened_min[1]
    else:
        minutes = next(
            (m for below, m in zip((20, 25, 30, 35), rule.screened_min, strict=True) if warmest < below), 0.0
        )
        if not rule.screened and warmest >= 27:
            minutes = 0.0
    return round(60 * (minutes if rule.screened else minutes / 4))


def warmest_c(operation: Operation) -> float | None:
    """Return the warmest hour expected on the day, None when nothing is known."""
    forecast = [w.max_c for w in operation.weather if w.day == operation.day]
    return max(forecast) if forecast else operation.settings.shut_in.warmest_c
