"""The most of each kind a hive could give alone, for what the plan says of every hive."""

from collections import Counter
from collections.abc import Iterator

from routeplan.audit.case import TAKEN, Case, Key, named, sure_of_frames
from routeplan.audit.figures import figure
from routeplan.audit.giving import is_allowed
from routeplan.audit.violation import Violation
from routeplan.operation.world import KINDS

NOTHING = Counter(dict.fromkeys(TAKEN, 0))
"""Every kind named: asking a Counter for what it does not hold takes longer."""


def could(case: Case) -> Iterator[Violation]:
    """R13: what a hive is said to be able to give is the most its rules allow of each kind alone."""
    for line in case.plan.hives:
        key = (line.yard, line.hive)
        if key not in case.hives:
            continue
        said = Counter(dict(line.could))
        for kind in KINDS:
            what = f"{named(key)}: what it could give of {kind}"
            yield from figure(what, said[kind], most_alone(case, key, kind), "frames", key)


def most_alone(case: Case, key: Key, kind: str) -> int:
    """Return the most frames (or shakes) of one kind that this hive may give when it gives nothing else."""
    limits, sure, hive = case.operation.settings.limits, case.operation.settings.sure, case.hives[key]
    above = sure.supers and hive.excluder and hive.supers > 0
    if key in case.own_right or not (sure_of_frames(case.operation) or (above and kind == "shake")):
        return 0
    brood = max(limits.brood_per_donor, limits.brood_per_strong_donor)
    highest = {"food": limits.food_per_donor, "shake": limits.shakes_per_donor}.get(kind, brood)
    give = Counter(NOTHING)
    for n in range(1, highest + 1):  # what may not leave alone may not leave with one more either
        give[kind] = n
        if not is_allowed(case, key, give):
            return n - 1
    return highest
