"""The forecast against published work.

The adult part: D. S. Khoury, M. R. Myerscough and A. B. Barron, PLoS ONE 6(4):e18491, 2011. Their equations
and constants are as given by a teaching text that reproduces the paper; steady states follow from them in
closed form. The brood: H. Fukuda and S. F. Sakagami, Researches on Population Ecology 10:31-39, 1968,
abstract.
"""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from routeplan.colony.forecast import (
    NEVER,
    adult_change,
    adults_next_day,
    forager_death_per_day,
    forager_share,
    forecast,
)
from routeplan.operation.colony_settings import Forecast
from tests.colony.colonies import colonies

LAID, HALF, ALPHA, SIGMA = 2000.0, 27_000.0, 0.25, 0.75
PAPER = Forecast(
    egg_survival=1.0,
    larva_survival=1.0,
    capped_survival=1.0,
    laying_per_day=3000.0,
    care_per_day=LAID,
    care_half_bees=HALF,
    recruit_per_day=ALPHA,
    recruit_less=SIGMA,
)
# forager deaths a day: (house bees, foragers) at rest
AT_REST = {
    0.154: (16_840.8, 5_943.7),
    0.20: (10_261.3, 3_351.9),
    0.24: (6_470.0, 1_987.8),
    0.30: (2_542.2, 718.3),
}


def foragers_per_house_bee(death: float) -> float:
    """Positive root of where recruiting and dying are even, from the paper's equations."""
    a = ALPHA - SIGMA - death
    return (a + sqrt(a * a + 4 * death * ALPHA)) / (2 * death)


def emerging(bees: float) -> float:
    """The paper's eclosion: bees care for brood that emerges at once."""
    return LAID * bees / (HALF + bees)


def change(death: float, bees: np.ndarray, emerge: float) -> list[float]:
    house, foragers, _ = adult_change(
        *(np.array([x]) for x in (bees[0], bees[1], emerge, death, 0.0)), assumed=PAPER
    )
    return [float(house[0]), float(foragers[0])]


def life(death: float) -> float:
    """Days a worker lives at rest: as a house bee and as a forager."""
    j = foragers_per_house_bee(death)
    return 1 / (death * j) + 1 / death


@pytest.mark.parametrize("death", AT_REST)
def test_steady_states_of_the_two_compartments(death: float) -> None:
    j = foragers_per_house_bee(death)
    bees = LAID * (1 + j) / (death * j) - HALF
    house, foragers = bees / (1 + j), bees * j / (1 + j)
    assert (house, foragers) == pytest.approx(AT_REST[death], abs=0.06)
    assert change(death, np.array([house, foragers]), emerging(bees)) == pytest.approx([0, 0], abs=1e-6)
    next_day = adults_next_day(
        *(np.array([x]) for x in (house, foragers, emerging(bees), death, 0.0)), assumed=PAPER
    )
    assert [float(x[0]) for x in next_day[:2]] == pytest.approx([house, foragers], abs=1e-6)


@pytest.mark.parametrize("death", AT_REST)
def test_the_life_of_a_worker_gives_the_death_rate_back(death: float) -> None:
    j = foragers_per_house_bee(death)
    assert forager_share(life(death), PAPER) == pytest.approx(j / (1 + j), rel=1e-9)
    assert forager_death_per_day(life(death), PAPER) == pytest.approx(death, rel=1e-9)


@pytest.mark.parametrize(
    ("death", "start", "after", "expected"),
    # from the paper's equations, integrated to 12 places by a method of the eighth order
    [
        (0.24, (16_000, 8_000), 10, (15_070.032, 4_735.629)),
        (0.24, (16_000, 8_000), 30, (11_833.517, 3_691.431)),
        (0.24, (16_000, 8_000), 100, (7_911.192, 2_441.739)),
        (0.40, (16_000, 8_000), 100, (1_946.864, 494.088)),
        (0.24, (9_000, 0), 10, (7_192.035, 2_214.221)),
    ],
)
def test_the_way_to_rest_as_scipy_integrates_it(
    death: float, start: tuple[float, float], after: int, expected: tuple[float, float]
) -> None:
    way = solve_ivp(
        lambda _, y: change(death, y, emerging(float(y.sum()))),
        (0, after),
        start,
        "DOP853",
        rtol=1e-9,
        atol=1e-6,
    )
    assert way.y[:, -1] == pytest.approx(expected, abs=0.01)


