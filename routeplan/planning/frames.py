"""From counts to names: which hive's frames go into which split, in working order, as evenly as found.

Within the round found (same hives' work in seconds) the donors are chosen so that the smallest margin over
the keep-back is as large as found in a short time; this part is best found, not proved.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from routeplan.colony.surplus import Give, Gives
from routeplan.operation.world import Hive
from routeplan.plan import Take
from routeplan.planning.boxes import EVEN, Box, Boxes, Within, fill_boxes
from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS
from routeplan.planning.drive import at_once
from routeplan.planning.limits import Clock
from routeplan.planning.order import Round
from routeplan.planning.route import BEGUN, MADE
from routeplan.planning.work import Work

Taken = tuple[Hive, str, int]
"""Hive, kind, frames."""


@dataclass(frozen=True)
class NamedSplit:
    """One split with its name and way: order row, line, visits (from 0), takes by hive.

    One of two yards is begun at visit `begun_at` with `begun_takes`; `bare`: the side ("begun", "made") that
    rides without bees.
    """

    id: str
    order: str
    line: int
    made_at: int
    placed_at: int
    takes: tuple[Taken, ...]
    begun_at: int | None = None
    begun_takes: tuple[Taken, ...] = ()
    bare: str = ""

    @property
    def sides(self) -> tuple[tuple[int | None, tuple[Taken, ...], bool], ...]:
        """Its takes by visit, and whether they ride with bees."""
        begun = (self.begun_at, self.begun_takes, self.bare != BEGUN)
        made = (self.made_at, self.takes, self.bare != MADE)
        return (made,) if self.begun_at is None else (begun, made)

    @property
    def all_takes(self) -> tuple[Taken, ...]:
        """Its takes at both yards."""
        return self.begun_takes + self.takes

    @property
    def first_bees(self) -> int:
        """The visit from whose leaving it is shut in."""
        return self.made_at if self.begun_at is None or self.bare == BEGUN else self.begun_at


def evened(case: Case, found: Round, clock: Clock) -> dict[int, Boxes]:
    """Fill each yard's boxes again within the same opening times, leaving hives as even as found."""
    boxes = {}
    for yard, filled in sorted(found.boxes.items()):
        made = tuple(found.counts.made[i] for i in making_visits(found, yard))
        seconds = max(0.05, clock.left() / 2)
        try:
            pairs = Counter((i, j) for _, i, j in filled.passes)
            passes = tuple((i, j, n) for (i, j), n in sorted(pairs.items()))
            within = Within(filled.opening_s, filled.beside_s, filled.first_s, passes)
            even = fill_boxes(case, yard, made, within, seconds, EVEN)
        except TimeoutError:
            even = None
        boxes[yard] = even or filled
    return boxes


def making_visits(found: Round, yard: int) -> list[int]:
    """Visits of a yard that open hives, in order."""
    return [i for i, v in enumerate(found.order) if v.yard == yard and v.opens]


def set_above(found: Round, visit: int) -> tuple[tuple[Hive, int], ...]:
    """Hives whose combs are set above an excluder at a visit, bad tempers last, each with the visit that
    collects them."""
    yard = found.order[visit].yard
    if yard not in found.boxes or not found.order[visit].opens:
        return ()
    visits = making_visits(found, yard)
    rows = ((hive, visits[j]) for hive, i, j in found.boxes[yard].passes if visits[i] == visit)
    return tuple(sorted(rows, key=lambda row: (row[0].temper == "bad", row[0].id)))


def collected(found: Round, visit: int) -> frozenset[tuple[str, str]]:
    """Keys of the hives whose combs were set above an excluder before and are collected at a visit."""
    firsts = (set_above(found, i) for i in range(visit))
    return frozenset(hive.key for row in firsts for hive, j in row if j == visit)


def named_splits(case: Case, found: Round, boxes: dict[int, Boxes]) -> tuple[NamedSplit, ...]:
    """Give every box its destination, its order and its name, in the order they are made."""
    left = {b: list(batch.orders) for b, batch in enumerate(case.demand.batches)}
    ways = {(i, k): [] for i, _, k, _ in found.counts.moved}  # type: ignore[var-annotated]
    for i, j, k, n in sorted(found.counts.moved):
        ways[i, k] += [j] * n
    splits: list[NamedSplit] = []
    for i, visit in enumerate(found.order):
        if not any(found.counts.made[i]) or not visit.opens:
            continue
        ordinal = making_visits(found, visit.yard).index(i)
        for box in working_order(case, [b for b in boxes[visit.yard].boxes if b.visit == ordinal]):
            order = next_order(left[case.demand.lines[box.line].batch])
            placed_at = ways[i, box.line].pop(0)
            takes = tuple(named_takes(case, box))
            splits.append(NamedSplit(f"S{len(splits) + 1}", order, box.line, i, placed_at, takes))
    return with_mixed(case, tuple(splits))


def named_takes(case: Case, box: Box) -> Iterator[tuple[Hive, str, int]]:
    """A box's takes by name of kind; a part of a hive split in its own right is all that its kit holds."""
    for hive, k, n in sorted(box.takes, key=lambda t: (t[0].id, t[1])):
        if k < len(KINDS):
            yield hive, KINDS[k], n
            continue
        for kind, frames in zip(KINDS, case.demand.contents(box.line), strict=True):
            if frames:
                yield hive, kind, frames


def with_mixed(case: Case, splits: tuple[NamedSplit, ...]) -> tuple[NamedSplit, ...]:
    """Say which of the open frames and frames of eggs are mixed ones: as many as each hive must give so."""
    left = {key: n for key, n in _mixed(case, splits).items() if n}
    result = []
    for split in splits:
        begun, takes = (_mixed_of(side, left) for side in (split.begun_takes, split.takes))
        result.append(replace(split, begun_takes=begun, takes=takes))
    return tuple(result)


