"""Yards no better plan can use, on small grounds at random: against all rounds."""

from dataclasses import replace

import numpy as np
import pytest

from routeplan.planning.remaining import INF, Ground, memory_of, remaining
from routeplan.planning.useless import through, without_useless
from tests.planning.rounds_tried import Rounds
from tests.planning.test_grounds import SEEDS, ground, holds_of, multipliers


def forced(here: Ground, yard: int, makes: bool) -> Ground:
    """The same ground where a yard must make a split, or must take one."""
    due = (here.due_from if makes else here.due_to).copy()
    due[yard] = max(1, due[yard])
    return replace(here, due_from=due) if makes else replace(here, due_to=due)


@pytest.mark.parametrize("knows_truck", [False, True])
def test_the_way_through_a_yard_is_never_above_the_least_round_that_uses_it(knows_truck: bool) -> None:
    checked = exact = 0
    for seed in SEEDS:
        here, rng = ground(seed), np.random.default_rng([seed, 4])
        holds = holds_of(seed) if knows_truck else None
        bound = here.in_parts() if knows_truck else here
        for made, placed in (
            (np.zeros_like(here.room), np.zeros_like(here.room)),
            (multipliers(rng, here.due_from), multipliers(rng, here.due_to)),
        ):
            table = remaining(bound, made, placed, memory_of(bound, 0), holds=holds)
            by = through(bound, table, holds)
            for yard in range(here.yards):
                for makes, least_s in ((True, by.made_s[yard]), (False, by.placed_s[yard])):
                    least = Rounds(forced(here, yard, makes), holds).least_s()
                    if least < INF:
                        assert least_s <= least, (seed, yard, makes)
                        checked += 1
                        exact += bool(least_s == least)
    assert checked > 800
    assert exact > checked // 15


def test_no_better_round_is_lost() -> None:
    some = 0
    for seed in SEEDS:
        here, least = ground(seed), Rounds(ground(seed)).least_s()
        if least >= INF:
            continue
        table = remaining(here)
        less = without_useless(here, table, least + 1)
        assert Rounds(less).least_s() == least, seed
        some += bool((less.room < here.room).any() or (less.most < here.most).any())
        assert remaining(less).root(less) >= table.root(here)
        assert remaining(less).root(less) <= least
    assert some > 50


def test_tables_of_the_yards_used_are_those_of_all() -> None:
    """A yard that can do nothing is left out of the tables; elsewhere they are the same."""
    for seed in SEEDS[::4]:
        here, rng = ground(seed), np.random.default_rng([seed, 5])
        least, room = here.least.copy(), here.room.copy()
        least[-1, 1:], room[-1] = INF, 0
        idle = replace(here, least=least, room=room, due_from=here.due_from * 0, due_to=here.due_to * 0)
        others = idle.of(np.arange(here.yards - 1))
        made, placed = multipliers(rng, idle.due_from), multipliers(rng, idle.due_to)
        made[-1] = placed[-1] = 0
        whole, part = remaining(idle, made, placed), remaining(others, made[:-1], placed[:-1])
        for name in ("leave", "alone"):
            assert (getattr(whole, name)[:-1] == getattr(part, name)).all()
        assert (whole.made_here[:-1] == part.made_here).all()
        assert (whole.making[:, :, :-1] == part.making).all()
        assert whole.root(idle) == part.root(others)
