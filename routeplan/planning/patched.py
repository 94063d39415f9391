"""Boxes filled as the plan before fills them where its hives still serve; only the others are filled anew."""

from collections import Counter
from dataclasses import dataclass, field, replace

from routeplan.operation.world import Hive
from routeplan.planning.boxes import LEAST, Box, Boxes, Within, fill_boxes
from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS
from routeplan.planning.drive import driven_from
from routeplan.planning.limits import Clock
from routeplan.planning.one_by_one import as_many, one_by_one
from routeplan.planning.openings import Give
from routeplan.planning.order import Counts, Order, Times
from routeplan.planning.work import Work
from routeplan.planning.yields import Option

ANEW_S, LATE_ANEW_S = 0.4, 0.1
"""Most seconds for filling the other boxes of a yard, and when the time for planning is over."""
NEVER = 10**7

Key = tuple[str, str]


@dataclass(frozen=True)
class Planned:
    """One box as the plan before fills it: `takes` (hive, kind, frames) of hives of `yard`."""

    order: str
    yard: str
    frame: str
    swap: str
    takes: tuple[tuple[str, str, int], ...]


@dataclass
class Patcher:
    """Fills boxes of one case; what was filled anew is remembered, as orders differ in few yards. `sure`:
    boxes of a yard that can be filled together, where not all asked for were."""

    case: Case
    planned: tuple[Planned, ...]
    clock: Clock
    filled: dict[tuple[int, tuple[int, ...], frozenset[Key]], tuple[Box, ...] | None] = field(
        default_factory=dict
    )
    sure: dict[int, tuple[Box, ...]] = field(default_factory=dict)

    def patched(self, order: Order, counts: Counts) -> tuple[Counts, Times, dict[int, Boxes]] | None:
        """Fill all boxes of an order, most of them as planned.

        Returns
        -------
        Counts with the seconds this takes, their clock, and the boxes by yard; None where a yard opens hives
        twice, some box cannot be filled quickly, or the hours do not hold it.
        """
        opening, beside = list(counts.opening), list(counts.beside)
        boxes: dict[int, Boxes] = {}
        for i, visit in enumerate(order):
            if not visit.opens or not any(counts.made[i]):
                continue
            if visit.yard in boxes:
                return None
            found = self._of_yard(visit.yard, counts.made[i])
            if found is None:
                return None
            boxes[visit.yard] = found
            opening[i], beside[i] = found.opening_s[0], found.beside_s
        aside = counts.aside_s + sum(beside) - sum(counts.beside)
        counts = replace(counts, opening=tuple(opening), beside=tuple(beside), aside_s=aside)
        times = driven_from(self.case, order, counts, self.case.start)
        return None if times is None else (counts, times, boxes)

    def most(self, order: Order, counts: Counts) -> dict[int, tuple[int, ...]]:
        """Return, for each yard whose boxes are not filled, how many of each line are: as planned and one by
        one."""
        caps = {}
        for i, visit in enumerate(order):
            made = counts.made[i]
            if any(made) and self._of_yard(visit.yard, made) is None:
                kept, left = _kept(self.case, visit.yard, list(made), self.planned)
                boxes, gives = kept
                hives = [h for d in self.case.donors[visit.yard] for h in d.hives]
                free = frozenset(h.key for h in hives if h.id not in gives)
                filled = (*boxes, *as_many(self.case, visit.yard, tuple(left), free))
                anew = as_many(self.case, visit.yard, made, frozenset(h.key for h in hives))
                self.sure[visit.yard] = filled if len(filled) >= len(anew) else anew
                lines = Counter(box.line for box in self.sure[visit.yard])
                caps[visit.yard] = tuple(lines[k] for k in range(len(made)))
        return caps

    def _surely(self, yard: int, made: tuple[int, ...]) -> Boxes | None:
        """Boxes of those known to be filled together."""
        left, boxes = list(made), []
        for box in self.sure.get(yard, ()):
            if left[box.line]:
                left[box.line] -= 1
                boxes.append(box)
        if any(left):
            return None
        gives: dict[str, list[int]] = {}
        for box in boxes:
            for hive, k, n in box.takes:
                gives.setdefault(hive.id, [0] * self.case.demand.width)[k] += n
        opening, beside = _opening(self.case, yard, gives)
        return Boxes(tuple(boxes), (opening,), beside, -NEVER, (0,), ())

    def _of_yard(self, yard: int, made: tuple[int, ...]) -> Boxes | None:
        return self._patched_yard(yard, made) or self._surely(yard, made)

    def _patched_yard(self, yard: int, made: tuple[int, ...]) -> Boxes | None:
        kept, left = _kept(self.case, yard, list(made), self.planned)
        boxes, gives = kept
        if not any(left):
            opening, beside = _opening(self.case, yard, gives)
            return Boxes(tuple(boxes), (opening,), beside, -NEVER, (0,), ())
        free = frozenset(h.key for d in self.case.donors[yard] for h in d.hives if h.id not in gives)
        more = self._anew(yard, tuple(left), free)
        if more is None:
            return None
        for box in more:
            for hive, k, n in box.takes:
                gives.setdefault(hive.id, [0] * self.case.demand.width)[k] += n
        opening, beside = _opening(self.case, yard, gives)
        return Boxes((*boxes, *more), (opening,), beside, -NEVER, (0,), ())

    def _anew(self, yard: int, left: tuple[int, ...], free: frozenset[Key]) -> tuple[Box, ...] | None:
        """The other boxes of a yard, from hives that are free; None where none were found quickly."""
        key = (yard, left, free)
        if key not in self.filled:
            seconds, most = max(LATE_ANEW_S, self.clock.share(ANEW_S)), Within((NEVER,), NEVER)
            try:
                found = fill_boxes(self.case, yard, (left,), most, seconds, LEAST, free)
                self.filled[key] = None if found is None else found.boxes
            except TimeoutError:
                self.filled[key] = one_by_one(self.case, yard, left, free)
        return self.filled[key]


