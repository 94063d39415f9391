"""Rounds without visits that do nothing, and without hives said to be opened where none is."""

from dataclasses import replace

from routeplan.planning.boxes import Boxes
from routeplan.planning.case import Case
from routeplan.planning.drive import as_early, driven_from
from routeplan.planning.order import Counts, Order, Round, Visit


def needed(found: Round) -> tuple[list[int], Order]:
    """Return the visits that do something, and their order: hives are opened where splits are made or combs
    are set above an excluder."""
    into = {j for _, j, _, _ in found.counts.moved}
    above = {i for i, _, _ in found.counts.passes}
    makes = [any(made) or i in above for i, made in enumerate(found.counts.made)]
    kept = [i for i in range(len(found.order)) if makes[i] or i in into]
    return kept, tuple(Visit(found.order[i].yard, makes[i]) for i in kept)


def shortened(case: Case, found: Round) -> Round | None:
    """Return a round without its needless visits, all else left as it is; None where its clock does not
    allow it. What it counts is left to the judge."""
    kept, order = needed(found)
    at, counts = {visit: i for i, visit in enumerate(kept)}, found.counts
    fewer = Counts(
        made=tuple(counts.made[i] for i in kept),
        moved=tuple((at[i], at[j], k, n) for i, j, k, n in counts.moved),
        opening=tuple(counts.opening[i] for i in kept),
        beside=tuple(counts.beside[i] for i in kept),
        aside_s=counts.aside_s,
        first=tuple(counts.first_s(i) for i in kept),
        passes=tuple((at[i], at[j], n) for i, j, n in counts.passes),
    )
    times = driven_from(case, order, fewer, found.times.leave_home)
    if times is None:
        return None
    times = as_early(case, order, fewer, times)
    boxes = {yard: _boxes(found, order, kept, yard) for yard in found.boxes}
    return replace(found, order=order, counts=fewer, times=times, boxes=boxes)


def _boxes(found: Round, order: Order, kept: list[int], yard: int) -> Boxes:
    """A yard's boxes, its visits with hives opened counted anew."""
    before = [i for i, v in enumerate(found.order) if v.yard == yard and v.opens]
    after = [i for i, v in zip(kept, order, strict=True) if v.yard == yard and v.opens]
    rank, boxes = {before.index(i): n for n, i in enumerate(after)}, found.boxes[yard]
    return replace(
        boxes,
        boxes=tuple(replace(box, visit=rank[box.visit]) for box in boxes.boxes),
        opening_s=tuple(boxes.opening_s[n] for n in rank),
        first_s=tuple(boxes.first_s[n] for n in rank),
        passes=tuple((hive, rank[i], rank[j]) for hive, i, j in boxes.passes),
    )
