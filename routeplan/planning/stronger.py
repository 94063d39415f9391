"""Which kits were made stronger than they are written, and why, in plain sentences."""

from collections.abc import Iterable

from routeplan.planning.case import Case


def stronger_kits(case: Case, made: Iterable[tuple[str, int]]) -> list[str]:
    """Return a sentence for each kit among the splits made (name, line) that is stronger; where an order got
    several kits it says which splits got it."""
    demand, settings = case.demand, case.operation.settings
    said, splits = [], list(made)
    for k in sorted({line for _, line in splits}):
        batch, line = demand.of(k), demand.lines[k]
        more = [
            f"{new} {word} rather than {old}"
            for word, old, new in (
                ("capped", batch.kit.capped, line.kit.capped),
                ("open", batch.kit.open, line.kit.open),
                ("shakes", batch.kit.shakes, line.kit.shakes),
            )
            if new > old
        ]
        if more:
            orders = " and ".join(f"“{order}”" for order, _ in batch.orders)
            if any(demand.lines[other].batch == line.batch and other != k for _, other in splits):
                names = [name for name, of in splits if of == k]
                orders += f" ({', '.join(names)})"
            sale = f", with {batch.ready_by} as its day of sale" if batch.ready_by else ""
            why = f"a split keeps {settings.floors.split_bees:,.0f} bees at its lowest{sale}"
            why = f"no brood of hive {batch.hive} is left behind" if batch.break_up else why
            said.append(f"Order {orders} on {line.frame} frames gets {', '.join(more)}, so that {why}.")
    return said
