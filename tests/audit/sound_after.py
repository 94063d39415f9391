"""More days that hold: swaps, cells, fences, the weeks after and money, every changed number by hand."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from routeplan.operation.settings import Costs
from routeplan.operation.world import Order
from routeplan.plan import Cost, Take
from tests.audit.edit import with_after, with_settings, with_split, with_stop, with_totals, with_yard
from tests.audit.retell import standing_by, taking
from tests.audit.sound import Day, added_up, in_stock, ordered
from tests.tiny import DAY, tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()
TOMORROW, YESTERDAY = DAY + timedelta(days=1), DAY - timedelta(days=1)


def swapped(word: str = "food comb") -> Day:
    """Something else stands in for S1's frame of food: 90 s less at A1, 900 s (15 min) count against it.

    Fourteen combs leave home, not fifteen. A1 could give that frame: 4 - 1 - 0.2 = 2.8.
    """
    operation = with_settings(OP, "swaps", food_comb=word == "food comb", feeder=word == "feeder")
    operation = in_stock(operation, word, 1, "deep" if word == "food comb" else "")
    plan = taking(with_split(PLAN, "S1", swap=word), 1, less=(("A1", "food"),))
    plan = added_up(with_stop(plan, 1, hive_s=1260), 2400, 900)
    return operation, standing_by(plan, "Acacia", "food", ("A1", 1))


def mixed() -> Day:
    """A mixed frame of A1 instead of its open one: 4 - 1 - 0.5 capped, 3 - 0.5 - 0.2 = 2.3 open stay."""
    plan = taking(PLAN, 1, Take("A1", "mixed", 1, "S1"), less=(("A1", "open"),))
    return with_settings(OP, "swaps", mixed_open=True), added_up(plan, beside_s=900)


def mixed_eggs() -> Day:
    """A mixed frame of B1 with eggs for S3, which raises its queen."""
    plan = taking(PLAN, 2, Take("B1", "mixed", 1, "S3"), less=(("B1", "eggs"),))
    return with_settings(OP, "swaps", mixed_open=True), added_up(plan, beside_s=900)


def with_cell() -> Day:
    """S2 gets a ripe cell the day after: 60 s less at Borehole, one trip there, though it is looked after."""
    operation = ordered(
        OP, Order("caged", 1, "three-frame", "mated"), Order("celled", 1, "three-frame", "ripe cell")
    )
    plan = with_stop(with_split(PLAN, "S2", order="celled", queen="ripe cell"), 2, place_s=540)
    operation = in_stock(operation, "ripe cell", 1, from_day=TOMORROW, until_day=TOMORROW)
    return operation, added_up(with_after(plan, "Borehole", cell_trips=1), 2430)


def fenced() -> Day:
    """Bears come to Borehole: 45 min for a fence before the boxes are placed."""
    operation = in_stock(with_yard(OP, "Borehole", bear=True), "fence kit", 1)
    return operation, added_up(with_stop(PLAN, 2, fence_s=2700))


def no_fence_needed() -> Day:
    """A fence stands at Borehole, nothing is placed at Dam: bears come to both, no kit is at home."""
    return with_yard(with_yard(OP, "Borehole", bear=True, fence=True), "Dam", bear=True), PLAN


def not_few() -> Day:
    """One split in a yard that stands alone is enough: nothing counts against Cedar."""
    return with_settings(OP, "later", few_splits=1), added_up(with_after(PLAN, "Cedar", few_s=0))


def cleared_up() -> Day:
    """A minute to clear up where boxes are placed, at Cedar on the day and on every trip after."""
    plan = with_after(with_after(PLAN, "Borehole", trip_s=2804), "Cedar", trip_s=3672)
    return with_settings(OP, "minutes", leave_placing=1.0), added_up(with_stop(plan, 3, leave_s=60))


def dearth() -> Day:
    """The day with a cell in a dearth, and one yard that stands alone is already too many.

    Cedar is fed twice more. B2 at Borehole has 11.17 brood, strong: 3 min; Cedar one split for four: 3 min; a
    yard too many: 20 min. 180 + 180 + 1200 = 1560 s.
    """
    operation, plan = with_cell()
    operation = with_settings(with_settings(operation, "", dearth=True), "later", most_yards=0)
    plan = with_after(with_after(plan, "Borehole", robbing_s=180), "Cedar", feeding_trips=2)
    return operation, added_up(plan, 2430, 1200)


EURO = Costs("EUR", 0.36, 36.0, 20.0, 8.0, 1.5, 2.0, 4.0)
COST = Cost(
    currency="EUR",
    drive=20.84,
    hours=99.83,
    later=309.11,
    queens=28.0,
    combs=22.5,
    sugar=8.0,
    total=488.28,
    per_split=162.76,
    home=25.42,
    yards=(("Acacia", 36.24), ("Borehole", 73.48), ("Cedar", 294.65)),
)


def money() -> Day:
    """The day with a cell for the least money, and no flow at Cedar, where S3 and the sugar go.

    36 an hour is a cent a second; 0.36 a kilometre makes a metre worth 0.036 s. The day's drives 313 + 313 +
    573 + 886 = 2085 s; a trip to Cedar (49.204 km) 1771 s, five are made, to Borehole (34.732 km) 1250 s,
    one: 2085 + 8855 + 1250 = 12 190 s. S1 a queen and five combs 27.50, S2 a cell and combs 15.50, S3 combs
    and sugar 15.50: 2750 + 1550 + 1550 = 5850 s.
    Road 57.887 x 0.36 = 20.839; 9983 s paid, 99.83; trips after 5 x (17.713 + 36.12) + 12.504 + 27.44 =
    309.111; in all 488.280. Acacia 3.126 + 33.11; Borehole 3.126 + 30.41 + 39.944; Cedar 5.731 + 19.75 +
    269.167; the drive home 8.857 + 16.56.
    """
    operation, plan = with_cell()
    operation = with_settings(operation, "", objective="money", costs=EURO)
    operation = with_yard(operation, "Cedar", flow_until=YESTERDAY)
    plan = with_totals(with_after(plan, "Cedar", feeding_trips=2), road_s=12190, stuff_s=5850)
    return operation, replace(added_up(plan, 2430), cost=COST)


SOUND_AFTER: dict[str, Callable[[], Day]] = {
    "a comb of food from stock": swapped,
    "a feeder": lambda: swapped("feeder"),
    "a mixed frame": mixed,
    "a mixed frame with eggs": mixed_eggs,
    "a ripe cell": with_cell,
    "a fence": fenced,
    "a fence stands": no_fence_needed,
    "not few": not_few,
    "cleared up": cleared_up,
    "a dearth": dearth,
    "the least money": money,
}