def test_a_day_is_what_scipy_makes_of_it() -> None:
    rng = np.random.default_rng(3)
    house, foragers = rng.uniform(0, 30_000, 20), rng.uniform(0, 10_000, 20)
    born, death = rng.uniform(0, 1_500, 20), rng.uniform(0.05, 0.4, 20)
    ours = adults_next_day(house, foragers, born, death, np.zeros(20), PAPER)
    for i in range(20):
        start, e, m = (house[i], foragers[i]), float(born[i]), float(death[i])
        way = solve_ivp(lambda _, y, e=e, m=m: change(m, y, e), (0, 1), start, rtol=1e-10, atol=1e-8)
        assert [float(ours[0][i]), float(ours[1][i])] == pytest.approx(
            way.y[:, -1].tolist(), abs=sum(start) / 1000
        )
        assert ours[0][i] + ours[1][i] + ours[2][i] == pytest.approx(sum(start) + e, abs=1e-6)


@pytest.mark.parametrize(("after", "left"), [(7, 9_547), (14, 6_245), (28, 2_673), (42, 1_144)])
def test_bees_without_any_brood(after: int, left: float) -> None:
    assumed = replace(PAPER, life_days=life(0.24))
    none = colonies(after, house=10_000, foragers=5_000, eggs=0, larvae=0, capped=0, laying_from=NEVER)
    assert forecast(none, assumed, after).adults[0, -1] == pytest.approx(left, rel=0.001)


def test_critical_forager_death_rate() -> None:
    # 0.355 in the paper (from memory); in closed form from its equations
    critical = (LAID / (2 * HALF)) * (ALPHA + SIGMA + sqrt((ALPHA - SIGMA) ** 2 + 4 * LAID * SIGMA / HALF))
    critical /= ALPHA - LAID / HALF
    assert critical == pytest.approx(0.355197, abs=1e-6)
    # at it a worker lives just long enough for the laying: HALF / LAID days
    assert life(critical) == pytest.approx(HALF / LAID, rel=1e-9)
    for death, lives in ((0.350, True), (0.360, False)):
        assert (LAID * life(death) - HALF > 0) == lives


def test_the_whole_forecast_comes_to_the_papers_rest() -> None:
    # with no brood lost; the 21 days of brood delay the way there but not the end
    days = 2_500
    for death, at_rest in ((0.24, 8_457.8), (0.20, 13_613.2)):
        assumed = replace(PAPER, life_days=life(death))
        start = colonies(days, house=12_000, foragers=4_000, laying_from=0, room=1e9, laying_per_day=3_000)
        assert forecast(start, assumed, days).adults[0, -1] == pytest.approx(at_rest, rel=0.001)


def test_the_whole_forecast_dies_beyond_the_critical_rate() -> None:
    days = 2_500
    ends = []
    for death in (0.345, 0.365):
        assumed = replace(PAPER, life_days=life(death))
        few = {"house": 300, "foragers": 80, "eggs": 60, "larvae": 120, "capped": 240}
        start = colonies(days, **few, laying_from=0, room=1e9)
        ends.append(forecast(start, assumed, days).adults[0, -1])
    assert ends[0] > 400
    assert ends[1] < 100


def test_survival_of_brood() -> None:
    # of 100 eggs 94.2 reach open larva, 86.4 are sealed, 85.1 become adults: Fukuda and Sakagami 1968
    usual = Forecast()
    start = colonies(21, house=0, foragers=0, brood=np.eye(1, 21) * 100, laying_from=NEVER)
    course = forecast(start, usual, 21)
    assert course.eggs[0, 2] == pytest.approx(100)
    assert course.larvae[0, [3, 8]] == pytest.approx([94.2, 94.2])
    assert course.capped[0, [9, 20]] == pytest.approx([86.4, 86.4], abs=0.05)
    assert course.emerged[0, 21] == pytest.approx(85.1, abs=0.05)
    assert course.emerged[0, :21].sum() == 0


# day after the last egg: eggs, open larvae, capped cells, of a queen that laid 1,000 a day
AFTER_LAYING = {
    0: (2_000, 6_000, 12_000),
    2: (0, 6_000, 12_000),
    5: (0, 3_000, 12_000),
    8: (0, 0, 12_000),
    10: (0, 0, 10_000),
    14: (0, 0, 6_000),
    19: (0, 0, 1_000),
    20: (0, 0, 0),
}


def test_brood_after_the_queen_is_lost() -> None:
    brood = np.full((1, 21), 1_000.0)
    brood[0, 0] = 0.0
    course = forecast(colonies(21, brood=brood, laying_from=NEVER), PAPER, 21)
    for day, cells in AFTER_LAYING.items():
        assert (course.eggs[0, day], course.larvae[0, day], course.capped[0, day]) == cells
    assert course.emerged[0, 1:21].tolist() == [1_000.0] * 20


def test_a_capped_frame_emerges_evenly_over_twelve_days() -> None:
    course = forecast(colonies(14, eggs=0, larvae=0, capped=6_000, laying_from=NEVER), Forecast(), 14)
    assert course.emerged[0, 1:13] == pytest.approx([500 * 0.985] * 12)
    assert course.emerged[0, 13:].sum() == 0
