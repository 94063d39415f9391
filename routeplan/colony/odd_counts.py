"""What odd counts tell: brood far off 1 : 2 : 4, frames of a size that is not known."""

from collections import defaultdict

from routeplan.colony.formats import is_known
from routeplan.colony.strength import EGG_DAYS, LARVA_DAYS, brood_flag
from routeplan.operation.findings import Finding
from routeplan.operation.world import QUEENS_NOT_LAYING, Operation

FEW = 5


def odd_counts(operation: Operation) -> list[Finding]:
    """Return one warning for each thing that the counts of hives tell, naming the first of them."""
    told: dict[str, list[str]] = defaultdict(list)
    for hive in operation.hives:
        count = hive.count
        if count.capped is None or count.open is None or hive.queen in QUEENS_NOT_LAYING:
            continue
        eggs = count.open * EGG_DAYS / (EGG_DAYS + LARVA_DAYS)
        if words := brood_flag(eggs, count.open - eggs, count.capped):
            told[words].append(f"“{hive.id}” at {hive.yard}")
    found = [_finding("open", f"{_some(hives)}: {words}.", "Look again.") for words, hives in told.items()]
    for frame in sorted({h.frame for h in operation.hives if not is_known(h.frame)}):
        message = f"The size of “{frame}” frames is not known: bees and cells are counted as on deep frames."
        found.append(_finding("frame", message, "Use the name of a common format if it is one."))
    return found


def _some(hives: list[str]) -> str:
    more = f" and {len(hives) - FEW} more" if len(hives) > FEW else ""
    return (
        f"Hive {', '.join(hives[:FEW])}{more}" if len(hives) == 1 else f"Hives {', '.join(hives[:FEW])}{more}"
    )


def _finding(column: str, message: str, cure: str) -> Finding:
    return Finding("warning", "hives", None, column, "", message, cure)
