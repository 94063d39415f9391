"""Hives split in their own right, by hand at both edges of every rule and on many hives.

What stays behind is common practice: bees 6, brood 2, open 1, food 2 frames. A strong hive here: bees 20,
capped 6, open 5, food 6. One part is a capped, an open and a food frame and a shake: 2 brood frames, 1 + 1 +
0.5 + 0.8 = 3.3 of bees; 0.2 open go along with the capped frame, 0.1 food with each brood frame.
"""

from dataclasses import replace
from math import floor
from random import Random
from typing import Any

import pytest

from routeplan.colony.counts import count_on
from routeplan.colony.held_kits import split_troughs
from routeplan.colony.own_right import (
    BROOD_LEFT_WORDS,
    NO_KIT_WORDS,
    Parts,
    cannot_break_up,
    cannot_part,
    shared_out,
    why_not_whole,
)
from routeplan.colony.surplus import Give, surplus_of
from routeplan.operation.colony_settings import Floors
from routeplan.operation.settings import KeepBack, Limits, Settings, Sure
from routeplan.operation.world import QUEEN_WAYS, Hive, Operation, Order
from tests.oracle import meanings
from tests.planning.make import DAY, DAY_ALONE, ONE, hive, operation, yard
from tests.seeded import rich_operation, small_operation

PART_KIT = ONE.name
PART = Give(capped=1, open=1, food=1, shake=1)
HELD = " (when it is split in its own right)"


def alone(one: Hive, settings: Settings = DAY_ALONE, **of_yard: Any) -> Operation:
    """An operation of one hive."""
    return operation((yard("Y", 3.0, **of_yard),), (one,), settings=settings)


def why(one: Hive, parts: int = 1, way: str = "mated", settings: Settings = DAY_ALONE, **of_yard: Any) -> str:
    """Why a hive cannot be split in its own right."""
    return cannot_part(alone(one, settings, **of_yard), one, PART, parts, way)


EDGES = [
    ("no more capped brood", 1, {"capped": 1.0}, {"capped": 0.99}),
    ("no more capped brood", 2, {"capped": 2.0}, {"capped": 1.99}),
    ("brood it must keep", 1, {"capped": 1.8, "open": 2.2}, {"capped": 1.79}),
    ("brood it must keep", 2, {"capped": 2.6, "open": 3.4}, {"capped": 2.59}),
    ("open brood it must keep", 1, {"open": 2.2}, {"open": 2.19}),
    ("open brood it must keep", 2, {"open": 3.4}, {"open": 3.39}),
    ("bees it must keep", 1, {"bees": 9.3, "capped": 2.0, "open": 3.0}, {"bees": 9.29}),
    ("bees it must keep", 2, {"bees": 12.6, "capped": 3.0, "open": 4.0}, {"bees": 12.59}),
    (
        "bees to cover its brood",
        1,
        {"bees": 13.3},
        {"bees": 13.29},
    ),  # 9 of 11 brood frames stay, and one more
    ("bees to cover its brood", 2, {"bees": 14.6}, {"bees": 14.59}),
    ("food it must keep", 1, {"food": 3.2}, {"food": 3.19}),
    ("food it must keep", 2, {"food": 4.4}, {"food": 4.39}),
]


@pytest.mark.parametrize(("reason", "parts", "just", "less"), EDGES, ids=[f"{e[0]}, {e[1]}" for e in EDGES])
def test_what_stays_behind(reason: str, parts: int, just: dict[str, float], less: dict[str, float]) -> None:
    assert why(hive("H", **just), parts) == ""
    assert why(hive("H", **(just | less)), parts) == reason + HELD


def test_what_stays_behind_is_a_setting() -> None:
    much = replace(DAY_ALONE, parted=KeepBack(12.0, 8.0, 3.0, 4.0))
    assert why(hive("H", bees=15.3, capped=6.0, open=4.2, food=5.2), settings=much) == ""
    for less in ({"bees": 15.29}, {"capped": 5.79}, {"open": 4.19}, {"food": 5.19}):
        assert why(
            hive("H", **({"bees": 15.3, "capped": 6.0, "open": 4.2, "food": 5.2} | less)), settings=much
        )


