"""Boxes filled one after the other, each time from the hive that covers most of what is still missing: no
search, so there is an answer at once where the exact filling (boxes.py) takes too long.
"""

from routeplan.operation.world import Hive
from routeplan.planning.boxes import Box
from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS, QUEEN
from routeplan.planning.yields import Donors, Option

Key = tuple[str, str]


def one_by_one(case: Case, yard: int, made: tuple[int, ...], free: frozenset[Key]) -> tuple[Box, ...] | None:
    """Fill a yard's boxes.

    Parameters
    ----------
    made : boxes by line.
    free : keys of the hives that may give.

    Returns
    -------
    The boxes; None where some box is not filled this way, which does not say that it cannot be. Boxes that
    get a queen from a hive, or are split from a hive in its own right, are not tried.
    """
    boxes = as_many(case, yard, made, free)
    return boxes if len(boxes) == sum(made) else None


def as_many(case: Case, yard: int, made: tuple[int, ...], free: frozenset[Key]) -> tuple[Box, ...]:
    """Fill those of a yard's boxes that are filled this way, the others left out."""
    filling = _Filling(case, [(h, d) for d in case.donors[yard] for h in d.hives if h.key in free])
    boxes = []
    for line in (k for k, n in enumerate(made) for _ in range(n)):
        need = case.demand.need(line)
        takes = None if need[QUEEN] or any(need[len(KINDS) :]) else filling.box(line)
        if takes is not None:
            boxes.append(Box(0, line, takes))
    return tuple(boxes)


class _Filling:
    def __init__(self, case: Case, hives: list[tuple[Hive, Donors]]) -> None:
        self.case, self.hives = case, hives
        self.gives = {h.key: [0] * case.demand.width for h, _ in hives}

    def box(self, line: int) -> tuple[tuple[Hive, int, int], ...] | None:
        """What one box takes, as (hive, kind index, frames)."""
        missing = list(self.case.demand.need(line))
        takes: list[tuple[Hive, int, int]] = []
        used: set[Key] = set()
        before = {key: list(gives) for key, gives in self.gives.items()}
        for _ in range(self.case.donors_of_box(line)):
            found = self._best(line, missing, used)
            if found is None:
                break
            hive, more = found
            used.add(hive.key)
            for k, n in enumerate(more):
                missing[k] -= n
                self.gives[hive.key][k] += n
            takes += [(hive, k, n) for k, n in enumerate(more) if n]
            if not any(missing):
                return tuple(takes)
        self.gives = before
        return None

    def _best(self, line: int, missing: list[int], used: set[Key]) -> tuple[Hive, list[int]] | None:
        """The hive that covers most of what is missing, of those the one open already or opened soonest."""
        frame, best = self.case.demand.lines[line].frame, None
        for hive, donor in self.hives:
            if donor.frame != frame or hive.key in used:
                continue
            gives = self.gives[hive.key]
            for option in donor.options:
                more = _more(option, gives, missing)
                rank = (-sum(more), not any(gives), option.open_s + option.against_s - option.off_s, hive.id)
                if any(more) and (best is None or rank < best[0]):
                    best = rank, hive, more
        return best and (best[1], best[2])


def _more(option: Option, gives: list[int], missing: list[int]) -> list[int]:
    """What a hive worked so can give of what is missing on top of what it gives; nothing where it cannot."""
    if option.give[QUEEN] or any(option.give[len(KINDS) :]) or option.in_two_passes:
        return [0] * len(missing)
    left = [most - given for most, given in zip(option.give, gives, strict=True)]
    if min(left) < 0:
        return [0] * len(missing)
    return [min(a, b) for a, b in zip(left, missing, strict=True)]
