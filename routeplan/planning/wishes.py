"""Single changes that might let one more split be made: a little more of one thing, in a beekeeper's words.

Nothing is claimed here: a wish is an operation with so much more of something, and is tried elsewhere.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from routeplan.operation.world import Operation, Order, Stock, Yard
from routeplan.plan import Plan
from routeplan.planning.case import Case, usable

LONGER_STEP_MIN, LONGER_MOST_MIN = 5, 240
MOST_YARDS = 3
"""Yards looked at for one kind of frame, and for room."""


@dataclass(frozen=True)
class Wish:
    """So much more of one thing: amounts from `least` to `most` by `step` may be tried.

    `one`, `many` say the thing, with {n} for the amount; `changed` makes the operation that has it. It is not
    tried where a change in the unit `unless` was found already.
    """

    what: str
    unit: str
    where: str
    one: str
    many: str
    changed: Callable[[int], Operation]
    least: int = 1
    most: int = 1
    step: int = 1
    unless: str = ""

    def words(self, amount: int) -> str:
        """Say how much more of what, as the beginning of a sentence."""
        words = (self.one if amount == 1 else self.many).format(n=amount)
        return words[0].upper() + words[1:]

    def amounts(self) -> list[int]:
        """Amounts that may be tried, the least first."""
        return list(range(self.least, self.most + 1, self.step))


def parts_of_whole(operation: Operation, order: Order) -> list[Order]:
    """All orders of the hive that an order breaks up."""
    key = order.from_yard, order.hive
    return [o for o in operation.orders if o.break_up and (o.from_yard, o.hive) == key]


def wanting(operation: Operation, plan: Plan, order: Order | None = None, more: int = 0) -> Operation:
    """Return the operation asking for the splits of the plan, and so many more of one order; for all parts of
    its hive where that is broken up."""
    counts = Counter(s.order for s in plan.splits)
    if order is not None and order.break_up:
        counts.update({o.id: o.count for o in parts_of_whole(operation, order)})
    elif order is not None:
        counts[order.id] += more
    orders = tuple(replace(o, count=counts[o.id]) for o in operation.orders if counts[o.id])
    return replace(operation, orders=orders)


def stock_wishes(operation: Operation, order: Order) -> Iterator[Wish]:
    """More queens, cells, boxes, combs, food, fences or excluders at home; only of what is counted."""
    kit, swaps = operation.kit(order.kit), operation.settings.swaps
    listed = {s.item for s in operation.stock}
    combs = bool(listed & {"drawn comb", "foundation"})
    fed = kit.food > 0 and order.hive is None
    frames = [f for f in sorted({h.frame for h in operation.hives}) if kit.frame in (None, f)]
    bears = any(y.bear and y.fence is not True and y.takes_splits for y in operation.yards)
    rows = (
        ("mated queen", "mated queen", "s", order.queen == "mated" and "mated queen" in listed, 1),
        ("ripe cell", "ripe cell", "s", order.queen == "ripe cell" and "ripe cell" in listed, 1),
        ("nuc box", "nuc box", "es", "nuc box" in listed, 1),
        ("drawn comb", "drawn comb", "s", combs and kit.drawn > 0, kit.combs),
        ("foundation", "comb or sheet of foundation", "", combs, kit.combs),
        ("food comb", "comb of food", "", swaps.food_comb and fed, kit.food),
        ("feeder", "feeder", "s", swaps.feeder and fed, 1),
        ("fence kit", "fence kit", "s", bears, 1),
        ("excluder", "excluder", "s", operation.two_passes_allowed, 1),
    )
    plurals = {"foundation": "combs or sheets of foundation", "food comb": "combs of food"}
    for item, one, ending, helps, most in rows:
        many = plurals.get(item, one + ending)
        framed = item in ("nuc box", "drawn comb", "foundation", "food comb")
        for frame in frames if framed else ("",):
            if helps:
                size = f" ({frame})" if frame and len(frames) > 1 else ""
                yield _stock_wish(operation, item, frame, f"{one}{size}", f"{many}{size}", most)


def _stock_wish(operation: Operation, item: str, frame: str, one: str, many: str, most: int) -> Wish:
    def changed(n: int) -> Operation:
        return replace(operation, stock=(*operation.stock, Stock(item, frame, n)))

    return Wish(
        item, "pieces", "home", f"{{n}} more {one} at home", f"{{n}} more {many} at home", changed, 1, most
    )


def donor_wish(operation: Operation) -> Wish:
    """Frames from one more hive in one box."""
    limits = operation.settings.limits
    now = limits.donors_per_split

    def changed(n: int) -> Operation:
        more = replace(limits, donors_per_split=now + n)
        return replace(operation, settings=replace(operation.settings, limits=more))

    words = f"frames from up to {now + 1} hives in one box, not {now},"
    return Wish("donors a split", "hives", "", words, words, changed)


def place_wish(operation: Operation) -> Wish | None:
    """More places on the truck, where they are limited."""
    places = operation.crew.places
    if places is None:
        return None

    def changed(n: int) -> Operation:
        return replace(operation, crew=replace(operation.crew, places=(places or 0) + n))

    one, many = "{n} more place on the truck", "{n} more places on the truck"
    return Wish("truck places", "places", "", one, many, changed, 1, 3)


def hour_wishes(operation: Operation) -> tuple[Wish, Wish, Wish]:
    """A longer day, longer hours for opening hives, and both together."""

    def wish(what: str, words: str, day: int, hives: int, unless: str = "") -> Wish:
        def changed(n: int) -> Operation:
            crew = operation.crew
            end = min(crew.end_min + day * n, 24 * 60 - 1)
            longer = replace(crew, end_min=end, hives_until_min=crew.hives_until_min + hives * n)
            return replace(operation, crew=longer)

        step, most = LONGER_STEP_MIN, LONGER_MOST_MIN
        return Wish(what, "min", "", words, words, changed, step, most, step, unless)

    return (
        wish("day", "a day {n} min longer", 1, 0),
        wish("hive hours", "hours for opening hives {n} min longer", 0, 1),
        wish("day and hive hours", "a day and hours for opening hives both {n} min longer", 1, 1, "min"),
    )


def room_wishes(operation: Operation, plan: Plan, order: Order, case: Case) -> Iterator[Wish]:
    """Room for more at a yard that may take splits: the nearest to where splits are made first."""
    full = [
        y
        for y in operation.yards
        if y.room is not None
        and y.takes_splits
        and usable(y, operation.day)
        and order.to_yard in (None, y.id)
        and y.room - sum(s.to_yard == y.id for s in plan.splits) < 1
    ]
    for yard in nearest(operation, plan, case, full)[:MOST_YARDS]:
        words = f"room for {{n}} more at {yard.id}"
        yield Wish("room", "splits", yard.id, words, words, _with_room(operation, yard))


def _with_room(operation: Operation, yard: Yard) -> Callable[[int], Operation]:
    def changed(n: int) -> Operation:
        wider = replace(yard, room=(yard.room or 0) + n)
        return replace(operation, yards=tuple(wider if y.id == yard.id else y for y in operation.yards))

    return changed


def nearest(operation: Operation, plan: Plan, case: Case, yards: Iterable[Yard]) -> list[Yard]:
    """Yards of the plan first (by splits that come or go there), then those nearest to its stops or home."""
    index = {y.id: i + 1 for i, y in enumerate(operation.yards)}
    stops = [index[s.yard] for s in plan.stops] or [0]
    used = [s.from_yard for s in plan.splits] + [s.to_yard for s in plan.splits]

    def rank(yard: Yard) -> tuple[int, int, str]:
        near = min(int(case.travel.quick_s[index[yard.id], s]) for s in stops)
        return -used.count(yard.id), near, yard.id

    return sorted(yards, key=rank)
