"""The forecast: no bee from nowhere, none below nought, the calendar of a split, what helps never harms."""

from dataclasses import replace

import numpy as np
import pytest

from routeplan.colony.forecast import NEVER, Colonies, Course, forecast
from routeplan.operation.colony_settings import Forecast
from tests.bench.forecast import LIMIT_S, seconds
from tests.colony.colonies import colonies, random_colonies

USUAL = Forecast()
DAYS = 120


def test_mass_balance_to_the_bee() -> None:
    many = random_colonies(np.random.default_rng(7), 400, DAYS)
    course = forecast(many, USUAL, DAYS)
    came = many.house + many.foragers + course.emerged.sum(axis=1)
    assert np.abs(came - course.died.sum(axis=1) - course.adults[:, -1]).max() < 0.5
    cells = many.brood.sum(axis=1) + course.laid.sum(axis=1)
    gone = course.emerged.sum(axis=1) + course.brood_died.sum(axis=1)
    assert np.abs(cells - gone - course.brood[:, -1]).max() < 0.5


def test_nothing_is_ever_below_nought() -> None:
    course = forecast(random_colonies(np.random.default_rng(8), 400, DAYS), USUAL, DAYS)
    for name in (
        "house",
        "foragers",
        "eggs",
        "larvae",
        "capped",
        "honey_g",
        "laid",
        "emerged",
        "died",
        "brood_died",
    ):
        assert (getattr(course, name) >= -1e-6).all(), name


def test_an_empty_box_stays_empty() -> None:
    course = forecast(colonies(30, house=0, foragers=0, eggs=0, larvae=0, capped=0, laying_from=0), USUAL, 30)
    assert course.adults.max() == course.brood.max() == course.laid.max() == 0


def test_the_calendar_of_a_split_that_raises_its_own_queen() -> None:
    # common practice: lays about four weeks after it was made, first own bees about seven weeks
    course = forecast(colonies(DAYS, laying_from=25), USUAL, DAYS)
    assert course.laid[0].argmax() > 0
    assert (course.laid[0] > 0).argmax() == 25
    assert course.new_bees_day[0] == 46
    # its given brood is out after 21 days, and then no bee emerges until its own do
    emerging = np.flatnonzero(course.emerged[0] > 0)
    assert emerging[emerging <= 46].max() == 46
    assert not set(range(22, 46)) & set(emerging)
    assert 40 <= course.trough_day[0] <= 50


def test_no_queen_means_no_new_bees_and_the_trough_at_the_end() -> None:
    course = forecast(colonies(DAYS, laying_from=NEVER), USUAL, DAYS)
    assert course.new_bees_day[0] == NEVER
    assert course.trough_day[0] == DAYS
    assert course.day_with(5_000.0)[0] == NEVER


def test_the_day_it_covers_so_many_frames_again() -> None:
    course = forecast(colonies(DAYS, laying_from=25), USUAL, DAYS)
    day = course.day_with(9_500.0)[0]
    assert course.trough_day[0] < day < DAYS
    assert course.adults[0, day - 1] < 9_500 <= course.adults[0, day]


BETTER = {
    "more capped brood": lambda c, by: replace(c, brood=c.brood + by[:, None] * (np.arange(21) >= 9) / 12),
    "more bees shaken in": lambda c, by: replace(c, house=c.house + by),
    "an earlier queen": lambda c, by: replace(c, laying_from=c.laying_from - by.astype(np.int64) // 600),
    "more open brood": lambda c, by: replace(c, brood=c.brood + by[:, None] * (np.arange(21) < 9) / 9),
}


def _splits(n: int, seed: int, fed: bool = True) -> Colonies:
    """Splits as they are made: three to six frames of bees, up to three of brood, room for five combs."""
    rng = np.random.default_rng(seed)
    return colonies(
        DAYS,
        house=rng.uniform(3_000, 9_000, n),
        foragers=rng.uniform(0, 1_500, n),
        eggs=rng.uniform(0, 2_000, n),
        larvae=rng.uniform(0, 4_000, n),
        capped=rng.uniform(0, 12_000, n),
        laying_from=rng.integers(4, 35, n),
        room=25_000,
        fed=fed,
        flow=rng.random((n, DAYS)) < 0.5,
    )


@pytest.mark.parametrize("what", BETTER)
@pytest.mark.parametrize("seed", range(3))
def test_what_helps_never_lowers_the_trough(what: str, seed: int) -> None:
    before = _splits(300, seed)
    by = np.random.default_rng(seed + 100).uniform(600, 4_000, 300)
    after = BETTER[what](before, by)
    assert (forecast(after, USUAL, DAYS).trough >= forecast(before, USUAL, DAYS).trough - 1e-6).all()


@pytest.mark.parametrize("seed", range(3))
def test_feeding_in_a_dearth_never_lowers_the_trough(seed: int) -> None:
    hungry = replace(_splits(300, seed, fed=False), flow=np.zeros((300, DAYS), dtype=bool))
    fed = replace(hungry, fed=np.ones(300, dtype=bool))
    starved, kept = forecast(hungry, USUAL, DAYS), forecast(fed, USUAL, DAYS)
    assert (kept.trough >= starved.trough - 1e-6).all()
    assert (kept.trough > starved.trough + 100).mean() > 0.5
    assert (kept.sugar_need_g.sum(axis=1) > 0).all()


def test_a_flow_needs_no_sugar() -> None:
    course = forecast(
        colonies(DAYS, flow=True, fed=False, house=20_000, foragers=7_000, laying_from=0, room=60_000),
        USUAL,
        DAYS,
    )
    assert course.sugar_need_g.sum() == 0


def test_shapes_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="flow"):
        forecast(colonies(DAYS), USUAL, DAYS + 1)


def test_same_colonies_same_course_alone_or_among_others() -> None:
    many = random_colonies(np.random.default_rng(9), 50, 60)
    alone = Colonies(**{k: getattr(many, k)[17:18] for k in Colonies.__dataclass_fields__})
    one: Course = forecast(alone, USUAL, 60)
    assert np.allclose(one.adults[0], forecast(many, USUAL, 60).adults[17], rtol=0, atol=1e-6)


def test_five_thousand_colonies_for_four_months_take_less_than_two_seconds() -> None:
    assert seconds(runs=2) < LIMIT_S
