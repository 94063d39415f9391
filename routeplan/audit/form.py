"""Does the plan fit together at all? Unknown names, lists that disagree, numbers and times that cannot be.

A plan may be edited by hand; whatever is found here is a violation of rule "form", never an exception.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields

from routeplan.audit.case import TAKEN, Case, named
from routeplan.audit.violation import Violation, count, lasting
from routeplan.plan import STATUSES, Proof, Split, Stop, Totals

WORDS = {
    "drive_m": "metres driven",
    "drive_s": "seconds driven",
    "arrive": "the arrival",
    "early_s": "waiting for the yard to open",
    "set_up_s": "setting up",
    "fence_s": "setting up a fence",
    "place_s": "placing boxes",
    "wait_s": "waiting",
    "hive_s": "work on hives",
    "make_s": "making up splits",
    "leave_s": "clearing up",
    "depart": "the departure",
    "full": "full boxes",
    "empty": "empty boxes",
    "opened": "the opening of the boxes",
    "asked": "splits asked for",
    "placed": "splits placed",
    "leave_home": "leaving home",
    "back_home": "being back",
    "home_drive_m": "metres of the drive home",
    "home_drive_s": "seconds of the drive home",
    "paid_s": "the paid time",
    "yard_s": "setting up and clearing up",
    "hives_opened": "hives opened",
    "frames_taken": "frames taken",
    "most_splits": "the most splits possible",
    "objective_s": "all that counts",
    "bound_s": "the least time proved",
    "making_s": "the making of the splits",
    "later_s": "the trips after",
    "against_s": "what counts against it",
    "due_s": "hives that are due anyway",
    "road_s": "what the road is worth",
    "stuff_s": "what queens, combs and sugar are worth",
    "counted_s": "all that counts",
    "flying_m": "the distance from its parents",
}
"""How people say each figure of a plan."""


def form(case: Case) -> Iterator[Violation]:
    """The plan names only what exists, its lists agree, and its numbers and times can be."""
    yield from _same_day(case)
    yield from _known(case)
    yield from _known_in_lists(case)
    yield from _once(case)
    yield from _lists(case)
    yield from _takes(case)
    yield from _opened(case)
    yield from _numbers(case)
    yield from _in_time(case)


def _fault(text: str, *where: str, amount: float = 1, unit: str = "entry") -> Violation:
    return Violation("form", text, amount, unit, where)


def _same_day(case: Case) -> Iterator[Violation]:
    """The plan is for this operation's day and crew, and says how good it is in known words."""
    plan, crew = case.plan, case.operation.crew
    pairs = (
        ("day", plan.day.isoformat(), case.operation.day.isoformat()),
        ("crew", plan.crew, crew.name),
        ("number of people", str(plan.people), str(crew.people)),
    )
    for what, stated, right in pairs:
        if stated != right:
            yield _fault(f"the plan's {what} is {stated}, the tables say {right}")
    for status in (plan.proof.status, plan.proof.count_status):
        if status not in STATUSES:
            yield _fault(f"{status!r} is no word for how good a plan is; {', '.join(STATUSES)} are")


def _known(case: Case) -> Iterator[Violation]:
    """Yards, splits and hives named at the stops exist."""
    for i, stop in case.numbered:
        if stop.yard not in case.yards:
            yield _fault(f"stop {i}: no yard is called {stop.yard}", stop.yard)
        for split_id in dict.fromkeys((*stop.places, *stop.makes, *stop.begins)):
            if split_id not in case.splits:
                yield _fault(
                    f"stop {i} at {stop.yard}: split {split_id} is not in the list of splits", split_id
                )
        named_hives = (
            *stop.opens,
            *(s.hive for s in stop.sets),
            *(t.hive for t in stop.takes),
            *(p.hive for p in stop.puts_back),
        )
        for hive in dict.fromkeys(named_hives):
            if (stop.yard, hive) not in case.hives:
                yield _fault(f"stop {i}: there is no {named((stop.yard, hive))}", stop.yard, hive)


def _known_in_lists(case: Case) -> Iterator[Violation]:
    """Orders, kits, hives and kinds of frames named in the lists exist."""
    for split in case.plan.splits:
        if split.order not in case.orders:
            yield _fault(f"split {split.id}: no order is called {split.order}", split.id, split.order)
        if split.kit not in case.kits:
            yield _fault(f"split {split.id}: no kit is called {split.kit}", split.id, split.kit)
    for entry in case.plan.unplaced:
        if entry.order not in case.orders:
            yield _fault(f"not planned: no order is called {entry.order}", entry.order)
    for line in case.plan.hives:
        if (line.yard, line.hive) not in case.hives:
            yield _fault(f"list of hives: there is no {named((line.yard, line.hive))}", line.yard, line.hive)
        for kind, _ in (*line.could, *line.gives):
            if kind not in TAKEN:
                text = f"list of hives: {named((line.yard, line.hive))}: {kind!r} is no kind of frame"
                yield _fault(text, line.yard, line.hive)


def _once(case: Case) -> Iterator[Violation]:
    """Every split is listed once, made once and placed once; a hive stands once in the list of hives."""
    listed = Counter(s.id for s in case.plan.splits)
    made = Counter(s for stop in case.plan.stops for s in stop.makes)
    placed = Counter(s for stop in case.plan.stops for s in stop.places)
    for split_id, times in listed.items():
        if times > 1:
            yield _fault(
                f"split {split_id} is listed {times} times", split_id, amount=times - 1, unit="times"
            )
        for what, found in (("made", made[split_id]), ("placed", placed[split_id])):
            if found != 1:
                text = f"split {split_id} is {what} {count(found, 'time')}, not once"
                yield _fault(text, split_id, amount=abs(found - 1), unit="times")
    for (yard, hive), times in Counter((h.yard, h.hive) for h in case.plan.hives).items():
        if times > 1:
            text = f"list of hives: {named((yard, hive))} stands there {times} times"
            yield _fault(text, yard, hive, amount=times - 1, unit="times")