def test_limits_of_one_donor_do_not_matter() -> None:
    tight = replace(
        DAY_ALONE,
        limits=Limits(brood_per_donor=1, brood_per_strong_donor=1, food_per_donor=0, shakes_per_donor=0),
    )
    assert why(hive("H"), 2, settings=tight) == ""
    assert why(hive("H", capped=2.6, open=3.4), 2) == ""  # 4 of 6 brood frames leave


FINE: dict[str, Any] = {"queen": "marked", "queen_cells": "none", "eggs_seen": True}
CHARGED: dict[str, Any] = {"queen_cells": "charged", "eggs_seen": None}

QUEENS = [
    ("raise own", 2, {"days": 4}, {"days": 5}, "no fresh eggs seen to raise a queen from"),
    ("raise own", 1, {"eggs_seen": True}, {"eggs_seen": None}, "no fresh eggs seen to raise a queen from"),
    ("own cells", 2, CHARGED | {"days": 9}, CHARGED | {"days": 10}, "no charged queen cells seen lately"),
    ("own cells", 1, CHARGED, {"queen_cells": "cups"}, "no charged queen cells seen lately"),
    ("parent's", 1, {}, {"queen": "queenless"}, "it has no queen for that many parts"),
    (
        "parent's",
        1,
        CHARGED,
        {"eggs_seen": False},
        "no fresh eggs or charged cells: it could raise no new queen",
    ),
    ("parent's", 1, {"days": 4}, {"days": 5}, "no fresh eggs or charged cells: it could raise no new queen"),
    ("mated", 2, {"queen": "queenless"} | CHARGED, {"queen": "drone layer"}, "drone layer: no frames leave"),
    ("mated", 1, {"queen": "queenless"}, {"queen": "laying workers"}, "laying workers: no frames leave"),
]  # fmt: skip


@pytest.mark.parametrize(("way", "parts", "fine", "barred", "reason"), QUEENS)
def test_where_the_queens_come_from(
    way: str, parts: int, fine: dict[str, Any], barred: dict[str, Any], reason: str
) -> None:
    assert why(hive("H", **(FINE | fine)), parts, way) == ""
    assert why(hive("H", **(FINE | barred)), parts, way) == reason


def test_one_queen_is_enough_for_one_part_only() -> None:
    assert why(hive("H"), 1, "parent's") == ""
    assert why(hive("H"), 2, "parent's") == "it has no queen for that many parts"


BARRED: list[tuple[dict[str, Any], dict[str, Any], str]] = [
    ({"may_give": False}, {}, "set to give nothing"),
    ({"health": "suspected"}, {}, "health suspected: nothing leaves"),
    ({}, {"health": "confirmed"}, "yard health confirmed: nothing leaves"),
    ({"bees": None}, {}, "bees not counted"),
    ({"open": None, "food": None}, {}, "brood and food not counted"),
    ({"days": 15}, {}, "last looked at 15 days ago: look again first"),
    ({"mites_per_100": 3.01}, {}, "mites: treat first, no capped brood leaves" + HELD),
    ({"treated_until": DAY}, {}, "under treatment: no food frames leave" + HELD),
]


@pytest.mark.parametrize(("of_hive", "of_yard", "reason"), BARRED, ids=[b[2] for b in BARRED])
def test_nothing_leaves_all_the_same(of_hive: dict[str, Any], of_yard: dict[str, Any], reason: str) -> None:
    assert why(hive("H")) == ""
    assert why(hive("H", **of_hive), **of_yard) == reason


