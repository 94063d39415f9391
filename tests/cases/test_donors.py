"""Who gives: cases that beekeepers describe, as the planner must decide them. Limits are common practice."""

from dataclasses import replace

import pytest

from routeplan.operation.settings import Bees, KeepBack, Limits, Settings
from routeplan.operation.world import Hive, Kit, Operation, Order
from tests.cases.planned import gives, planned, reasons, why
from tests.planning.make import DAY, DAY_ALONE, NOTHING_KEPT, ONE, hive, one_kit_hive, operation, yard

Y, Z = yard("Y", 10.0, room=0), yard("Z", 20.0)


def day(
    hives: tuple[Hive, ...],
    *orders: Order,
    kits: tuple[Kit, ...] = (ONE,),
    settings: Settings | None = None,
) -> Operation:
    """Hives in one yard, room in another one far enough."""
    return operation((Y, Z), hives, orders, kits, settings=settings)


def test_strong_enough_to_give() -> None:
    """Floor of 5 brood, most 2 from one: 8 gives 2, 6 gives 1, 5 is at its floor, not counted is not zero."""
    kit = Kit("one capped", capped=1, drawn=1)
    counts: dict[str, float | None] = {"C1": 8.0, "C2": 6.0, "C3": 5.0, "C4": None}
    hives = tuple(hive(name, brood=brood, capped=None, open=None) for name, brood in counts.items())
    plan = planned(day(hives, Order("A", 3, kit.name, "mated"), kits=(kit,)))
    assert gives(plan) == {"C1": {"capped": 2}, "C2": {"capped": 1}}
    assert "held back by: brood it must keep" in reasons(plan)["C3"]
    assert reasons(plan)["C4"] == "brood not counted"
    four = planned(day(hives, Order("A", 4, kit.name, "mated"), kits=(kit,)))
    assert (len(four.splits), why(four).rule) == (3, "R1")


RECIPE = Kit("recipe", capped=2, open=1, food=1, drawn=1)
FREE = Settings(
    minimum_distance_m=5000.0,
    keep_back=NOTHING_KEPT,
    limits=Limits(brood_per_donor=9, brood_share=1.0, food_per_donor=9),
    bees=Bees(cover_over_brood=-99.0),
)


def two_hives(food: float) -> Operation:
    """C1: open 1, capped 3, no food; C2: open 1, capped 1, so much food. Two of the recipe are asked for."""
    hives = (hive("C1", open=1.0, capped=3.0, food=0.0), hive("C2", open=1.0, capped=1.0, food=food))
    return day(hives, Order("A", 2, RECIPE.name, "mated"), kits=(RECIPE,), settings=FREE)


def test_a_split_is_a_recipe_not_a_count() -> None:
    plan = planned(two_hives(4.0))
    assert gives(plan) == {"C1": {"capped": 3, "open": 1}, "C2": {"capped": 1, "open": 1, "food": 2}}
    assert all(len(s.donors) == 2 for s in plan.splits)


def test_short_of_food_is_named_not_made_silently() -> None:
    plan = planned(two_hives(1.0))
    assert len(plan.splits) == 1
    assert (why(plan).rule, why(plan).count) == ("R1", 1)
    assert why(plan).reason.startswith("short of 1 food frame")


def test_a_total_of_brood_is_enough_and_said_so() -> None:
    hives = (hive("C1", brood=9.0, capped=None, open=None), hive("C2", brood=9.0, capped=None, open=None))
    plan = planned(day(hives, Order("A", 2, ONE.name, "mated")))
    assert len(plan.splits) == 2
    assert any("estimated" in note for note in plan.notes)


def test_maybe_is_not_clear() -> None:
    """Known as clear or not stated gives; suspected, confirmed and text that is not known do not."""
    states = {"C1": "clear", "C2": "suspected", "C3": "unclear", "C4": "not stated", "C5": "confirmed"}
    hives = tuple(one_kit_hive(name, "Y", health=health) for name, health in states.items())
    plan = planned(day(hives, Order("A", 5, ONE.name, "mated")))
    assert set(gives(plan)) == {"C1", "C4"}
    said = reasons(plan)
    assert all(states[name] in said[name] for name in ("C2", "C3", "C5"))


