"""What is not in the plan and which rule stopped it: each answer is tried, not guessed."""

from collections import Counter
from dataclasses import replace

import numpy as np

from routeplan.colony.floors import holds
from routeplan.colony.held_kits import split_troughs
from routeplan.colony.own_right import cannot_part, why_not_whole
from routeplan.colony.surplus import Give
from routeplan.colony.weak_orders import cure, under_words
from routeplan.operation import units
from routeplan.operation.world import Order
from routeplan.plan import Unplaced
from routeplan.planning.case import Case, usable
from routeplan.planning.demand import KINDS, Batch, Limit
from routeplan.planning.limits import Clock
from routeplan.planning.out_of_time import Why, out_of_time
from routeplan.planning.possible import most_possible
from routeplan.planning.richer import parts_with
from routeplan.planning.stages import Outcome

KIND_WORDS = {
    "capped": ("capped frame", "capped frames"),
    "open": ("open frame", "open frames"),
    "eggs": ("frame of eggs from a queen mother", "frames of eggs from a queen mother"),
    "food": ("food frame", "food frames"),
    "shake": ("shake of bees", "shakes of bees"),
    "queen": ("queen that can leave its hive", "queens that can leave their hives"),
}
KIND_HELD = (("open", "open"), ("capped", "capped"), ("food", "food"), ("bees", "shake"), ("brood", "capped"))
"""A word in what holds a hive back, and the kind it is short of."""
ITEM_WORDS = {
    "comb": "combs and sheets of foundation at home",
    "drawn comb": "drawn combs at home",
    "nuc box": "nuc boxes at home",
}


def why_unplaced(case: Case, outcome: Outcome, clock: Clock) -> tuple[Unplaced, ...]:
    """List every order's splits that are not in the plan, with rule and reason."""
    placed = _placed_by_line(case, outcome)
    rows: Counter[tuple[str, str, str]] = Counter()
    of_the_day: dict[tuple[int, int], Why] = {}
    for b, batch in enumerate(case.demand.batches):
        missing = batch.count - _of_batch(case, placed, b)
        if not missing:
            continue
        why = _short_of(case, outcome, placed, b, clock)
        if why is None:
            key = batch.priority, _more(case, b)
            if key not in of_the_day:
                of_the_day[key] = out_of_time(case, outcome, *key, clock)
            why = of_the_day[key]
        for order, n in _rows(batch, missing):
            rows[order, *why] += n
    return tuple(Unplaced(order, n, rule, words) for (order, rule, words), n in rows.items())


def _more(case: Case, b: int) -> int:
    """How many splits one more of a batch is: all parts of a hive that is broken up."""
    batches = case.demand.batches
    return sum(batches[other].count for other in case.demand.together(b)) if batches[b].break_up else 1


def _placed_by_line(case: Case, outcome: Outcome) -> list[int]:
    placed = [0] * len(case.demand.lines)
    for row in outcome.found.best.counts.made if outcome.found.best else ():
        placed = [n + more for n, more in zip(placed, row, strict=True)]
    return placed


def _of_batch(case: Case, placed: list[int], b: int) -> int:
    return sum(n for n, line in zip(placed, case.demand.lines, strict=True) if line.batch == b)


def _rows(batch: Batch, n: int) -> list[tuple[str, int]]:
    """Share the missing splits over the batch's order rows: the last rows go short first."""
    rows = []
    for order, count in reversed(batch.orders):
        short = min(n, count)
        if short:
            rows.append((order, short))
        n -= short
    return rows[::-1]


def _short_of(case: Case, outcome: Outcome, placed: list[int], b: int, clock: Clock) -> Why | None:
    """Which one rule, left out, lets one more of a batch be made beside what is placed; None when it is a
    matter of time, of the day or of planning."""
    batch = case.demand.batches[b]
    asked = case.demand.asked[batch.priority]
    most = dict(outcome.possible.totals).get(batch.priority, asked)
    of_priority = [
        _of_batch(case, placed, other)
        for other, o in enumerate(case.demand.batches)
        if o.priority == batch.priority
    ]
    if not outcome.count_proved and not most <= sum(of_priority) < asked:
        return None
    one_more = _one_more(case, placed, b)

    def enough(other: Case, *without: str) -> bool:
        return most_possible(other, clock.share(3.0), frozenset(without)).size >= other.size

    if (why := _under_the_floor(case, b)) is not None:
        return why
    if enough(one_more):
        return None
    if batch.hive is not None and (why := _cannot_part(case, placed, b)) is not None:
        return why
    if enough(one_more, "stock"):
        for limit in case.demand.limits:
            if _used(case, limit, placed, b) > limit.most:
                return _out_of_stock(limit)
        return "R11", "not enough combs or boxes at home for all of them"
    if enough(_with_fences(one_more)):
        return "R11", "no fence kit at home is left for a yard where bears come"
    if enough(one_more, "room"):
        if batch.break_up:
            return "R6", f"not enough room at the yards for all {_more(case, b)} parts of hive {batch.hive}"
        return "R6", f"not enough room at the yards for more than {sum(placed)}"
    for kind in KINDS:
        if enough(one_more, kind):
            return "R1", _frames_short(case, placed, b, kind)
    if enough(one_more, "distance"):
        settings = case.operation.settings
        least = units.distance(settings.minimum_distance_m, settings.units)
        return "R5", f"no yard with room is {least} or more from a yard that can still give"
    if enough(one_more, "ride"):
        return None
    if enough(one_more, "room", "distance"):
        return "R6", "no yard has room for them, and none that has is far enough"
    return "R1", "the donors in reach cannot give all the kinds a kit needs and keep their keep-back"


