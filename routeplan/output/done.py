"""Which looks after a plan are done, by the looks in the hives table.

A look at the colony on its day or later does what was due, one day early counts too. Eggs end what is looked
for until a queen lays: from the fourth day on they are not those that came with the combs.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from routeplan.colony.follow_ups import TEST_FRAME
from routeplan.operation.world import Look as Seen
from routeplan.output.looks import Look, look_of, who
from routeplan.plan import Plan, box_numbers, split_name

EARLY_DAYS = 1
HATCHED_DAYS = 4
"""An egg hatches after three days (standard stage length)."""
UNTIL_SHE_LAYS = ("look", "doubt", "closed")
"""Kinds of looks that eggs end."""
BY_LOOKING = ("look", "doubt", "cell", "sale")
"""Kinds that are done by a look."""
ON_FRAME = "test frame in hive {hive}"


def _hers(look: Seen, seen: Iterable[Seen]) -> bool:
    """Whether eggs were seen that cannot be those of a test frame given before."""
    given = (other.day for other in seen if other.test_frame and other.day <= look.day)
    return look.eggs and all(look.day >= day + timedelta(HATCHED_DAYS) for day in given)


def frames_given(seen: Collection[Seen], until: date) -> Iterator[tuple[date, Look]]:
    """Yield the day a test frame was given and the look at it, its days counted from then, for each that
    nobody has looked at by then.

    A look at the colony from a day before the first of its days on does it.
    """
    for one in seen:
        first = one.day + timedelta(TEST_FRAME.first - EARLY_DAYS)
        again = (other.day for other in seen if (other.yard, other.hive) == (one.yard, one.hive))
        if one.test_frame and one.day <= until and not any(first <= day <= until for day in again):
            look = look_of(TEST_FRAME, one.yard)
            yield one.day, replace(look, who=ON_FRAME.format(hive=one.hive), hives=(one.hive,))


class Done:
    """What was seen of the splits and hives of one plan, up to a day."""

    def __init__(self, plan: Plan, seen: Iterable[Seen], until: date = date.max) -> None:
        self.plan, self.boxes = plan, box_numbers(plan)
        self.to_yard = {s.id: s.to_yard for s in plan.splits}
        self.seen: dict[tuple[str, str], list[Seen]] = {}
        for one in seen:
            if plan.day < one.day <= until:
                self.seen.setdefault((one.yard, one.hive), []).append(one)

    def left(self, look: Look) -> Look | None:
        """Return the look at those only for which it is not done yet; None when it is done for all."""
        splits = tuple(s for s in look.splits if not self._is_done(look, self._of_split(s)))
        hives = tuple(h for h in look.hives if not self._is_done(look, self.seen.get((look.yard, h), ())))
        return who(look, self.boxes, splits, hives) if splits or hives else None

    def _of_split(self, split: str) -> Sequence[Seen]:
        """Looks at a split: as a hive of its yard, else of the one yard with such a name (it moved)."""
        name, yard = split_name(self.plan.day, self.boxes[split]), self.to_yard[split]
        if (yard, name) in self.seen:
            return self.seen[yard, name]
        elsewhere = [key for key in self.seen if key[1] == name]
        return self.seen[elsewhere[0]] if len(elsewhere) == 1 else ()

    def _is_done(self, look: Look, seen: Sequence[Seen]) -> bool:
        def after(days: int) -> date:
            return self.plan.day + timedelta(days)

        if look.kind in UNTIL_SHE_LAYS and any(s.day >= after(HATCHED_DAYS) and _hers(s, seen) for s in seen):
            return True
        if look.kind == "mites":
            return any(s.treated_until is not None and s.treated_until >= after(look.first) for s in seen)
        return look.kind in BY_LOOKING and any(s.day >= after(look.first - EARLY_DAYS) for s in seen)
