"""Queens that leave with a split: what may go along, by hand and on many hives.

What stays behind is common practice: bees 6, brood 2, open 1, food 2 frames. A strong hive here: bees 20,
capped 6, open 5, food 6.
"""

from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from routeplan.colony.surplus import Give, Surplus, surplus_of
from routeplan.operation.settings import Limits, Settings, Sure
from routeplan.operation.world import Hive, Operation, Order
from tests.oracle import meanings
from tests.planning.make import DAY_ALONE, ONE, hive, operation, yard
from tests.seeded import rich_operation

Frames = tuple[int, int, int, int]
"""Capped, open (mixed ones too) and food frames, and shakes."""


def alone(one: Hive, settings: Settings = DAY_ALONE, way: str = "parent's") -> Operation:
    """An operation of one hive; a split takes its parent's queen."""
    return operation((yard("Y", 3.0),), (one,), (Order("A", 1, ONE.name, way),), settings=settings)


def within(most: tuple[Give, ...]) -> set[Frames]:
    """All gives within one of the most."""
    found: set[Frames] = set()
    for g in most:
        found |= set(product(range(g.capped + 1), range(g.open + 1), range(g.food + 1), range(g.shake + 1)))
    return found


def giving(own: Surplus, queen: bool) -> set[Frames]:
    """All gives with or without the queen, no mixed frames."""
    if not queen:
        return within(own.most)
    return {give for g in own.others if g.queen and not g.mixed for give in within(g.most)}


def with_queen(one: Hive, settings: Settings = DAY_ALONE) -> set[Frames]:
    """What may leave a hive along with its queen."""
    return giving(surplus_of(alone(one, settings))[one.key], queen=True)


def test_less_stays_behind_when_the_queen_leaves() -> None:
    """Brood 2.5 + 2.2 less two frames is 2.7: above 2, below the 5 that stay otherwise."""
    weak = hive("H", bees=9.3, capped=2.5, open=2.2, food=3.2)
    settings = replace(DAY_ALONE, limits=Limits(brood_share=0.5))
    assert (1, 1, 1, 1) in with_queen(weak, settings)
    assert (1, 1, 1, 1) not in giving(surplus_of(alone(weak, settings))[weak.key], queen=False)
    for less in ({"bees": 9.29}, {"open": 2.19}, {"food": 3.19}):
        poorer = replace(weak, count=replace(weak.count, **less))
        assert (1, 1, 1, 1) not in with_queen(poorer, settings)


def test_limits_of_one_donor_hold_when_the_queen_leaves() -> None:
    assert (2, 0, 1, 0) in with_queen(hive("H", capped=6.0, open=3.0))
    assert (3, 0, 1, 0) not in with_queen(hive("H", capped=6.0, open=3.0))  # nine brood frames: two from one
    assert (1, 1, 0, 0) not in with_queen(hive("H", capped=2.5, open=2.2))  # two of 4.7 are over a third


@pytest.mark.parametrize(
    ("fine", "barred"),
    [
        ({"days": 4}, {"days": 5}),
        ({"eggs_seen": True}, {"eggs_seen": None}),
        ({"queen": "unknown"}, {"queen": "queenless"}),
        ({"queen": "unmarked"}, {"queen": "drone layer"}),
        ({"queen_cells": "cups"}, {"queen_cells": "charged"}),
        ({"may_give": True}, {"may_give": False}),
    ],
)
def test_which_queens_may_leave(fine: dict[str, Any], barred: dict[str, Any]) -> None:
    assert (1, 1, 1, 1) in with_queen(hive("H", **fine))
    assert with_queen(hive("H", **barred)) <= {(0, 0, 0, 0)}


def test_no_queen_leaves_where_no_split_takes_one() -> None:
    one = hive("H")
    assert not any(g.queen for g in surplus_of(alone(one, way="mated"))[one.key].others)


def test_a_queen_may_leave_where_neither_looking_nor_hunting_is_allowed() -> None:
    """She is found to be taken along, so all frames may leave; without her only shakes from supers."""
    supers = replace(DAY_ALONE, sure=Sure(look=False, hunt=False))
    for settings in (supers, replace(supers, parted=supers.keep_back)):
        one = hive("H", excluder=True, supers=1)
        assert (1, 1, 1, 1) in with_queen(one, settings)
        assert giving(surplus_of(alone(one, settings))[one.key], queen=False) == {
            (0, 0, 0, s) for s in range(3)
        }


def test_same_gives_as_one_by_one_with_the_queen_and_mixed_frames() -> None:
    with_her = mixed = 0
    for seed in range(60):
        one = rich_operation(seed)
        for key, own in surplus_of(one).items():
            (each,) = (h for h in one.hives if h.key == key)
            outs = meanings.outs(one, each)
            for gives in own.others:
                tried = {
                    (o.capped, o.open + o.mixed, o.food, o.shakes)
                    for o in outs
                    if o.queen == gives.queen and o.mixed <= gives.mixed
                }
                mine = within(gives.most)
                assert mine == tried, (key, gives)
                with_her += gives.queen and len(mine) > 1
                mixed += gives.mixed > 0 and len(mine) > 1
    assert with_her >= 20
    assert mixed >= 50