Kept = tuple[list[Box], dict[str, list[int]]]


def _kept(case: Case, yard: int, left: list[int], planned: tuple[Planned, ...]) -> tuple[Kept, list[int]]:
    """The planned boxes that still serve and what each hive gives to them; the boxes left to fill."""
    name = case.operation.yards[yard].id
    hives = {h.id: h for d in case.donors[yard] for h in d.hives}
    batch_of = {order: b for b, batch in enumerate(case.demand.batches) for order, _ in batch.orders}
    gives: dict[str, list[int]] = {}
    boxes = []
    for box in planned:
        lines = _lines(case, box, batch_of)
        if box.yard != name or not lines or not {h for h, _, _ in box.takes} <= hives.keys():
            continue
        takes = _takes(case, lines[0], box, hives)
        got = tuple(sum(n for _, k, n in takes if k == kind) for kind in range(case.demand.width))
        line = next((k for k in lines if left[k] and case.demand.need(k) == got), None)
        if line is None:
            continue
        more = {h: list(give) for h, give in gives.items()}
        for hive, k, n in takes:
            more.setdefault(hive.id, [0] * case.demand.width)[k] += n
        if all(_option(case, yard, h, tuple(more[h])) for h in {hive.id for hive, _, _ in takes}):
            gives = more
            left[line] -= 1
            boxes.append(Box(0, line, tuple(takes)))
    return (boxes, gives), left


def _lines(case: Case, box: Planned, batch_of: dict[str, int]) -> list[int]:
    """Lines that a planned box may be of; they differ in the kit."""
    like = (batch_of.get(box.order), box.frame, box.swap)
    return [k for k, line in enumerate(case.demand.lines) if (line.batch, line.frame, line.swap) == like]


def _takes(case: Case, line: int, box: Planned, hives: dict[str, Hive]) -> list[tuple[Hive, int, int]]:
    """Takes by index of kind; a mixed frame counts as the kind it stands for, a part of a hive as one."""
    batch = case.demand.of(line)
    if batch.hive is not None:
        place = case.demand.own_right.index(case.demand.lines[line].batch)
        return [(hives[batch.hive], len(KINDS) + place, 1)]
    stands_for = {"mixed": "eggs" if batch.queen == "raise own" else "open"}
    counts: Counter[tuple[str, int]] = Counter()
    for hive, kind, n in box.takes:
        counts[hive, KINDS.index(stands_for.get(kind, kind))] += n
    return [(hives[hive], k, n) for (hive, k), n in counts.items()]


def _option(case: Case, yard: int, hive: str, give: Give) -> Option | None:
    """The way to work a hive that counts least and gives all this; None when there is none."""
    work = Work(case.operation)
    options = [o for d in case.donors[yard] if any(h.id == hive for h in d.hives) for o in d.options]
    queen = KINDS.index("queen")

    def holds(o: Option) -> bool:
        whole = all(a == b for a, b in zip(o.give[queen:], give[queen:], strict=True))
        return whole and all(a >= b for a, b in zip(o.give, give, strict=True))

    able = [o for o in options if holds(o)]
    return min(able, key=lambda o: _seconds(work, o, give)) if able else None


def _seconds(work: Work, option: Option, give: Give) -> int:
    return _clock_s(work, option, give) + option.against_s - option.off_s


def _clock_s(work: Work, option: Option, give: Give) -> int:
    saved = sum(s * n for s, n in zip(work.saved_s, give, strict=False)) if option.found else 0
    return option.open_s - saved


def _opening(case: Case, yard: int, gives: dict[str, list[int]]) -> tuple[int, int]:
    """Seconds on the clock and beside it of opening the hives that give so."""
    work, opening, beside = Work(case.operation), 0, 0
    for hive, give in gives.items():
        option = _option(case, yard, hive, tuple(give))
        assert option is not None
        opening += _clock_s(work, option, tuple(give))
        beside += option.against_s - option.off_s
    return opening, beside
