"""What is looked at in the weeks after, by the way to a queen: when, what for, what to do if it is not so.

Days count from the splitting day. All of it is common practice; the weather and what is found decide.
"""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from itertools import combinations, product

from routeplan.colony.timeline import timeline, whole_days
from routeplan.operation.settings import Queens

KINDS = ("look", "cell", "closed", "doubt", "mites", "sale", "feed")
"""look: somebody goes; cell: goes with a ripe cell; closed: nobody opens it; doubt: only when the look before
was not clear; mites: the days a treatment fits; sale: ready to sell from the first day on; feed: fed on
that day."""
MAKE_A_TRIP = ("look", "sale", "feed")
"""Kinds that somebody comes for anyway; cells have a trip of their own, the day after."""
EGG_TO_CAPPED_DAYS = 9
"""Egg 3 and open larva 6 days (standard stage lengths)."""


@dataclass(frozen=True)
class FollowUp:
    """From day `first` to `last` after the splitting day: what to look for, what to do if it is not so.

    `if_not` begins with the case ("none: ...", "not: ..."), so that it can follow an "if".
    """

    first: int
    last: int
    look: str
    if_not: str = ""
    kind: str = "look"


_NO_EGGS = (
    "none: give a test frame of eggs and young larvae; four days later cells on it mean no queen: give one "
    "or unite; no cells: she is there, wait"
)
_LAST_CALL = "none: unite it, or give a laying queen; with laying workers shake it out before strong hives"
_CLOSED = "leave closed: the queen flies to mate"
_CELLS = FollowUp(
    7,
    7,
    "count the queen cells, then close",
    "none: give a comb with eggs and young larvae, a ripe cell or a queen, or unite it",
)
_RAISING = (
    _CELLS,
    FollowUp(14, 14, "on one frame, has a cell hatched?", "not: close it, look again in three days", "doubt"),
    FollowUp(15, 25, _CLOSED, kind="closed"),
    FollowUp(28, 28, "eggs?", _NO_EGGS),
    FollowUp(35, 35, "last call: eggs?", _LAST_CALL, "doubt"),
)
_SELL = "own brood in all stages: ready to sell"
_NOT_YET = "not: feed it, look again in ten days"

SPLITS: dict[str, tuple[FollowUp, ...]] = {
    "raise own": (*_RAISING, FollowUp(42, 49, _SELL, _NOT_YET, "sale")),
    "ripe cell": (
        FollowUp(1, 1, "ripe cell in", "cold, dented or torn down: take the next one", "cell"),
        FollowUp(2, 17, _CLOSED, kind="closed"),
        FollowUp(18, 21, "eggs?", _NO_EGGS),
        FollowUp(28, 28, "last call: eggs?", _LAST_CALL, "doubt"),
        FollowUp(30, 37, _SELL, _NOT_YET, "sale"),
    ),
    "mated": (
        FollowUp(
            4,
            4,
            "queen out of her cage?",
            "not: bees biting at the cage: look for cells, wait three days; calm: let her out",
        ),
        FollowUp(10, 10, "eggs?", "none: look for her; gone: give another queen, or unite it"),
        FollowUp(21, 25, _SELL, _NOT_YET, "sale"),
    ),
    "parent's": (
        FollowUp(
            7,
            7,
            "eggs? she should not have stopped laying",
            "none: look for her; gone: give a queen, or unite it",
        ),
        FollowUp(21, 25, _SELL, _NOT_YET, "sale"),
    ),
    "own cells": (
        FollowUp(1, 17, _CLOSED, kind="closed"),
        FollowUp(18, 21, "eggs?", _NO_EGGS),
        FollowUp(28, 28, "last call: eggs?", _LAST_CALL, "doubt"),
        FollowUp(30, 37, _SELL, _NOT_YET, "sale"),
    ),
}
"""By the way to a queen, in the order of the days."""

GAVE = (
    FollowUp(
        5,
        7,
        "eggs?",
        "none: look for queen cells; if any, leave it closed and look for eggs on day 28; else give a queen",
    ),
)
"""A hive that gave frames and kept its queen."""
QUEEN_LEFT = _RAISING
"""A hive whose queen went along, or that had none: it raises one."""
PARTED = (*GAVE, FollowUp(28, 28, "eggs, where none were seen before?", _NO_EGGS, "doubt"))
"""A hive split in its own right whose queen, if it had one, stayed."""

