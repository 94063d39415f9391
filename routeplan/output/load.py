"""What to load before leaving, in three parts: always; per yard; per split and hive that gives.

Counted from the plan where it can be; what every crew packs is common practice.
"""

import math
from collections import Counter
from dataclasses import dataclass

from routeplan.colony.feed import syrup_for
from routeplan.output import feeding, measures, words
from routeplan.output.day import Day
from routeplan.output.two_passes import excluders, rows
from routeplan.plan import Split

ALWAYS = (
    ("Smoker with plug, dry fuel for the day, two lighters or dry matches", ""),
    ("Water or an extinguisher", "beside the smoker"),
    ("Hive tools", "one each, one spare"),
    ("Veils and gloves for everyone", "one spare veil"),
    ("Spray bottle with clean water", ""),
    ("Cover cloths for open boxes", ""),
    ("Marking pen, label pen, spare labels", ""),
    ("Washing soda or flame", "for tools between yards"),
    ("First aid box", "prescribed allergy medicine with the person it is for"),
    ("Drinking water, sun hats, charged phone", ""),
)
PER_YARD = (
    ("Clean bellows cover for the smoker", "one a yard"),
    ("Record card", "one a yard"),
)
PER_SPLIT = (
    (1, "Lid", "one a split"),
    (1, "Entrance closer, screened", "one a split"),
    (2, "Strap", "two a split"),
    (1, "Stand", "one a split"),
    (1, "Feeder, filled", "one a split"),
    (1, "Entrance reducer", "one a split"),
    (1, "Label", "one a split"),
)
PARTS = ("Always", "Per yard", "Per split and hive that gives")
SPLITS_PER_SPARE = 8
"""One spare queen for so many."""

BOX = "Nuc box with floor, {frame}"
BOX_REMARK = "each with {combs} combs, listed below"
DRAWN = "Drawn comb, {frame}"
DRAWN_REMARK = "for the kits that need it"
COMB = "Drawn comb or foundation, {frame}"
COMB_REMARK = "drawn first"
AT_HOME = "; at home: {drawn} drawn, {foundation} foundation"
FOOD = "Comb of food, {frame}"
FOOD_REMARK = "instead of food frames: {boxes}; closed, no robber gets at it"
FEEDER_REMARK = "; without food frames and so fed first: {boxes}"
QUEEN = "Mated queen, caged"
QUEEN_REMARK = "{needed} needed, {spare} spare; {heat}, shade, never on the dashboard"
CELL = "Ripe queen cell"
CELL_REMARK = "not today: for the trip on {day}, to {yards}; warm, upright, no knocks"
SYRUP = "Litres of {name} syrup"
SYRUP_REMARK = "{mixed}, by mass; for {whom}; at dusk where no flow is"
CAGE = "Queen cage"
CAGE_REMARK = "for each queen to be found, one spare"
MARK = "Mark for the lid of a hive that gave"
MARK_REMARK = "one a hive"
EXCLUDER = "Queen excluder, {frame}"
EXCLUDER_REMARK = "one for each hive worked in two passes: {hives}"
ABOVE = "Empty hive box, {frame}"
ABOVE_REMARK = "for combs above an excluder, one a hive"
BRUSH = "Soft brush for bees"
BRUSH_REMARK = "for frames that go without bees: {boxes}"
BEGUN = "Cover cloth for a begun box"
BEGUN_REMARK = "under the lid between its two yards: {boxes}"
FENCE = "Fence kit: posts, wires, energiser, battery, earth rod, tester, warning signs"
FENCE_REMARK = "for {yards}"


@dataclass(frozen=True)
class Item:
    """One line of the load list; `count` None where a crew counts for itself."""

    count: int | None
    what: str
    remark: str = ""


@dataclass(frozen=True)
class Part:
    """One of the three parts of the list."""

    name: str
    items: tuple[Item, ...]


def load(day: Day) -> tuple[Part, ...]:
    """Return the load list; nothing when there is nothing to place."""
    if not day.plan.splits:
        return ()
    always = tuple(Item(None, what, remark) for what, remark in ALWAYS)
    lists = (always, tuple(_per_yard(day)), tuple(_per_split(day)))
    return tuple(Part(name, items) for name, items in zip(PARTS, lists, strict=True))


def _per_yard(day: Day) -> list[Item]:
    yards = len({s.yard for s in day.plan.stops})
    fences = [s.yard for s in day.plan.stops if s.fence_s]
    kits = [Item(len(fences), FENCE, FENCE_REMARK.format(yards=measures.joined(fences)))] if fences else []
    return kits + [Item(yards, what, remark) for what, remark in PER_YARD]


