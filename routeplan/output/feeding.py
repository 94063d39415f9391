"""Feed by yard and day: how much syrup each split and each hive that gave needs, as one trip brings it."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from routeplan.colony.feed import STORES_SHARE, Syrup, feeding_days, sugar_needed_kg, syrup_for
from routeplan.colony.forecast import forecast
from routeplan.colony.halves import colonies_of
from routeplan.colony.strength import frame_holds
from routeplan.output import measures
from routeplan.output.colonies import Named, colonies
from routeplan.output.day import Day

LITRES_STEP = 0.5
ENOUGH_KG = 0.05
"""Less sugar is not worth a trip."""

FEED = "feed {syrup} syrup, {litres} in all ({mixed})"
EACH = "feed {syrup} syrup, {each} each, {litres} in all ({mixed})"
OF_ONE = "{syrup} syrup, {parts}{each} ({sugar} sugar)"
MIXED = "{sugar} sugar, {water} litres water"


@dataclass(frozen=True)
class Feeding:
    """One colony, or splits alike, fed on one day after the splitting day: litres each, and sugar for all."""

    day: int
    yard: str
    named: Named
    count: int
    litres_each: float

    @property
    def litres(self) -> float:
        """Litres for all of them."""
        return self.count * self.litres_each


def feedings(day: Day) -> tuple[Feeding, ...]:
    """Return what is fed, by day and then in the order of boxes and hives."""
    named = [one for one in colonies(day) if one.supers == 0]
    if not named:
        return ()
    settings = day.operation.settings
    halves, feed = [one.half for one in named], settings.feed
    start = colonies_of(halves, day.plan.day, settings, feed.until_days)
    course = forecast(start, settings.forecast, feed.until_days)
    holds = [frame_holds(half.frame, settings.strength).honey_g for half in halves]
    most = np.array([STORES_SHARE * h.combs * grams for h, grams in zip(halves, holds, strict=True)])
    sugar = sugar_needed_kg(course, most, feed)
    syrup = syrup_for(settings.season)
    return tuple(
        Feeding(when, one.yard, one, max(1, len(one.splits)), _litres(syrup, float(sugar[i, n])))
        for n, when in enumerate(feeding_days(feed))
        for i, one in enumerate(named)
        if sugar[i, n] > ENOUGH_KG
    )


def _litres(syrup: Syrup, sugar_kg: float) -> float:
    """Litres of syrup, up to the next half litre."""
    return math.ceil(syrup.litres(sugar_kg) / LITRES_STEP - 1e-9) * LITRES_STEP


def of_one(day: Day, fed: Iterable[Feeding], name: str) -> str:
    """Say when one colony, or each of splits alike, is fed how much; nothing where it is not fed."""
    ones = [one for one in fed if one.named.name == name]
    syrup, settings = syrup_for(day.operation.settings.season), day.operation.settings
    parts = [
        f"{litre_words(one.litres_each)} {measures.days_after(day.plan.day, one.day, one.day)}"
        for one in ones
    ]
    if not parts:
        return ""
    sugar = measures.weight(syrup.sugar_kg(sum(one.litres_each for one in ones)), settings.weight)
    each = " each" if ones[0].count > 1 else ""
    return OF_ONE.format(syrup=syrup.name, parts=", ".join(parts), each=each, sugar=sugar)


def by_trip(fed: Iterable[Feeding]) -> Iterator[tuple[int, str, list[Feeding]]]:
    """Yield (day, yard, all that is fed there on that day), by day and then by yard."""
    trips: dict[tuple[int, str], list[Feeding]] = {}
    for one in fed:
        trips.setdefault((one.day, one.yard), []).append(one)
    for day, yard in sorted(trips):
        yield day, yard, trips[day, yard]


def who(day: Day, fed: Iterable[Feeding]) -> str:
    """Name those that are fed: boxes, then hives, as they stand in one yard."""
    ones = list(fed)
    boxes = [split for one in ones for split in one.named.splits]
    hives = [one.named.hive for one in ones if not one.named.splits]
    return measures.joined(
        [*([day.box_words(boxes)] if boxes else []), *([measures.hives(hives)] if hives else [])]
    )


def what(day: Day, fed: Iterable[Feeding]) -> str:
    """Say what is fed on one trip: litres of syrup each and in all, and what it is mixed of."""
    ones, syrup = list(fed), syrup_for(day.operation.settings.season)
    litres = sum(one.litres for one in ones)
    each = {one.litres_each for one in ones}
    words = FEED if sum(one.count for one in ones) == 1 else EACH
    return words.format(
        syrup=syrup.name,
        each=litre_words(*sorted({min(each), max(each)})),
        litres=litre_words(litres),
        mixed=mixed(day, litres),
    )


def mixed(day: Day, litres: float) -> str:
    """Say what so many litres of syrup are mixed of, by mass."""
    syrup = syrup_for(day.operation.settings.season)
    sugar = syrup.sugar_kg(litres)
    weighed = measures.weight(sugar, day.operation.settings.weight)
    return MIXED.format(sugar=weighed, water=f"{syrup.water_kg(sugar):.1f}")


def litre_words(*litres: float) -> str:
    """Write litres: "1 litre", "2.5 litres", "1 to 3 litres"."""
    numbers = " to ".join(measures.number(n) for n in litres)
    return f"{numbers} {'litre' if numbers == '1' else 'litres'}"
