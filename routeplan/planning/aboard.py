"""Boxes that are aboard when the planning begins: made before, to be placed, never lost."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Aboard:
    """Boxes alike: by yard, whether they may live there and the seconds of placing one.

    `left_s`: when they left the yard of their first bees, seconds after midnight. `extra_s`: counted for one
    placed at a yard, beside the clock. `queen`: their way to a queen.
    """

    ids: tuple[str, ...]
    left_s: int
    reach: NDArray[np.bool_]
    place_s: Ints
    extra_s: Ints
    queen: str

    @property
    def count(self) -> int:
        """How many."""
        return len(self.ids)
