"""Boxes of two yards in the rest of a day: begun already, or to be begun and completed as the plan did it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.route import BEGUN, MADE


@dataclass(frozen=True)
class ToFill:
    """One box. Its lines are lines of the demand, counted beside the orders.

    Attributes
    ----------
    batch : the batch that it is one of; None where it is begun already.
    line : what completes it; `first` what begins it, None where it is begun already.
    bare : the side ("begun", "made", "" for none) that rides without bees.
    reach : (yards, yards) whether it may stand at the column's yard when completed at the row's.
    left_s : when the yard that began it was left, seconds after midnight; None where it is not begun yet.
    bare_s : most seconds from leaving that yard to opening hives where it is completed; None: no limit.
    """

    split: str
    order: str
    batch: int | None
    line: int
    first: int | None
    bare: str
    reach: NDArray[np.bool_]
    left_s: int | None
    bare_s: int | None

    @property
    def near(self) -> bool:
        """Whether it may stand near the yard where it is completed."""
        return self.bare == MADE

    def way(self, made: tuple[tuple[int, ...], ...]) -> tuple[int | None, int] | None:
        """The visits that begin it (None: begun already) and complete it; None where it is not made.

        `made` : by visit and line.
        """
        at = [i for i, row in enumerate(made) if row[self.line]]
        if not at:
            return None
        begun = [i for i, row in enumerate(made) if self.first is not None and row[self.first]]
        return (begun[0] if begun else None), at[0]

    def in_time(
        self, begun: int | None, made: int, opened: int, depart: list[int], hives: list[int], most_s: int
    ) -> bool:
        """Whether it is shut in no longer than it may, and its brood not too long without bees.

        Parameters
        ----------
        begun, made : visits; `opened` when it is opened at its new yard.
        depart, hives : when each visit is left, and work on its hives begins.
        most_s : seconds a box may be shut in.
        """
        left = self.left_s if begun is None else depart[begun]
        assert left is not None
        first_bees = depart[made] if self.bare == BEGUN else left
        in_time = opened - first_bees <= most_s
        return in_time and (self.bare_s is None or hives[made] - left <= self.bare_s)
