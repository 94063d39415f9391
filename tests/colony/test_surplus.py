"""What a hive can give, by hand at both edges of every limit. The limits are common practice."""

from dataclasses import replace
from datetime import timedelta
from itertools import product
from typing import Any

import pytest

from routeplan.colony.surplus import Give, Surplus, surplus_of
from routeplan.operation.settings import SEASONS, Bees, KeepBack, Limits, Mixed, Settings, Sure
from routeplan.operation.world import Hive
from tests.oracle import meanings
from tests.planning.make import DAY, NOTHING_KEPT, hive, operation, yard
from tests.seeded import mixed_operation, small_operation

USUAL = Settings()
NO_KEEP = Settings(keep_back=NOTHING_KEPT, bees=Bees(cover_over_brood=-100.0), limits=Limits(brood_share=1.0))
ONLY_SHARE = Settings(keep_back=NOTHING_KEPT)
ONLY_BROOD_KEPT = replace(NO_KEEP, keep_back=KeepBack(0.0, 5.0, 0.0, 0.0))


def early_spring() -> Settings:
    """Keep-back and brood limit of early spring."""
    keep, most = SEASONS["early spring"]
    return Settings(season="early spring", keep_back=keep, limits=Limits(brood_per_donor=most))


def of(one: Hive, settings: Settings = USUAL, health: str = "not stated") -> Surplus:
    """The surplus of one hive in a yard of its own."""
    alone = operation((yard("Y", 3.0, health=health),), (one,), settings=settings)
    return surplus_of(alone)[one.key]


def allows(own: Surplus, capped: int = 0, unsealed: int = 0, food: int = 0, shake: int = 0) -> bool:
    """Whether a give is within one of the most."""
    asked = Give(capped, unsealed, food, shake)
    return any(
        all(getattr(asked, k) <= getattr(g, k) for k in ("capped", "open", "food", "shake")) for g in own.most
    )


# changes to a strong hive (bees 20, capped 6, open 5, food 6), what it may just give, settings, and the
# change by which it may not any more
EDGES = [
    ("whole capped frames", {"capped": 2.0, "open": 9.0}, (2, 0, 0, 0), NO_KEEP, {"capped": 1.99}),
    ("whole open frames", {"open": 2.0, "capped": 9.0}, (0, 2, 0, 0), NO_KEEP, {"open": 1.99}),
    ("whole food frames", {"food": 2.0}, (0, 0, 2, 0), NO_KEEP, {"food": 1.99}),
    ("brood kept: 7 - 2", {"capped": 4.0, "open": 3.0}, (1, 1, 0, 0), ONLY_BROOD_KEPT, {"capped": 3.99}),
    ("open kept: 2 - 1", {"open": 2.0}, (0, 1, 0, 0), USUAL, {"open": 1.99}),
    ("open leaves with capped: 2.2 - 1 - 0.2", {"open": 2.2}, (1, 1, 0, 0), USUAL, {"open": 2.19}),
    ("food kept: 4 - 2", {"food": 4.0}, (0, 0, 2, 0), USUAL, {"food": 3.99}),
    ("food leaves with brood: 3.2 - 1 - 0.2", {"food": 3.2}, (1, 1, 1, 0), USUAL, {"food": 3.19}),
    (
        "bees kept: 12.1 - 1 - 1 - 0.5 - 2 x 0.8",
        {"bees": 12.1, "capped": 4.0, "open": 3.0},
        (1, 1, 1, 2),
        USUAL,
        {"bees": 12.09},
    ),
    ("cover: 11 - 1 over 9 + 1", {"bees": 11.0, "open": 4.0}, (1, 0, 0, 0), USUAL, {"bees": 10.99}),
    ("a third of 6", {"capped": 4.0, "open": 2.0}, (2, 0, 0, 0), ONLY_SHARE, {"open": 1.99}),
    ("three from one with 10", {"capped": 6.0, "open": 4.0}, (3, 0, 0, 0), USUAL, {"capped": 5.99}),
]  # fmt: skip