def _mixed_of(side: tuple[Taken, ...], left: dict[tuple[str, str], int]) -> tuple[Taken, ...]:
    """The same takes with mixed frames among them as far as hives have any left to give."""
    takes: list[Taken] = []
    for hive, kind, n in side:
        mixed = min(n, left.get(hive.key, 0)) if kind in ("open", "eggs") else 0
        left[hive.key] = left.get(hive.key, 0) - mixed
        takes += [(hive, k, m) for k, m in ((kind, n - mixed), ("mixed", mixed)) if m]
    return tuple(takes)


def _mixed(case: Case, splits: tuple[NamedSplit, ...]) -> dict[tuple[str, str], int]:
    """The fewest mixed frames each hive's takes need."""
    if not case.operation.settings.swaps.mixed_open:
        return {}
    given: dict[tuple[str, str], Counter[str]] = {}
    for split in splits:
        if case.demand.of(split.line).hive is None:
            for hive, kind, n in split.all_takes:
                given.setdefault(hive.key, Counter())[kind] += n
    found = {}
    for key, give in given.items():
        own = case.surplus[key]
        for gives in (Gives(0, False, own.most), *sorted(own.others)):
            if gives.queen == bool(give["queen"]) and any(_holds(g, give) for g in gives.most):
                found[key] = gives.mixed
                break
    return found


def _holds(most: Give, give: Counter[str]) -> bool:
    """Whether a give holds what is taken."""
    return (
        give["capped"] <= most.capped
        and give["open"] + give["eggs"] <= most.open
        and give["food"] <= most.food
        and give["shake"] <= most.shake
    )


def working_order(case: Case, boxes: list[Box]) -> list[Box]:
    """Hives split in their own right first; boxes of the same donors side by side, so that one is finished
    before the next is begun."""

    def rank(box: Box) -> tuple[bool, int, list[str]]:
        return case.demand.of(box.line).hive is None, box.line, sorted(h.id for h, _, _ in box.takes)

    return sorted(boxes, key=rank)


def next_order(orders: list[tuple[str, int]]) -> str:
    """Take the next split of a batch from its order rows, first row first."""
    name, n = orders[0]
    orders[0] = (name, n - 1)
    if n == 1:
        orders.pop(0)
    return name


def takes_of(splits: tuple[NamedSplit, ...], visit: int) -> tuple[Take, ...]:
    """All takes at one visit, box by box."""
    return tuple(
        Take(hive.id, kind, n, split.id, bees)
        for split in splits
        for at, takes, bees in split.sides
        if at == visit
        for hive, kind, n in takes
    )


def opened_in_order(case: Case, splits: tuple[NamedSplit, ...], visit: int) -> tuple[Hive, ...]:
    """Hives opened at a visit: those split in their own right first (they may carry queen cells), then queen
    mothers, bad tempers last, else as the boxes need them."""
    seen: dict[str, Hive] = {}
    mothers = set()
    for hive, kind, _ in (t for s in splits for at, takes, _ in s.sides if at == visit for t in takes):
        seen.setdefault(hive.id, hive)
        if kind in ("eggs", "queen"):
            mothers.add(hive.id)
    parted = {batch.hive for batch in case.demand.batches}
    ranked = sorted(seen.values(), key=lambda h: (h.id not in parted, h.temper == "bad", h.id not in mothers))
    return tuple(ranked)


def as_worked(case: Case, found: Round, splits: tuple[NamedSplit, ...]) -> Round:
    """Return the round on the clock that its hives, worked in their quickest ways, really take.

    A hive that is due anyway counts nothing either way, so it may have been counted in a slower one. Hives
    worked in two passes are left as they are.
    """
    if found.counts.passes:
        return found
    opening = list(found.counts.opening)
    for i, made in enumerate(found.counts.made):
        takes = takes_of(splits, i)
        hives = opened_in_order(case, splits, i)
        worked = sum(way_of(case, h, tuple(t for t in takes if t.hive == h.id), False)[1] for h in hives)
        opening[i] = worked - sum(int(case.fill_s[k]) * n for k, n in enumerate(made))
    times = at_once(case, found.order, replace(found.counts, opening=tuple(opening)))
    return replace(found, times=times) if times and times.paid_s < found.paid_s else found


def way_of(case: Case, hive: Hive, takes: tuple[Take, ...], above: bool) -> tuple[str, int]:
    """Return the quickest way to be sure the queen is not on what leaves a hive, and what it takes in all.

    Of two passes (`above`: what leaves was set above an excluder before) it is what the second takes.
    """
    work, sure = Work(case.operation), case.operation.settings.sure
    frames = sum(t.frames for t in takes if t.kind not in ("shake", "queen"))
    shakes = sum(t.frames for t in takes if t.kind == "shake")
    queen = any(t.kind == "queen" for t in takes)

    def seconds(opening: int, found: bool) -> int:
        return opening + frames * work.frame_s(found) + shakes * work.shake_s(found)

    if above:
        return "excluder", seconds(work.second_pass_s(hive), True)
    ways = []
    if hive.queen == "queenless" or (sure.look and not queen):
        ways.append((seconds(work.open_s(hive), False), "look"))
    if hive.queen != "queenless" and (sure.hunt or queen):
        ways.append((seconds(work.open_s(hive) + work.hunt_s(hive), True), "hunt"))
    if sure.supers and hive.excluder and hive.supers and not frames and not queen:
        ways.append((seconds(work.top_s(), False), "supers"))
    spent, way = min(ways, key=lambda w: w[0])
    return way, spent
