"""Time for planning: how much is left, and whether someone asked to stop."""

import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass
class Clock:
    """A planning time limit in seconds, from now; `stopped` is asked too (an interrupt by the user)."""

    seconds: float
    stopped: Callable[[], bool] = lambda: False
    began: float = field(default_factory=time.monotonic)

    def left(self) -> float:
        """Seconds left, 0 when stopped."""
        return 0.0 if self.stopped() else max(0.0, self.began + self.seconds - time.monotonic())

    def over(self) -> bool:
        """Whether planning should end now."""
        return self.left() <= 0.0

    def share(self, most: float) -> float:
        """Seconds one step may take: what is left, at most `most`."""
        return min(most, self.left())

    def spent(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self.began

    def part(self, seconds: float) -> "Clock":
        """Return a clock that ends after `seconds` or with this one, whichever is first."""
        return Clock(min(seconds, self.left()), self.stopped)