@pytest.mark.parametrize(
    ("counts", "give", "settings", "less"), [e[1:] for e in EDGES], ids=[e[0] for e in EDGES]
)
def test_edge(
    counts: dict[str, float], give: tuple[int, int, int, int], settings: Settings, less: dict[str, float]
) -> None:
    assert allows(of(hive("H", **counts), settings), *give)
    assert not allows(of(hive("H", **(counts | less)), settings), *give)


def test_limits_of_one_donor_however_strong() -> None:
    rich = hive("H", bees=60.0, capped=14.0, open=10.0, food=12.0)
    could = of(rich).could
    assert (could.capped, could.open, could.food, could.shake) == (3, 3, 2, 2)
    assert not allows(of(rich), 2, 2)  # three brood frames of both kinds together
    spring = of(rich, early_spring()).could
    assert (spring.capped, spring.open) == (1, 1)
    own = replace(USUAL, limits=Limits(brood_per_strong_donor=5, food_per_donor=4, shakes_per_donor=6))
    assert of(rich, own).could == Give(5, 5, 4, 6)


def test_what_rides_along_is_a_setting() -> None:
    settings = replace(NO_KEEP, keep_back=KeepBack(bees=8.0, brood=0.0, open=1.0, food=2.0))
    settings = replace(
        settings, bees=Bees(2.0, 1.0, 3.0, -100.0), mixed=Mixed(open_with_capped=0.5, food_with_brood=0.25)
    )
    one = hive("H", bees=16.0, open=2.5, food=3.5)  # 16 - 2 x 2 - 1 - 3 = 8; 2.5 - 1 - 0.5; 3.5 - 1 - 0.5
    assert allows(of(one, settings), 1, 1, 1, 1)
    for less in ({"bees": 15.99}, {"open": 2.49}, {"food": 3.49}):
        poorer = replace(one, count=replace(one.count, **less))
        assert not allows(of(poorer, settings), 1, 1, 1, 1)


BARS: list[tuple[dict[str, Any], dict[str, Any], str]] = [
    ({}, {"may_give": False}, "set to give nothing"),
    ({"health": "clear"}, {"health": "suspected"}, "health suspected: nothing leaves"),
    ({}, {"health": "confirmed"}, "health confirmed: nothing leaves"),
    ({}, {"health": "unclear"}, "health unclear: nothing leaves"),
    ({"queen": "unknown"}, {"queen": "queenless"}, "queenless: no frames leave"),
    ({}, {"queen": "drone layer"}, "drone layer: no frames leave"),
    ({}, {"queen": "laying workers"}, "laying workers: no frames leave"),
    ({"queen_cells": "cups"}, {"queen_cells": "charged"}, "charged queen cells: split it in its own right"),
    ({}, {"bees": None}, "bees not counted"),
    ({}, {"open": None}, "brood not counted"),
    ({}, {"capped": None}, "brood not counted"),
    ({}, {"food": None}, "food not counted"),
    ({}, {"bees": None, "capped": None, "food": None}, "bees and brood and food not counted"),
    ({"days": 14}, {"days": 15}, "last looked at 15 days ago: look again first"),
]


@pytest.mark.parametrize(("fine", "barred", "reason"), BARS, ids=[b[2] + str(b[1]) for b in BARS])
def test_gives_nothing_at_all(fine: dict[str, Any], barred: dict[str, Any], reason: str) -> None:
    assert allows(of(hive("H", **fine)), 1, 1)
    nothing = of(hive("H", **barred))
    assert (nothing.most, nothing.reason) == ((Give(),), reason)


def test_a_yard_in_quarantine_gives_nothing() -> None:
    assert allows(of(hive("H"), health="clear"), 1, 1)
    assert of(hive("H"), health="suspected").most == (Give(),)
    assert "yard health" in of(hive("H"), health="confirmed").reason


def test_food_not_counted_matters_only_where_food_is_kept() -> None:
    settings = replace(USUAL, keep_back=KeepBack(8.0, 5.0, 1.0, 0.0))
    own = of(hive("H", food=None), settings)
    assert (own.could.capped, own.could.food) == (3, 0)


@pytest.mark.parametrize(("mites", "capped"), [(None, 3), (3.0, 3), (3.01, 0)])
def test_mites_hold_back_capped_brood_only(mites: float | None, capped: int) -> None:
    own = of(hive("H", mites_per_100=mites))
    assert (own.could.capped, own.could.open, own.could.food) == (capped, 3, 2)
    assert ("mites" in own.reason) == (capped == 0)


