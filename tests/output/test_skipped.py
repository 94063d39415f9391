"""What falls away when a stop is left out, against counting it another way."""

from dataclasses import replace

import pytest

from routeplan.output.cards import cards
from routeplan.output.day import Day, day_of
from routeplan.output.skipped import falls_away
from routeplan.planning.skips import skips_of
from tests.audit import sound_excluder, sound_pooled
from tests.audit.edit import skipping, with_yard
from tests.output import rich, sample
from tests.tiny import tiny_operation, tiny_plan

DAYS = {
    "sample": day_of(sample.OPERATION, sample.plan_of()),
    "rich": day_of(rich.OPERATION, rich.rich_plan()),
    "tiny": day_of(tiny_operation(), tiny_plan()),
}


@pytest.mark.parametrize("name", DAYS)
def test_boxes_lost_and_left_aboard_are_those_of_the_splits_own_stops(name: str) -> None:
    """The splits say at which stops they are made and placed; the stops are not looked at."""
    day = DAYS[name]
    for row in day.plan.skips:
        lost = {s.id for s in day.plan.splits if s.made_at == row.stop}
        assert set(row.not_made) == lost
        assert set(row.aboard) == {s.id for s in day.plan.splits if s.placed_at == row.stop} - lost


def said(day: Day, number: int) -> str:
    return " ".join(falls_away(day, number)).replace("\u00a0", " ")


def test_what_is_said() -> None:
    first, second, last = (said(DAYS["tiny"], n) for n in (1, 2, 3))
    assert first.startswith("Boxes 1–2 are not made: 2 fewer at Borehole (2). 1 of 3 splits are left.")
    assert "2 mated queens not needed" in first
    assert "About 44 min of work there falls away." in first  # 09:50:00 to 10:33:30
    assert "Boxes 1–2 can go to Cedar, stop 3, instead: far enough, and there is room." in second
    assert "Nothing is left to do" not in second
    assert last.startswith(
        "Box 3 stays aboard: no other stop of today can take it. Take it to no yard nearer"
    )


def test_a_stop_is_needless_only_where_nothing_can_go_there_instead() -> None:
    operation = with_yard(tiny_operation(), "Cedar", room=0)
    plan = replace(tiny_plan(), skips=skips_of(operation, tiny_plan()))
    second = said(day_of(operation, plan), 2)
    assert "Nothing is left to do at stop 3, Cedar." in second
    assert "Boxes 1–2 stay aboard: no other stop of today can take them." in second


def test_half_filled_boxes_and_combs_above_an_excluder_are_told() -> None:
    operation, plan = sound_pooled.SOUND_POOLED["brood of another yard, free of bees"]()
    number = next(
        n for n, s in enumerate(plan.stops, 1) if {x.id for x in plan.splits if x.begun_at} & {*s.makes}
    )
    half = said(day_of(operation, skipping(operation, plan)), number)
    assert "is half filled and stays so: the frames go back to" in half
    operation, plan = next(iter(sound_excluder.SOUND_EXCLUDER.values()))()
    number = next(n for n, s in enumerate(plan.stops, 1) if "excluder" in dict(s.ways).values())
    above = said(day_of(operation, skipping(operation, plan)), number)
    assert "above an excluder: somebody has to set them down today." in above


def test_nothing_is_said_of_a_stop_that_is_done() -> None:
    plan = replace(tiny_plan(), skips=tiny_plan().skips[1:])
    assert falls_away(day_of(tiny_operation(), plan), 1) == ()


def test_cells_of_lost_splits_are_not_needed_the_day_after() -> None:
    cell = replace(tiny_plan(), splits=tuple(replace(s, queen="ripe cell") for s in tiny_plan().splits))
    assert "1 ripe cell fewer on Sun 16 May." in falls_away(day_of(tiny_operation(), cell), 2)


def test_every_card_says_it() -> None:
    for day in DAYS.values():
        assert all(card.falls == falls_away(day, card.number) for card in cards(day))