def _under_the_floor(case: Case, b: int) -> Why | None:
    """Why no kit of a batch keeps a split above its floor; None when one does, in some frame format."""
    batch, settings = case.demand.batches[b], case.operation.settings
    frames = sorted({d.frame for of_yard in case.donors for d in of_yard})
    if not holds(settings) or not frames or any(line.batch == b for line in case.demand.lines):
        return None
    frame = batch.kit.frame or frames[0]
    low, day = split_troughs([batch.kit], batch.queen, frame, settings)
    help_ = cure(batch.kit, batch.queen, frame, settings)
    return "R16", f"{under_words(low[0], int(day[0]), settings)} {help_}".rstrip(" .")


def _one_more(case: Case, placed: list[int], b: int) -> Case:
    """Return the day with what is placed and one more of a batch asked for."""
    together = case.demand.together(b)

    def count(other: int, batch: Batch) -> int:
        if other in together and batch.break_up:
            return batch.count
        return _of_batch(case, placed, other) + (other == b)

    batches = tuple(replace(batch, count=count(n, batch)) for n, batch in enumerate(case.demand.batches))
    demand = replace(case.demand, batches=batches)
    return replace(case, demand=demand.with_totals(demand.asked))


def _cannot_part(case: Case, placed: list[int], b: int) -> Why | None:
    """Why a hive cannot be split in its own right once more, and by how much it falls short."""
    batch, operation = case.demand.batches[b], case.operation
    assert batch.from_yard is not None
    yard, parts = operation.yards[batch.from_yard], _of_batch(case, placed, b) + 1
    kit = next((line.kit for line in case.demand.lines if line.batch == b), batch.kit)
    (hive,) = [h for h in operation.hives if h.key == (yard.id, batch.hive)]
    part = Give(kit.capped, kit.open, kit.food, kit.shakes)
    order = Order(batch.orders[0][0], parts, kit.name, batch.queen, yard.id, hive=batch.hive)
    if batch.break_up:
        held, order = why_not_whole(operation, hive), replace(order, break_up=True)
    else:
        held = cannot_part(operation, hive, part, parts, batch.queen)
    if not held:
        return None
    kind = next((kind for word, kind in KIND_HELD if word in held and "not counted" not in held), None)
    lacking = parts_with(operation, order, parts, kind) if kind else None
    short = f"; short of {_counted(lacking, kind)}" if kind and lacking else ""
    wish = "be split in its own right" if parts == 1 else f"give {parts} splits in its own right"
    wish = "be broken up" if batch.break_up else wish
    return (
        "R4" if "health" in held else "R1",
        f"hive {hive.id} at {yard.id} cannot {wish}: "
        f"{held.removesuffix(' (when it is split in its own right)')}{short}",
    )


def _counted(n: int, kind: str) -> str:
    one, many = KIND_WORDS[kind]
    return f"{n} {one if n == 1 else many}"


def _used(case: Case, limit: Limit, placed: list[int], b: int) -> int:
    """What the splits placed and one more of a batch use of something in stock, at least."""
    lines = [k for k, line in enumerate(case.demand.lines) if line.batch == b]
    used = sum(limit.uses[k] * n for k, n in enumerate(placed))
    return used + min((limit.uses[k] for k in lines), default=0)


def _out_of_stock(limit: Limit) -> Why:
    if limit.item in ("mated queen", "ripe cell"):
        when = "on the day" if limit.item == "mated queen" else "on the day after, when cells go in"
        words = f"{limit.item}{'' if limit.most == 1 else 's'}"
        return "R12", f"only {limit.most} {words} can be used {when}" if limit.most else (
            f"no {limit.item} can be used {when}"
        )
    frame = f" ({limit.frame})" if limit.frame else ""
    return (
        "R11",
        f"only {limit.most} {ITEM_WORDS.get(limit.item, limit.item)}{frame}: not enough for one more",
    )


def _with_fences(case: Case) -> Case:
    """Return the day with fence kits for all yards where bears come."""
    rooms = [
        case.size if y.room is None else y.room if y.takes_splits and usable(y, case.operation.day) else 0
        for y in case.operation.yards
    ]
    room = np.where(case.fence_s > 0, np.minimum(rooms, case.size), case.room)
    return replace(case, fences=len(rooms), room=room)


def _frames_short(case: Case, placed: list[int], b: int, kind: str) -> str:
    """How many of a kind are missing for all that is placed and all of the batch, where it may be made."""
    index, batches = KINDS.index(kind), case.demand.batches
    at = batches[b].from_yard
    needed = there = 0
    for other, batch in enumerate(batches):
        wanted = batch.count if other == b else _of_batch(case, placed, other)
        if batch.hive is None and at in (None, batch.from_yard):
            needed += _contents(case, other)[index] * wanted
    for y, of_yard in enumerate(case.donors):
        if at in (None, y):
            there += sum(len(d.hives) * max(o.give[index] for o in d.options) for d in of_yard)
    where = "" if at is None else f" at {case.operation.yards[at].id}"
    if needed > there and kind == "queen":
        hives = "1 hive" if there == 1 else f"{there} hives"
        return f"the queen can leave only {hives}{where}: fresh eggs and enough bees must stay behind"
    if needed > there:
        short = f"short of {_counted(needed - there, kind)}{where}"
        return f"{short} that donors can give and keep their keep-back"
    return (
        f"the donors in reach{where} cannot give enough {KIND_WORDS[kind][1]} beside all else the kits need "
        "and keep their keep-back"
    )


def _contents(case: Case, b: int) -> tuple[int, ...]:
    """What one split of a batch receives, as it is made in one of its formats."""
    lines = [k for k, line in enumerate(case.demand.lines) if line.batch == b]
    return case.demand.contents(lines[0]) if lines else case.demand.batches[b].contents
