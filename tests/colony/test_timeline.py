"""When a split has a queen, her eggs and its own bees, against published and common figures.

Columns of the table are worked out from the standard stage lengths (queen: cell capped at 8.5 days, out at
16; worker 21) and the mean of 12.9 days from emergence to first eggs (J. A. Pérez-Sato and F. L. W.
Ratnieks, Apidologie 37, 2006, pp. 571-576, abstract).
"""

from itertools import pairwise

import pytest

from routeplan.colony.queen_chance import chance, expected
from routeplan.colony.timeline import Span, Timeline, raised, timeline, whole_days
from routeplan.operation.settings import Queens
from routeplan.operation.world import QUEEN_WAYS

MEAN_ONLY = Queens(eggs_spread_days=0.0)


def middle(span: Span | None) -> float:
    assert span is not None
    return (span[0] + span[1]) / 2


@pytest.mark.parametrize(
    ("ages", "capped", "emerges", "flies", "eggs", "new_bees", "too_late"),
    [
        # larva at most a day out of the egg; a fresh egg; a larva two days out of the egg
        ((3.0, 4.0), (5, 5), (12, 13), (17, 19), (25, 26), (46, 47), (33, 41)),
        ((0.0, 0.0), (8, 9), (16, 16), (21, 22), (29, 29), (50, 50), (37, 44)),
        ((5.0, 5.0), (3, 4), (11, 11), (16, 17), (24, 24), (45, 45), (32, 39)),
    ],
)
def test_a_queen_raised_from_brood_of_known_age(
    ages: Span, capped: Span, emerges: Span, flies: Span, eggs: Span, new_bees: Span, too_late: Span
) -> None:
    times = raised(ages, MEAN_ONLY)
    for found, said in (
        (times.capped, capped),
        (times.emerges, emerges),
        (times.flies, flies),
        (times.eggs, eggs),
        (times.new_bees, new_bees),
        (times.too_late, too_late),
    ):
        assert found == pytest.approx(said, abs=0.5)


def test_a_ripe_cell_and_a_mated_queen() -> None:
    """Cell: eggs about day 14 to 15, own bees 35 to 36. Mated: eggs day 4 to 7, own bees 25 to 28."""
    cell, mated = timeline("ripe cell", MEAN_ONLY), timeline("mated", MEAN_ONLY)
    assert middle(cell.eggs) == pytest.approx(14.5, abs=0.5)
    assert middle(cell.new_bees) == pytest.approx(35.5, abs=0.5)
    assert cell.capped is None
    assert (mated.eggs, mated.new_bees) == ((4, 7), (25, 28))
    assert mated.flies is None


def test_a_split_that_raises_its_own_lays_after_four_weeks_and_has_bees_after_seven() -> None:
    """Common practice: about four weeks to eggs, about seven to its own first bees."""
    times = timeline("raise own", Queens())
    assert middle(times.eggs) == pytest.approx(28, abs=2)
    assert middle(times.new_bees) == pytest.approx(49, abs=2)


def test_a_dated_log_falls_inside() -> None:
    """A beekeeper's dated log of one walk-away split: laying about 24 days after the split."""
    first, last = timeline("raise own", Queens()).eggs
    assert first <= 24 <= last


def test_emergence_to_eggs_is_the_published_mean() -> None:
    for way in ("raise own", "ripe cell", "own cells"):
        times = timeline(way, Queens())
        assert middle(times.eggs) - middle(times.emerges) == pytest.approx(12.9)


@pytest.mark.parametrize("way", QUEEN_WAYS)
def test_events_follow_each_other_and_are_ranges(way: str) -> None:
    times = timeline(way, Queens())
    there = [s for s in (times.capped, times.emerges, times.flies, times.eggs, times.new_bees) if s]
    for span in there:
        assert span[0] < span[1]
    for one, other in pairwise(there):
        assert one[0] < other[0]
        assert one[1] < other[1]
    if times.too_late and times.flies:
        assert times.flies[1] < times.too_late[1]


def test_no_eggs_before_she_can_have_mated() -> None:
    times = timeline("ripe cell", Queens(eggs_spread_days=50.0))
    assert times.flies is not None
    assert times.eggs[0] == times.flies[0]


def test_the_last_brood_it_came_with() -> None:
    """A fresh egg is a bee after 21 days, capped brood after 12 (standard stage lengths)."""
    assert whole_days(timeline("mated", Queens()).donor_brood) == (18, 21)
    assert whole_days(timeline("mated", Queens(), open_brood=False).donor_brood) == (9, 12)
    own: Timeline = timeline("raise own", Queens())
    assert 25 <= own.gap_days <= 32
    assert timeline("parent's", Queens()).gap_days < 4


def test_chances_of_a_laying_queen() -> None:
    """Pérez-Sato and Ratnieks 2006: ripe cells 70 %; two thirds of losses before mating, so 90 % mate."""
    queens = Queens()
    assert chance("ripe cell", queens) == 0.70
    assert chance("own cells", queens) == pytest.approx(1 - (1 - 0.70) / 3)
    assert 0.70 <= chance("mated", queens) <= 0.87  # spring and autumn losses as retold of Rhodes and Denney
    assert 0.5 <= chance("raise own", queens) <= 0.8  # from memory
    assert expected(["ripe cell"] * 10, queens) == pytest.approx(7.0)
    assert expected([], queens) == 0.0


def test_days_of_a_range_hold_it() -> None:
    assert whole_days((21.9, 32.9)) == (21, 33)
    assert whole_days((4.0, 7.0)) == (4, 7)