def test_a_suspected_yard_neither_gives_nor_takes_nor_is_visited() -> None:
    three = operation(
        (Y, replace(Z, health="suspected"), yard("Far", 40.0)),
        (one_kit_hive("H", "Y"), one_kit_hive("I", "Z")),
        (Order("A", 2, ONE.name, "mated"),),
    )
    plan = planned(three)
    assert [s.yard for s in plan.stops] == ["Y", "Far"]
    assert "yard health suspected" in reasons(plan)["I"]


def test_frames_out_means_frames_in() -> None:
    hives = (one_kit_hive("H", "Y"), one_kit_hive("I", "Y"))
    plan = planned(day(hives, Order("A", 2, ONE.name, "mated")))
    back = {p.hive: p.combs for s in plan.stops for p in s.puts_back}
    assert back == {"H": 3, "I": 3}
    assert plan.totals.frames_taken == 6


# --- queen mothers ------------------------------------------------------------------------------------------

OWN = Kit("own queen", capped=1, open=1, food=1, shakes=2, fill=2)


def own_queen_day(**mother: object) -> Operation:
    """Two donor yards; the only queen mother stands in the farther one."""
    return operation(
        (Y, yard("W", 30.0, room=0), Z),
        (one_kit_hive("H", "Y"), one_kit_hive("M", "W", **({"queen_mother": True} | mother))),
        (Order("A", 1, OWN.name, "raise own"),),
        (OWN,),
    )


@pytest.mark.parametrize(
    ("mother", "placed"),
    [({"days": 4}, 1), ({"days": 5}, 0), ({"eggs_seen": None}, 0), ({"health": "suspected"}, 0)],
)
def test_eggs_come_from_a_queen_mother_with_fresh_eggs(mother: dict[str, object], placed: int) -> None:
    plan = planned(own_queen_day(**mother))
    assert len(plan.splits) == placed
    if placed:
        assert gives(plan) == {"M": {"capped": 1, "eggs": 1, "food": 1, "shake": 2}}
    else:
        assert why(plan).rule == "R1"
        assert "eggs from a queen mother" in why(plan).reason


def test_only_the_eggs_need_a_mother() -> None:
    """Any clean hive of the yard may give the capped brood and the food of such a split."""
    hives = (
        hive("H", capped=4.0, open=2.0, food=4.0),  # one capped and food, no open brood beyond its own
        hive("M", capped=4.0, open=3.0, food=2.1, queen_mother=True, mites_per_100=9.0),  # eggs only
    )
    plan = planned(day(hives, Order("A", 1, OWN.name, "raise own"), kits=(OWN,)))
    assert gives(plan)["M"]["eggs"] == 1
    assert gives(plan)["H"]["capped"] == 1


def test_a_mated_queen_needs_no_mother() -> None:
    plan = planned(replace(own_queen_day(days=9), orders=(Order("A", 1, OWN.name, "mated"),)))
    assert set(gives(plan)) == {"H"}


# --- frame formats ------------------------------------------------------------------------------------------


def test_two_formats_never_in_one_box() -> None:
    """Brood in deep frames and food in medium ones make no split, though the numbers would do."""
    no_food = one_kit_hive("D", "Y", food=2.2)
    no_brood = one_kit_hive("M", "Y", frame="medium", capped=3.0, open=2.0, food=5.0)
    plan = planned(day((no_food, no_brood), Order("A", 1, ONE.name, "mated")))
    assert plan.splits == ()
    both = (one_kit_hive("D", "Y"), one_kit_hive("M", "Y", frame="medium"))
    plan = planned(day(both, Order("A", 2, ONE.name, "mated")))
    assert sorted((s.frame, s.donors) for s in plan.splits) == [("deep", ("D",)), ("medium", ("M",))]


def test_a_kit_of_one_format_takes_no_other() -> None:
    kit = replace(ONE, frame="medium")
    both = (one_kit_hive("D", "Y"), one_kit_hive("M", "Y", frame="medium"))
    plan = planned(day(both, Order("A", 2, kit.name, "mated"), kits=(kit,)))
    assert [s.donors for s in plan.splits] == [("M",)]


# --- how a yard is worked -----------------------------------------------------------------------------------


def test_mothers_first_and_bad_tempers_last() -> None:
    hives = (
        one_kit_hive("M1", "Y", temper="bad", queen_mother=True),
        one_kit_hive("M2", "Y"),
        one_kit_hive("M3", "Y", queen_mother=True),
        one_kit_hive("M4", "Y", temper="calm"),
    )
    orders = (Order("A", 2, OWN.name, "mated"), Order("B", 2, OWN.name, "raise own"))
    plan = planned(day(hives, *orders, kits=(OWN,)))
    opened = plan.stops[0].opens
    assert (opened[0], opened[-1]) == ("M3", "M1")