def test_food_not_counted_matters_only_where_food_stays() -> None:
    brood_only = Give(capped=1, open=1)
    one = hive("H", food=None)
    assert "food not counted" in cannot_part(alone(one), one, brood_only, 1, "mated")
    freely = replace(DAY_ALONE, parted=KeepBack(6.0, 2.0, 1.0, 0.0))
    assert cannot_part(alone(one, freely), one, brood_only, 1, "mated") == ""


def test_a_hive_split_in_its_own_right_gives_to_no_other_split() -> None:
    orders = (Order("A", 1, ONE.name, "mated"), Order("S", 1, ONE.name, "mated", "Y", hive="H"))
    one = operation((yard("Y", 3.0),), (hive("H"), hive("I")), orders)
    named, other = surplus_of(one).values()
    assert (named.most, named.others) == ((Give(),), ())
    assert named.reason == "split in its own right today: gives to no other split"
    assert other.could.capped == 3


def test_same_as_part_by_part_on_many_hives() -> None:
    """Every hive, way and number of parts by the rules written down a second time."""
    can = cannot = 0
    for base in [rich_operation(seed) for seed in range(25)] + [small_operation(seed) for seed in range(10)]:
        base = replace(base, settings=replace(base.settings, sure=Sure()))
        for each in base.hives:
            kit = replace(base.kits[0], frame=None)
            one = replace(base, kits=(kit,))
            for way in QUEEN_WAYS:
                one = replace(one, orders=(Order("S", 2, kit.name, way, each.yard, hive=each.id),))
                part = Give(kit.capped, kit.open, kit.food, kit.shakes)
                mine = {n for n in (1, 2) if not cannot_part(one, each, part, n, way)}
                # one part takes the queen, so of two parts one at most: counted by the rules of two parts
                tried = set(meanings.parts(one, meanings.box_of(one, 0))) - {0}
                if way == "parent's":
                    tried &= {1}
                assert mine == tried, (each, way)
                can += len(mine)
                cannot += 2 - len(mine)
    assert can >= 150
    assert cannot >= 150


def test_a_hive_broken_up_keeps_nothing() -> None:
    # four parts of 2 brood frames, 1 of food and 3.3 of bees take all of it but a little
    one = hive("H", queen="queenless", capped=4.0, open=4.0, food=4.0, bees=13.3)
    base = alone(one)
    order = Order("A", 4, PART_KIT, "mated", from_yard="Y", hive="H", break_up=True)
    whole = replace(base, orders=(order,))
    assert why_not_whole(whole, one) == ""
    assert cannot_part(base, one, PART, 4, "mated") == "brood it must keep" + HELD
    for less, reason in (
        ({"capped": 3.99}, "no more capped brood"),
        ({"food": 3.99}, "no more food frames"),
        ({"bees": 13.19}, "bees it must keep"),
    ):
        poorer = replace(one, count=replace(one.count, **less))
        assert why_not_whole(replace(whole, hives=(poorer,)), poorer) == reason + HELD


def test_a_hive_broken_up_has_no_floor_and_its_parts_have() -> None:
    one = hive("H", queen="queenless", capped=3.0, open=3.0, food=4.0, bees=14.0)
    held = replace(DAY_ALONE, floors=Floors("hold", 9_000.0), parted=KeepBack(0, 0, 0, 0))
    order = Order("A", 3, PART_KIT, "mated", from_yard="Y", hive="H", break_up=True)
    whole = replace(alone(one, held), orders=(order,))
    assert why_not_whole(whole, one) == NO_KIT_WORDS
    low = float(split_troughs([ONE], "mated", one.frame, held)[0][0])
    strong = replace(whole, settings=replace(held, floors=Floors("hold", low)))
    assert why_not_whole(strong, one) == ""
    kept = cannot_part(alone(one, held), one, PART, 3, "mated")
    assert kept == "bees it must have at its lowest" + HELD


def whole_of(one: Hive, *wanted: tuple[int, str], fill: int = 1) -> str:
    """Why a hive cannot be broken up into so many parts by each way to a queen."""
    return cannot_break_up(alone(one), one, [Parts(replace(ONE, fill=fill), n, way) for n, way in wanted])