@pytest.mark.parametrize(("days", "food"), [(-1, 2), (0, 0), (20, 0)])
def test_treated_hives_give_no_food_until_the_day_after(days: int, food: int) -> None:
    own = of(hive("H", treated_until=DAY + timedelta(days=days)))
    assert (own.could.food, own.could.capped) == (food, 3)
    assert ("under treatment" in own.reason) == (food == 0)


def test_reasons_name_what_holds_each_kind_back() -> None:
    weak = of(hive("H", bees=20.0, capped=3.0, open=2.0, food=2.0)).reason
    assert weak.startswith("held back by: brood it must keep; food it must keep")
    assert "bees it must keep" in of(hive("H", bees=8.5)).reason
    assert "bees to cover its brood" in of(hive("H", bees=10.0)).reason
    small = of(hive("H", capped=3.9, open=2.0), ONLY_SHARE).reason
    assert "never over a third of its brood" in small
    assert "most brood frames from one hive" in of(hive("H")).reason


def test_without_a_way_to_be_sure_of_the_queen_no_frame_leaves() -> None:
    """Only bees from supers, where she cannot be."""
    none = of(hive("H", excluder=True, supers=1), replace(USUAL, sure=Sure(False, False, False)))
    assert none.most == (Give(),)
    assert "no way to be sure of the queen is allowed" in none.reason
    supers = replace(USUAL, sure=Sure(look=False, hunt=False))
    assert of(hive("H", excluder=True, supers=1), supers).most == (Give(shake=2),)
    for without in ({"excluder": True}, {"supers": 1}):
        assert of(hive("H", **without), supers).most == (Give(),)


def giving(own: Surplus) -> set[tuple[int, int, int, int]]:
    """All gives within one of the most."""
    within = set()
    for g in own.most:
        within |= set(product(range(g.capped + 1), range(g.open + 1), range(g.food + 1), range(g.shake + 1)))
    return within


def test_same_gives_as_one_by_one_on_many_hives() -> None:
    """Every give of every hive tried on its own, by the rules written down a second time."""
    operations = [small_operation(seed) for seed in range(40)] + [mixed_operation(12, 150, 20)]
    compared = 0
    for one in operations:
        surplus = surplus_of(one)
        for each in one.hives:
            assert giving(surplus[each.key]) == meanings.gives(one, each), (each, surplus[each.key])
            compared += len(surplus[each.key].most) > 1
    assert compared > 100


# --- queen mothers: flagged hives, else calm ones above the median (common practice) ---


def mothers(*hives: Hive) -> set[str]:
    """Names of the hives whose eggs may raise a queen."""
    return {key[1] for key, own in surplus_of(operation((yard("Y", 3.0),), hives)).items() if own.mother}


def test_flagged_hives_are_the_only_mothers() -> None:
    assert mothers(hive("weak", capped=3.0, open=2.0, queen_mother=True), hive("best", open=9.0)) == {"weak"}


@pytest.mark.parametrize(
    ("days", "eggs_seen", "who"), [(4, True, {"H"}), (5, True, set()), (1, None, set()), (1, False, set())]
)
def test_eggs_must_be_seen_and_fresh(days: int, eggs_seen: bool | None, who: set[str]) -> None:
    assert mothers(hive("H", days=days, eggs_seen=eggs_seen, queen_mother=True)) == who


def test_a_stale_flag_does_not_make_others_mothers() -> None:
    assert mothers(hive("H", days=9, queen_mother=True), hive("best", open=9.0)) == set()


def test_without_a_flag_above_the_median_and_not_bad_tempered() -> None:
    five = [hive(f"H{n}", capped=float(n), open=3.0) for n in range(3, 8)]
    assert mothers(*five) == {"H6", "H7"}  # the median itself, H5, is not above it
    assert mothers(*five[:-1]) == {"H5", "H6"}  # between 4 and 5
    assert mothers(*five[:-1], replace(five[-1], temper="bad")) == {"H6"}
    unknown = hive("H9", capped=None, open=None)
    assert mothers(*five, unknown) == {"H6", "H7"}  # a hive not counted does not move the median
