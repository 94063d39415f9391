"""Feed: syrup by mass against what beekeepers' clubs print, and stores that never fall below the reserve."""

from dataclasses import replace

import numpy as np
import pytest

from routeplan.colony.feed import (
    THICK,
    THIN,
    feeding_days,
    sugar_needed_kg,
    syrup_for,
    water_to_thin_kg,
)
from routeplan.colony.forecast import forecast
from routeplan.operation.colony_settings import Feed, Forecast
from tests.colony.colonies import colonies, random_colonies

LB_KG, US_PINT_L, US_QUART_L = 0.45359237, 0.473176473, 0.946352946
USUAL = Feed()
DAYS = USUAL.until_days


def test_mixing_gives_the_litres_that_are_printed() -> None:
    """Two clubs' pages: 10 lb sugar and 10 lb water: about 15 US pints; with 4.75 lb about 6 US quarts."""
    assert THIN.litres(10 * LB_KG) == pytest.approx(15 * US_PINT_L, rel=0.15)
    assert THICK.litres(10 * LB_KG) == pytest.approx(6 * US_QUART_L, rel=0.15)
    assert THIN.litres(10 * LB_KG) == pytest.approx(15.6 * US_PINT_L, rel=0.01)  # by its density


def test_thinning_is_exact() -> None:
    """Printed: 7 lb of 2 : 1 and 2.33 lb of water make 9.33 lb of 1 : 1."""
    assert water_to_thin_kg(7.0, THICK, THIN) == pytest.approx(7 / 3)
    assert water_to_thin_kg(7.0, THIN, THIN) == 0.0


@pytest.mark.parametrize("syrup", [THIN, THICK])
def test_mass_is_kept(syrup: object) -> None:
    assert isinstance(syrup, type(THIN))
    for sugar in (0.1, 1.0, 25.0):
        litres = syrup.litres(sugar)
        assert syrup.sugar_kg(litres) == pytest.approx(sugar)
        assert sugar + syrup.water_kg(sugar) == pytest.approx(litres * syrup.kg_per_l)


def test_thick_syrup_is_for_the_late_season() -> None:
    """1 : 1 in spring, 2 : 1 in autumn (common practice)."""
    assert [syrup_for(s) for s in ("early spring", "build-up", "late season")] == [THIN, THIN, THICK]


def sugar(feed: Feed = USUAL, **given: object) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Sugar by feeding day of colonies of the tests, their combs without limit."""
    start = colonies(DAYS, **given)
    course = forecast(start, Forecast(), feed.until_days)
    return sugar_needed_kg(course, np.full(len(start.house), 1e9), feed)


def test_a_flow_feeds_and_a_dearth_does_not() -> None:
    assert sugar(flow=True, honey_g=2000.0).sum() == 0.0
    dry = sugar(flow=False, honey_g=2000.0)
    assert dry.sum() > 1.0
    assert sugar(flow=False, honey_g=0.0).sum() > dry.sum()
    assert sugar(replace(USUAL, reserve_kg=2.0), flow=False, honey_g=2000.0).sum() > dry.sum()


def test_the_first_feed_is_given_on_the_day_itself() -> None:
    assert list(feeding_days(USUAL)) == [0, 14, 28, 42]
    empty, full = sugar(flow=False, honey_g=[0.0, 60_000.0])
    assert empty[0] > 0
    assert full.sum() == 0.0


def test_stores_stay_above_the_reserve_day_by_day() -> None:
    """A plain loop over days with the feed given never falls below the reserve; a little less would."""
    rng = np.random.default_rng(5)
    start = replace(random_colonies(rng, 40, DAYS), fed=np.full(40, True))
    course = forecast(start, Forecast(), DAYS)
    needed = sugar_needed_kg(course, np.full(40, 1e9), USUAL)
    for i in range(40):
        lowest, total = _lowest(course, needed[i], i), needed[i].sum()
        assert lowest >= 1000 * USUAL.reserve_kg - 1e-6 or total == 0.0
        if total > 0:
            assert _lowest(course, needed[i] * 0.99, i) < 1000 * USUAL.reserve_kg


def _lowest(course: object, given: object, i: int) -> float:
    honey, short = course.honey_g[i], course.sugar_need_g[i]  # type: ignore[attr-defined]
    fed = dict(zip(feeding_days(USUAL), given, strict=True))  # type: ignore[call-overload]
    stores, lowest = honey[0], float("inf")
    for day in range(DAYS):
        stores += 1000 * fed.get(day, 0.0) / USUAL.sugar_per_honey
        stores += honey[day + 1] - short[day + 1] - honey[day]
        lowest = min(lowest, stores)
    return float(lowest)


def test_what_combs_cannot_hold_is_not_stored() -> None:
    flow = np.zeros((1, DAYS), dtype=bool)
    flow[0, :20] = True
    start = colonies(DAYS, flow=flow, honey_g=2000.0)
    course = forecast(start, Forecast(), DAYS)
    roomy, tight = (sugar_needed_kg(course, np.array([g]), USUAL).sum() for g in (1e9, 2500.0))
    assert tight > roomy
