"""What the splits made have used of the stock at home."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from routeplan.operation.world import Operation, Stock
from routeplan.plan import Split


def stock_left(operation: Operation, made: Iterable[Split]) -> tuple[Stock, ...]:
    """Return the stock without what these splits have used, row by row: drawn combs where the kit wants them,
    for the rest what is listed first."""
    made = list(made)
    used: Counter[tuple[str, str]] = Counter()
    for split in made:
        kit = operation.kit(split.kit)
        food = kit.food if split.swap else 0
        kept = kit.frames if operation.breaks_up(split.order) else food  # nothing is put back for these
        used["drawn comb", split.frame] += kit.drawn
        used["any comb", split.frame] += kit.combs - kept - kit.drawn
        used["nuc box", split.frame] += 1
        used["food comb", split.frame] += kit.food if split.swap == "food comb" else 0
        used["feeder", ""] += split.swap == "feeder"
        used["mated queen", ""] += split.queen == "mated"
        used["ripe cell", ""] += split.queen == "ripe cell"
    fenced = {s.to_yard for s in made if s.placed_at}
    used["fence kit", ""] += sum(y.id in fenced and y.bear and y.fence is not True for y in operation.yards)
    left = [row.count for row in operation.stock]
    for what in ("own", "any comb"):  # drawn combs that a kit wants first
        for i, row in enumerate(operation.stock):
            key = (row.item, row.frame) if what == "own" else (what, row.frame)
            if what == "own" or row.item in ("foundation", "drawn comb"):
                n = min(left[i], used[key])
                used[key] -= n
                left[i] -= n
    return tuple(replace(row, count=n) for row, n in zip(operation.stock, left, strict=True))