def _per_split(day: Day) -> list[Item]:
    splits = day.splits()
    items = [
        item for frame in sorted({s.frame for s in splits}) for item in _boxes_and_combs(day, splits, frame)
    ]
    fed = [s.id for s in splits if s.swap == "feeder"]
    more = FEEDER_REMARK.format(boxes=day.box_words(fed)) if fed else ""
    for n, what, remark in PER_SPLIT:
        items.append(Item(n * len(splits), what, remark + (more if what.startswith("Feeder") else "")))
    items += _syrup(day)
    return [*items, *_begun(day, splits), *_queens(day, splits), *_donors(day)]


def _begun(day: Day, splits: list[Split]) -> list[Item]:
    """What boxes of two yards need beside the rest."""
    begun = [s.id for s in splits if s.begun_at]
    bare = {t.split for stop in day.plan.stops for t in stop.takes if not t.bees}
    items = [Item(len(begun), BEGUN, BEGUN_REMARK.format(boxes=day.box_words(begun)))] if begun else []
    brush = BRUSH_REMARK.format(boxes=day.box_words(s.id for s in splits if s.id in bare))
    return items + ([Item(1, BRUSH, brush)] if bare else [])


def _syrup(day: Day) -> list[Item]:
    """What is fed on the day itself: litres of syrup, by yard."""
    fed = [(yard, ones) for when, yard, ones in feeding.by_trip(feeding.feedings(day)) if when == 0]
    if not fed:
        return []
    litres = sum(one.litres for _, ones in fed for one in ones)
    yards = [f"{feeding.who(day, ones)} at {yard}" for yard, ones in fed]
    remark = SYRUP_REMARK.format(mixed=feeding.mixed(day, litres), whom="; ".join(yards))
    name = syrup_for(day.operation.settings.season).name
    return [Item(math.ceil(litres), SYRUP.format(name=name), remark)]


def _boxes_and_combs(day: Day, splits: list[Split], frame: str) -> list[Item]:
    here = [s for s in splits if s.frame == frame]
    kits = [(day.operation.kit(s.kit), s.swap) for s in here]
    empty = [_from_home(day, s) for s in here]
    drawn = sum(k.drawn for k, _ in kits)
    sizes = " or ".join(map(str, sorted(set(empty))))
    at_home = day.operation.combs(frame)
    stock = AT_HOME.format(drawn=at_home[0], foundation=at_home[1]) if at_home else ""
    items = [Item(len(here), BOX.format(frame=frame), BOX_REMARK.format(combs=sizes))]
    items += [Item(drawn, DRAWN.format(frame=frame), DRAWN_REMARK)] if drawn else []
    items += [Item(sum(empty) - drawn, COMB.format(frame=frame), COMB_REMARK + stock)]
    food = sum(k.food for k, swap in kits if swap == "food comb")
    boxes = day.box_words(s.id for s in here if s.swap == "food comb")
    return items + ([Item(food, FOOD.format(frame=frame), FOOD_REMARK.format(boxes=boxes))] if food else [])


def _from_home(day: Day, split: Split) -> int:
    """Combs that leave home in a box; where a hive is broken up only those that stay in it."""
    kit = day.operation.kit(split.kit)
    if day.operation.breaks_up(split.order):
        return kit.drawn + kit.fill
    return kit.combs - (kit.food if split.swap else 0)


def _queens(day: Day, splits: list[Split]) -> list[Item]:
    by_way = Counter(s.queen for s in splits)
    items = []
    if mated := by_way["mated"]:
        spare = math.ceil(mated / SPLITS_PER_SPARE)
        queen_heat = measures.temperatures(*words.QUEENS_KEPT_C, day.operation.settings.temperature)
        items.append(
            Item(mated + spare, QUEEN, QUEEN_REMARK.format(needed=mated, spare=spare, heat=queen_heat))
        )
    if cells := by_way["ripe cell"]:
        yards = measures.joined(dict.fromkeys(s.to_yard for s in splits if s.queen == "ripe cell"))
        when = measures.days_after(day.plan.day, 1, 1)
        items.append(Item(cells, CELL, CELL_REMARK.format(day=when, yards=yards)))
    return items


def _donors(day: Day) -> list[Item]:
    hunted = sum(way == "hunt" for s in day.plan.stops for _, way in s.ways)
    cages = [Item(hunted + 1, CAGE, CAGE_REMARK)] if hunted else [Item(1, CAGE, "for a queen come upon")]
    return [
        *cages,
        *_above(day),
        Item(len({(s.yard, h) for s in day.plan.stops for h in s.opens}), MARK, MARK_REMARK),
    ]


def _above(day: Day) -> list[Item]:
    """An excluder and an empty box for each hive worked in two passes."""
    hives = measures.joined(f"{one.hive} at {stop.yard}" for _, stop, one in rows(day))
    items = []
    for frame, n in excluders(day).items():
        items.append(Item(n, EXCLUDER.format(frame=frame), EXCLUDER_REMARK.format(hives=hives)))
        items.append(Item(n, ABOVE.format(frame=frame), ABOVE_REMARK))
    return items
