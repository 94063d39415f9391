"""R18: what is said to fall away if a stop is left out does, all of it, and nothing else."""

from collections import Counter
from collections.abc import Iterable, Iterator

from routeplan.audit.case import Case
from routeplan.audit.placing import TOUCH_M
from routeplan.audit.times import SAME_S, shut_in_limit_s
from routeplan.audit.violation import Violation, count
from routeplan.plan import Skip, Split


def skips(case: Case) -> Iterator[Violation]:
    """R18: each stop still to come has one row; it names the splits not made, the boxes left aboard, where
    those can go instead, and the stops that are needless."""
    right = {row.stop: row for row in skip_rows(case)}
    listed = Counter(row.stop for row in case.plan.skips)
    for n in sorted(right.keys() | listed.keys()):
        if n not in right:
            yield _fault(
                f"what falls away without stop {n} is said, no such stop is to come", listed[n], "rows"
            )
        elif listed[n] != 1:
            text = f"what falls away without stop {n} is said {count(listed[n], 'time')}, not once"
            yield _fault(text, abs(listed[n] - 1), "times")
    for row in case.plan.skips:
        if row.stop in right:
            yield from _row(case, row, right[row.stop])


def _fault(text: str, amount: float, unit: str, *where: str) -> Violation:
    return Violation("R18", text, amount, unit, where)


def _row(case: Case, row: Skip, right: Skip) -> Iterator[Violation]:
    who = f"without stop {row.stop} at {case.plan.stops[row.stop - 1].yard}"
    places = ([f"{s} to stop {n}" for s, n in one.elsewhere] for one in (row, right))
    stops = ([f"stop {n}" for n in one.needless] for one in (row, right))
    for what, said, found in (
        ("splits not made", row.not_made, right.not_made),
        ("boxes left aboard", row.aboard, right.aboard),
        ("boxes that can go elsewhere", *places),
        ("stops with nothing left to do", *stops),
    ):
        off = len(set(said) ^ set(found)) + len(said) - len(set(said))
        if off:
            text = f"{who}: {what} are given as {_listed(said)}, it comes to {_listed(found)}"
            yield _fault(text, off, "entries", case.plan.stops[row.stop - 1].yard)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names) or "none"


def skip_rows(case: Case) -> list[Skip]:
    """Return what falls away without each stop still to come, worked out split by split."""
    done = case.plan.done.stops if case.plan.done else 0
    fed = {split: _fed_at(case, split) for split in case.splits}
    return [_skip(case, fed, n) for n, _ in case.numbered if n > done]


def _fed_at(case: Case, split: str) -> set[int]:
    """Numbers of the stops that a split cannot be made without."""
    found = {case.made[split]} if split in case.made else set()
    for i, stop, take in case.takes():
        if take.split == split:
            found.add(i)
            found |= {
                j
                for j, before in case.numbered
                if j < i and before.yard == stop.yard and any(s.hive == take.hive for s in before.sets)
            }
    return found


def _skip(case: Case, fed: dict[str, set[int]], n: int) -> Skip:
    lost = tuple(s for s in case.splits if n in fed[s])
    aboard = tuple(s for s in case.splits if case.placed.get(s) == n and s not in lost)
    elsewhere = tuple(_elsewhere(case, aboard, lost, n))
    filled = {m for _, m in elsewhere}
    needless = []
    for m, _ in case.numbered:
        served = [s for s in case.splits if m in fed[s] or case.placed.get(s) == m]
        if m > n and served and m not in filled and set(served) <= set(lost):
            needless.append(m)
    return Skip(n, lost, aboard, elsewhere, tuple(needless))


def _elsewhere(
    case: Case, aboard: tuple[str, ...], lost: tuple[str, ...], n: int
) -> Iterator[tuple[str, int]]:
    """For each box left aboard the first later stop that can take it, those before it in the list first."""
    stays = {k.split for k in case.plan.done.kept} if case.plan.done else set()
    given: Counter[str] = Counter()
    for split_id in aboard:
        split = case.splits[split_id]
        for m, stop in case.numbered[n:]:
            here = [s for s, at in case.placed.items() if case.plan.stops[at - 1].yard == stop.yard]
            taken = len(set(here) - set(lost)) + given[stop.yard]
            if split_id not in stays and _can_stand(case, split, n, m, taken):
                given[stop.yard] += 1
                yield split_id, m
                break


def _can_stand(case: Case, split: Split, n: int, m: int, taken: int) -> bool:
    """Whether a box can be placed at stop m, where boxes are placed as planned and `taken` stand then."""
    stop, order = case.plan.stops[m - 1], case.orders.get(split.order)
    yard = case.yards.get(stop.yard)
    if yard is None or stop.opened is None or stop.yard == case.plan.stops[n - 1].yard:
        return False
    if order is not None and order.to_yard is not None:
        return False
    if yard.room is not None and taken >= yard.room:
        return False
    bees = [case.plan.stops[i - 1] for i in case.with_bees.get(split.id, [])]
    if not bees or any(b.yard not in case.yards for b in bees):
        return False
    least = case.operation.settings.minimum_distance_m - TOUCH_M
    near = any(case.roads.flying_m(b.yard, stop.yard) < least for b in bees)
    return not near and stop.opened - bees[0].depart <= shut_in_limit_s(case.operation) + SAME_S