TEST_FRAME = FollowUp(
    3,
    5,
    "queen cells on the test frame?",
    "there are: it has no queen, give one or unite it; none: she is there, look for eggs in a week",
)
"""Days from the one on which a test frame was given (common practice): bees without a queen draw cells from
its youngest larvae."""

MITES = "no capped brood: if mites are to be treated, these are the days; the label and local law come first"


def of_split(way: str, queens: Queens) -> tuple[FollowUp, ...]:
    """Return the follow-ups of a split by its way to a queen, with its days for a treatment, by day.

    Raises KeyError for a word that is not one of QUEEN_WAYS.
    """
    return _by_day((*SPLITS[way], *_mites(way, SPLITS[way], queens)))


def of_hive(queen_left: bool, parted: bool, queens: Queens) -> tuple[FollowUp, ...]:
    """Return the follow-ups of a hive that gave: its queen left, it was split in its own right, neither."""
    if queen_left:
        return _by_day((*QUEEN_LEFT, *_mites("raise own", QUEEN_LEFT, queens)))
    return PARTED if parted else GAVE


def trips_to_look(ways: Collection[str]) -> int:
    """Return on how many days at least somebody must come to splits in one yard, by their ways to a queen; a
    trip with ripe cells comes on top. Raises KeyError for another word."""
    steps = [step for way in ways for step in SPLITS[way] if step.kind in MAKE_A_TRIP]
    return fewest_trips([(step.first, step.last) for step in steps])


@cache
def looks_apart(ways: tuple[str, ...]) -> tuple[tuple[int, ...], ...]:
    """Return the sets of looks of which no two can be made on one day, as how many are of each way, but for
    those that another one makes needless. What some of these ways take in trips is the most that any set has
    of theirs (spans of days are met by as few days as there are apart: Gallai, for intervals).

    Raises KeyError for another word.
    """
    asking: dict[tuple[int, int], list[str]] = {}
    for way in ways:
        for step in SPLITS[way]:
            if step.kind in MAKE_A_TRIP:
                asking.setdefault((step.first, step.last), []).append(way)
    found = set()
    for chosen in product(*([None, *of] for of in asking.values())):
        spans = [span for span, way in zip(asking, chosen, strict=True) if way is not None]
        if all(a[1] < b[0] or b[1] < a[0] for a, b in combinations(spans, 2)):
            found.add(tuple(chosen.count(way) for way in ways))
    return tuple(sorted(a for a in found if not any(a != b and _covers(b, a) for b in found)))


def _covers(more: tuple[int, ...], less: tuple[int, ...]) -> bool:
    return all(n >= m for n, m in zip(more, less, strict=True))


def sale_days(way: str) -> tuple[int, int]:
    """Return the days (first, last) from when a split is ready to sell. Raises KeyError for another word."""
    sale = next(step for step in SPLITS[way] if step.kind == "sale")
    return sale.first, sale.last


def broodless_days(way: str, queens: Queens) -> tuple[int, int] | None:
    """Return the days (first, last) on which nothing in the colony is capped; None when none is sure.

    The last brood it came with has emerged, and the first eggs of its own queen are not capped yet.
    """
    times = timeline(way, queens)
    first, last = whole_days(times.donor_brood)[1], whole_days(times.eggs)[0] + EGG_TO_CAPPED_DAYS - 1
    return (first, last) if first <= last else None


def _mites(way: str, steps: tuple[FollowUp, ...], queens: Queens) -> tuple[FollowUp, ...]:
    """The days for a treatment, after the days on which nobody opens it."""
    days = broodless_days(way, queens)
    if days is None:
        return ()
    first = max(days[0], *(step.last + 1 for step in steps if step.kind == "closed"), 0)
    return (FollowUp(first, days[1], MITES, kind="mites"),) if first <= days[1] else ()


def _by_day(steps: tuple[FollowUp, ...]) -> tuple[FollowUp, ...]:
    return tuple(sorted(steps, key=lambda step: (step.first, step.last)))


def fewest_trips(days: list[tuple[int, int]]) -> int:
    """Return on how many days at least somebody must come, when one trip serves all looks due on its day."""
    trips, came = 0, -1
    for first, last in sorted(days, key=lambda span: span[1]):
        if first > came:
            trips, came = trips + 1, last
    return trips
