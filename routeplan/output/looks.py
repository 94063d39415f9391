"""The dated looks after a plan: who is looked at, when, what for, and what to do if it is not so."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from routeplan.colony.follow_ups import MAKE_A_TRIP, SPLITS, FollowUp, fewest_trips, of_hive, of_split
from routeplan.operation.settings import Queens
from routeplan.output import feeding, measures
from routeplan.output.day import Day, boxes_said
from routeplan.plan import Plan

IN_DOUBT = "only if in doubt: {look}"
IF_NOT = "{look} If {if_not}."


@dataclass(frozen=True)
class Look:
    """One look at boxes or hives of a yard, from day `first` to day `last` after the splitting day.

    `what` is what to look for or to do, `if_not` what to do if it is not so (it begins with the
    case: none, not), `kind` one of KINDS. `splits`, `hives`: those that are looked at, where they are told.
    """

    first: int
    last: int
    yard: str
    who: str
    what: str
    if_not: str = ""
    kind: str = "look"
    splits: tuple[str, ...] = ()
    hives: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """What to look for, and what to do if it is not so."""
        return IF_NOT.format(look=_ended(self.what), if_not=self.if_not) if self.if_not else self.what


def looks(day: Day) -> tuple[Look, ...]:
    """Return all looks of a day's plan, by day, those to feed among them."""
    queenless = {hive.key for hive in day.operation.hives if hive.queen == "queenless"}
    plain = looks_of(day.plan, day.boxes, day.operation.settings.queens, queenless)
    fed = [
        Look(n, n, yard, feeding.who(day, ones), feeding.what(day, ones), kind="feed")
        for n, yard, ones in feeding.by_trip(feeding.feedings(day))
        if n > 0
    ]
    return tuple(sorted([*plain, *fed], key=_order))


def looks_of(
    plan: Plan,
    boxes: Mapping[str, int],
    queens: Queens,
    queenless: Collection[tuple[str, str]] = (),
) -> tuple[Look, ...]:
    """Return all looks of a plan, by day; what is fed is not among them.

    Parameters
    ----------
    boxes : number of each split's box.
    queenless : hives (yard, hive) that were known to have no queen; one that gave raises one.
    """
    found = [*_at_splits(plan, boxes, queens), *_at_donors(plan, boxes, queens, queenless)]
    return tuple(sorted(found, key=_order))


def _order(look: Look) -> tuple[int, int, str]:
    return look.first, look.last, look.yard


def when(day: date, look: Look) -> str:
    """Write the day, or the days, of a look after the splitting day."""
    return measures.days_after(day, look.first, look.last)


def first_look(day: Day, way: str) -> str:
    """Return when a split is looked at next and what for."""
    step = next(step for step in SPLITS[way] if step.kind in ("look", "cell"))
    return f"{measures.days_after(day.plan.day, step.first, step.last)}: {step.look}"


def trips_needed(looks: Collection[Look]) -> int:
    """Return on how many days at least somebody must come to make these looks; those in doubt left out."""
    return fewest_trips([(look.first, look.last) for look in looks if look.kind in MAKE_A_TRIP])


def _at_splits(plan: Plan, boxes: Mapping[str, int], queens: Queens) -> Iterator[Look]:
    splits = sorted(plan.splits, key=lambda split: boxes[split.id])
    for yard in dict.fromkeys(s.to_yard for s in splits):
        for way in SPLITS:
            here = tuple(s.id for s in splits if s.queen == way and s.to_yard == yard)
            if here:
                yield from (who(look_of(step, yard), boxes, here) for step in of_split(way, queens))


def _at_donors(
    plan: Plan,
    boxes: Mapping[str, int],
    queens: Queens,
    queenless: Collection[tuple[str, str]],
) -> Iterator[Look]:
    parted = {(s.from_yard, s.donors[0]) for s in plan.splits if s.queen == "own cells" and s.donors}
    for yard in dict.fromkeys(s.yard for s in plan.stops if s.opens):
        stops = [s for s in plan.stops if s.yard == yard]
        queen_left = {t.hive for s in stops for t in s.takes if t.kind == "queen"}
        alike: dict[tuple[bool, bool], list[str]] = {}
        gone = {h for s in stops for h in s.broken_up}
        for hive in dict.fromkeys(h for s in stops for h in s.opens if h not in gone):
            left = hive in queen_left or (yard, hive) in queenless
            alike.setdefault((left, not left and (yard, hive) in parted), []).append(hive)
        for (left, own), hives in sorted(alike.items()):
            steps = of_hive(left, own, queens)
            yield from (who(look_of(step, yard), boxes, (), tuple(hives)) for step in steps)


def look_of(step: FollowUp, yard: str) -> Look:
    """Return a follow-up as a look in a yard, of nobody yet."""
    what = IN_DOUBT.format(look=step.look) if step.kind == "doubt" else step.look
    return Look(step.first, step.last, yard, "", what, step.if_not, step.kind)


def who(look: Look, boxes: Mapping[str, int], splits: tuple[str, ...], hives: tuple[str, ...] = ()) -> Look:
    """Return a look at these splits, or at these hives."""
    said = boxes_said(boxes, splits) if splits else measures.hives(hives)
    return replace(look, who=said, splits=splits, hives=hives)


def _ended(text: str) -> str:
    return text if text.endswith(("?", ".")) else f"{text}."