def test_hives_are_left_as_even_as_the_day_allows() -> None:
    """Two hives must be opened in any case: the strong one gives more of the bees, none is stripped."""
    strong, weak = hive("S", capped=8.0, open=6.0, bees=30.0), hive("W", capped=5.0, open=4.0, bees=16.0)
    settings = Settings(minimum_distance_m=5000.0, keep_back=KeepBack(8.0, 5.0, 1.0, 2.0))
    kit = Kit("two", capped=2, open=0, food=1, shakes=1, drawn=1)
    plan = planned(day((strong, weak), Order("A", 2, kit.name, "mated"), kits=(kit,), settings=settings))
    given = gives(plan)
    assert sum(g.get("capped", 0) for g in given.values()) == 4
    assert given["S"]["capped"] > given["W"]["capped"]


# --- how much one hive gives --------------------------------------------------------------------------------

CAPPED = Kit("one capped", capped=1, drawn=1)


@pytest.mark.parametrize(
    ("brood", "season", "given"),
    [(9.0, "build-up", 2), (10.0, "build-up", 3), (12.0, "build-up", 3), (12.0, "early spring", 1)],
)
def test_two_brood_frames_from_one_three_from_a_strong_one(brood: float, season: str, given: int) -> None:
    """Two, three from ten frames of brood on, one in early spring."""
    limits = Limits(brood_per_donor=1 if season == "early spring" else 2)
    settings = replace(DAY_ALONE, season=season, limits=limits)
    strong = hive("H", capped=brood - 4.0, open=4.0, bees=30.0)
    plan = planned(day((strong,), Order("A", 4, CAPPED.name, "mated"), kits=(CAPPED,), settings=settings))
    assert gives(plan) == {"H": {"capped": given}}


def test_never_over_a_third_of_the_brood() -> None:
    """Of 5.9 frames one may leave, of 6 two, were it not for what must stay."""
    free = replace(FREE, limits=Limits())
    for brood, given in ((5.9, 1), (6.0, 2)):
        one = hive("H", capped=brood - 2.0, open=2.0)
        plan = planned(day((one,), Order("A", 3, CAPPED.name, "mated"), kits=(CAPPED,), settings=free))
        assert gives(plan) == {"H": {"capped": given}}


@pytest.mark.parametrize(("bees", "placed"), [(14.3, 1), (14.2, 0)])
def test_brood_left_behind_stays_covered(bees: float, placed: int) -> None:
    """Ten brood frames stay: eleven frames of bees must. 3.3 leave: one on each brood frame, 0.5 and 0.8."""
    one = hive("H", capped=7.0, open=5.0, bees=bees)
    plan = planned(day((one,), Order("A", 1, ONE.name, "mated")))
    assert len(plan.splits) == placed
    if not placed:
        assert "bees" in reasons(plan)["H"]


@pytest.mark.parametrize(("days", "placed"), [(14, 1), (15, 0)])
def test_a_count_two_weeks_old_is_the_oldest_that_serves(days: int, placed: int) -> None:
    plan = planned(day((hive("H", days=days, bees=30.0),), Order("A", 1, ONE.name, "mated")))
    assert len(plan.splits) == placed


def test_treated_hives_give_no_food_and_those_with_many_mites_no_capped_brood() -> None:
    treated = hive("T", treated_until=DAY, capped=6.0, open=5.0, food=6.0)
    mites = hive("M", mites_per_100=3.1, capped=6.0, open=5.0, food=6.0)
    plan = planned(day((treated, mites), Order("A", 2, ONE.name, "mated")))
    assert len(plan.splits) == 2
    given = gives(plan)
    assert "food" not in given["T"]
    assert "capped" not in given["M"]


def test_bees_of_two_yards_never_share_a_box() -> None:
    """Capped brood in one yard and open brood in the other make no split."""
    hives = (hive("H", "Y", open=1.2, capped=8.0), hive("I", "W", capped=0.5, open=8.0))
    plan = planned(operation((Y, yard("W", 11.0, room=0), Z), hives))
    assert (plan.splits, why(plan).rule) == ((), "R1")
