"""What falls away when a stop is left out, against counting it another way."""

from dataclasses import replace

import pytest

from routeplan.output.cards import cards
from routeplan.output.day import day_of
from routeplan.output.skipped import falls_away, kept_splits, lost_splits, needless_stops
from tests.output import rich, sample
from tests.tiny import tiny_operation, tiny_plan

DAYS = {
    "sample": day_of(sample.OPERATION, sample.plan_of()),
    "rich": day_of(rich.OPERATION, rich.rich_plan()),
    "tiny": day_of(tiny_operation(), tiny_plan()),
}


@pytest.mark.parametrize("name", DAYS)
def test_boxes_lost_and_kept_are_those_of_the_splits_own_stops(name: str) -> None:
    """The splits say at which stops they are made and placed; the stops are not looked at."""
    day = DAYS[name]
    for n in range(1, len(day.plan.stops) + 1):
        lost = {s.id for s in day.plan.splits if s.made_at == n}
        assert {s.id for s in lost_splits(day, n)} == lost
        assert {s.id for s in kept_splits(day, n)} == {
            s.id for s in day.plan.splits if s.placed_at == n
        } - lost
        needless = {s.placed_at for s in day.plan.splits if s.id in lost}
        needless -= {s.placed_at for s in day.plan.splits if s.id not in lost}
        needless -= {s.made_at for s in day.plan.splits}
        assert set(needless_stops(day, n)) == needless


def test_what_is_said() -> None:
    said = " ".join(falls_away(DAYS["tiny"], 1)).replace("\u00a0", " ")
    assert said.startswith("Boxes 1–2 are not made: 2 fewer at Borehole (2). 1 of 3 splits are left.")
    assert "2 mated queens not needed" in said
    assert "About 44 min of work there falls away." in said  # 09:50:00 to 10:33:30
    last = " ".join(falls_away(DAYS["tiny"], 3)).replace("\u00a0", " ")
    assert last.startswith("Box 3 stays aboard, made to live here. Take it to no yard nearer than 4.83 km")
    second = " ".join(falls_away(DAYS["tiny"], 2))
    assert "Nothing is left to do at stop 3, Cedar." in second
    assert "Boxes 1–2 stay aboard" in second


def test_cells_of_lost_splits_are_not_needed_the_day_after() -> None:
    cell = replace(tiny_plan(), splits=tuple(replace(s, queen="ripe cell") for s in tiny_plan().splits))
    assert "1 ripe cell fewer on Sun 16 May." in falls_away(day_of(tiny_operation(), cell), 2)


def test_every_card_says_it() -> None:
    for day in DAYS.values():
        assert all(card.falls == falls_away(day, card.number) for card in cards(day))