def _lists(case: Case) -> Iterator[Violation]:
    """What a split says of itself is what the stops say of it."""
    for split, made, placed in case.journeys():
        pairs = (
            ("the stop that makes it", str(split.made_at), str(case.made[split.id])),
            ("the stop that places it", str(split.placed_at), str(case.placed[split.id])),
            ("the yard it comes from", split.from_yard, made.yard),
            ("the yard it goes to", split.to_yard, placed.yard),
            ("its donors", ", ".join(sorted(split.donors)), _donor_names(case, split)),
        )
        for what, stated, right in pairs:
            if stated != right:
                said, found = stated or "none", right or "none"
                text = f"split {split.id}: {what} is given as {said}, the stops say {found}"
                yield _fault(text, split.id)


def _donor_names(case: Case, split: Split) -> str:
    at = case.begun.get(split.id)
    begun = {(stop.yard, take.hive) for i, stop, take in case.takes() if (take.split, i) == (split.id, at)}
    return ", ".join(sorted(hive for _, hive in case.donors[split.id] - begun))


def _takes(case: Case) -> Iterator[Violation]:
    """Frames leave in known kinds, at least one at a time, for a split made at that stop."""
    for i, stop in case.numbered:
        for take in stop.takes:
            at = f"stop {i} at {stop.yard}: hive {take.hive}"
            if take.kind not in TAKEN:
                yield _fault(f"{at} gives {take.kind!r}, which is no kind of frame", stop.yard, take.hive)
            if take.frames < 1:
                text = f"{at} gives {take.frames} {take.kind}"
                yield _fault(text, stop.yard, take.hive, amount=1 - take.frames, unit="frames")
            if take.split not in (*stop.makes, *stop.begins):
                yield _fault(
                    f"{at} gives to split {take.split}, which is not made there", take.split, stop.yard
                )


def _opened(case: Case) -> Iterator[Violation]:
    """The hives opened at a stop are those that give there, each once; boxes placed are opened."""
    for i, stop in case.numbered:
        for hive, times in Counter(stop.opens).items():
            if times > 1:
                text = f"stop {i}: {named((stop.yard, hive))} is opened {times} times"
                yield _fault(text, stop.yard, hive, amount=times - 1, unit="times")
        giving = {t.hive for t in stop.takes}
        for hive in sorted(giving ^ set(stop.opens)):
            fault = "gives without being opened" if hive in giving else "is opened and gives nothing"
            yield _fault(f"stop {i}: {named((stop.yard, hive))} {fault}", stop.yard, hive)
        if (stop.opened is None) == bool(stop.places):
            fault = "no time when its boxes are opened" if stop.places else "boxes opened, and none placed"
            yield _fault(f"stop {i} at {stop.yard}: {fault}", stop.yard)


def _numbers(case: Case) -> Iterator[Violation]:
    """No number is below zero (a time shut in follows from the order of stops: R7)."""
    for i, stop in case.numbered:
        yield from _negative(f"stop {i} at {stop.yard}", stop)
        for one in stop.sets:
            if one.combs < 1:
                text = f"stop {i}: {one.combs} combs of {named((stop.yard, one.hive))} go above an excluder"
                yield _fault(text, stop.yard, one.hive, amount=1 - one.combs, unit="frames")
        for put in stop.puts_back:
            if put.combs < 0:
                yield _fault(f"stop {i}: {put.combs} combs go back into hive {put.hive}", stop.yard, put.hive)
    for split in case.plan.splits:
        yield from _negative(f"split {split.id}", split)
    yield from _negative("the whole day", case.plan.totals)
    yield from _negative("how good", case.plan.proof)
    for entry in case.plan.unplaced:
        if entry.count < 1:
            yield _fault(f"order {entry.order}: {entry.count} splits listed as not planned", entry.order)


def _negative(at: str, thing: Stop | Split | Totals | Proof) -> Iterator[Violation]:
    for f in fields(thing):
        value = getattr(thing, f.name)
        if f.name in WORDS and isinstance(value, int) and value < 0:
            yield _fault(f"{at}: {WORDS[f.name]} is {value}, below zero", amount=-value, unit=_unit(f.name))


def _unit(name: str) -> str:
    """Return the unit of a figure of a plan by the end of its name."""
    if name.endswith("_m"):
        return "m"
    is_time = name.endswith("_s") or name in ("arrive", "depart", "opened", "leave_home", "back_home")
    return "s" if is_time else "count"


def _in_time(case: Case) -> Iterator[Violation]:
    """The day runs forward: home, each stop after the one before, home."""
    at, before = case.plan.totals.leave_home, "leaving home"
    for i, stop in case.numbered:
        yield from _backward(f"arriving at stop {i}", stop.arrive, before, at, stop.yard)
        yield from _backward(
            f"leaving stop {i}", stop.depart, f"arriving at stop {i}", stop.arrive, stop.yard
        )
        at, before = stop.depart, f"leaving stop {i}"
    yield from _backward("being back", case.plan.totals.back_home, before, at)


def _backward(what: str, at: int, before: str, earlier: int, *where: str) -> Iterator[Violation]:
    if at < earlier:
        text = f"{what} is {lasting(earlier - at)} before {before}"
        yield _fault(text, *where, amount=earlier - at, unit="s")