def test_a_hive_with_a_queen_is_broken_up_with_her() -> None:
    one = hive("H", capped=3.0, open=3.0, food=3.0, bees=10.0)
    assert whole_of(one, (1, "parent's"), (2, "mated")) == ""
    assert whole_of(one, (3, "mated")) == "its queen must go with one part"
    assert whole_of(one, (2, "parent's"), (1, "mated")) == "its queen must go with one part"
    orphans = replace(one, queen="queenless")
    assert whole_of(orphans, (3, "mated")) == ""
    assert whole_of(orphans, (1, "parent's"), (2, "mated")) == "its queen must go with one part"
    assert whole_of(replace(one, queen="laying workers"), (3, "mated")) == "laying workers: no frames leave"


def test_parts_of_a_hive_broken_up_need_eggs_or_cells_for_their_way_only() -> None:
    blind = hive("H", capped=2.0, open=2.0, food=2.0, bees=10.0, eggs_seen=None)
    assert whole_of(blind, (1, "parent's"), (1, "mated")) == ""  # nobody stays to raise a queen
    assert "no fresh eggs" in whole_of(blind, (1, "parent's"), (1, "raise own"))
    assert "no charged queen cells" in whole_of(blind, (1, "parent's"), (1, "own cells"))
    charged = replace(blind, count=replace(blind.count, queen_cells="charged"))
    assert whole_of(charged, (1, "parent's"), (1, "own cells")) == ""


@pytest.mark.parametrize(
    ("capped", "open_", "fits"), [(3.99, 2.5, True), (4.0, 2.0, True), (4.0, 3.0, False)]
)
def test_brood_that_no_kit_asks_for_takes_the_place_of_fill(capped: float, open_: float, fits: bool) -> None:
    # two parts of 1 capped and 1 open frame, each with one comb to fill
    one = hive("H", capped=capped, open=open_, food=2.0, bees=20.0)
    said = whole_of(one, (1, "parent's"), (1, "mated"))
    assert said == ("" if fits else BROOD_LEFT_WORDS + HELD)


def test_brood_left_over_is_shared_out_evenly_most_to_who_waits_longest() -> None:
    one = hive("H", capped=6.0, open=4.0, food=3.0, bees=30.0)
    kit = replace(ONE, fill=2)
    ways = ((1, "parent's"), (2, "raise own"))
    kits = shared_out(count_on(one, DAY), [Parts(kit, n, way) for n, way in ways])
    assert kits is not None
    hers, others = kits
    assert [(k.capped, k.open, k.fill) for k in (*hers, *others)] == [(2, 1, 1), (2, 2, 0), (2, 1, 1)]
    assert all(k.combs == kit.combs for k in (*hers, *others))


@pytest.mark.parametrize("seed", range(30))
def test_no_brood_is_lost_and_none_made_up(seed: int) -> None:
    rng = Random(seed)
    kit = replace(ONE, capped=rng.randint(0, 2), open=rng.randint(0, 2), fill=rng.randint(0, 3))
    parts = [Parts(kit, rng.randint(1, 2), way) for way in ("parent's", "mated", "raise own")]
    n = sum(p.number for p in parts)
    one = hive("H", capped=n * kit.capped + rng.randint(0, 4) / 2, open=n * kit.open + rng.randint(0, 4) / 2)
    count = count_on(one, DAY)
    kits = shared_out(count, parts)
    left = floor(count.capped or 0) + floor(count.open or 0) - n * (kit.capped + kit.open)
    if kits is None:
        assert left > n * kit.fill
        return
    made = [k for of_one in kits for k in of_one]
    assert sum(k.capped for k in made) == floor(count.capped or 0)
    assert sum(k.open for k in made) == floor(count.open or 0)
    brood = [k.capped + k.open for k in made if k.fill]
    assert not brood or max(brood) - min(brood) <= 1
    assert all(k.fill >= 0 and k.combs == kit.combs for k in made)
