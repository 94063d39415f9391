"""A plan made in mid-day: what is done cannot be undone, so rules it broke are told and not laid to the plan;
all the rest keeps every rule, and nothing that was made is lost.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from routeplan.audit.case import FRAMES, Case, named
from routeplan.audit.violation import Violation, count
from routeplan.field.entries import Entry
from routeplan.operation.world import HEALTH_USABLE
from routeplan.plan import Done, Plan, Split, box_numbers

EXCEPT = ("R4", "R5", "R6", "R8")
"""Rules that a split going back to its own yard may break: it is a labelled exception."""


def done_part(plan: Plan) -> Plan:
    """Return a plan of the visits done alone; what is aboard is left out of its splits."""
    assert plan.done is not None
    n = plan.done.stops
    splits = tuple(s for s in plan.splits if s.made_at <= n)
    return replace(plan, stops=plan.stops[:n], splits=splits, hives=(), done=None)


def facts(found: list[Violation], of_done: list[Violation]) -> tuple[list[Violation], list[Violation]]:
    """Part violations of a whole day into those of the plan and those of what is done already."""
    before = Counter(v.sentence() for v in of_done)
    own: list[Violation] = []
    told: list[Violation] = []
    for violation in found:
        (told if before[violation.sentence()] else own).append(violation)
    return own, told


def without_exceptions(found: list[Violation], plan: Plan) -> list[Violation]:
    """Leave out what is allowed to splits that go back, and to boxes for which no quicker way is left."""
    done = plan.done
    if done is None:
        return found
    backs = _back_stops(plan, done)
    return [v for v in found if not _excepted(v, plan, done, backs)]


def _back_stops(plan: Plan, done: Done) -> set[int]:
    """Numbers of visits that do nothing but bring splits back where they came from."""
    kept, splits = {k.split: k.yard for k in done.kept}, {s.id for s in plan.splits}
    given = {yard for split, yard in kept.items() if split not in splits}
    return {
        i
        for i, stop in enumerate(plan.stops, 1)
        if i > done.stops
        and (stop.places or stop.yard in given)
        and not stop.makes
        and not stop.begins
        and not stop.takes
        and all(kept.get(s) == stop.yard for s in stop.places)
    }


def _excepted(violation: Violation, plan: Plan, done: Done, backs: set[int]) -> bool:
    if violation.rule == "R9":
        return violation.where[0] in done.late or violation.where[0] in {k.split for k in done.kept}
    kept = {k.split: k.yard for k in done.kept}
    if violation.rule == "R5" and violation.where[0] in kept:
        return True
    at_back = any(violation.what.startswith((f"stop {i} ", f"stop {i}:")) for i in backs)
    if violation.rule in ("R4", "R8") and at_back:
        return True
    if violation.rule == "R6":
        here = [s for s in violation.where if s in kept]
        return bool(here) and violation.amount <= len(here)
    return False


def kept_rules(case: Case) -> Iterator[Violation]:
    """R17: a plan made in mid-day loses no split, undoes nothing, and keeps suspicion where it is."""
    done = case.plan.done
    if done is None:
        return
    if not 0 <= done.stops <= len(case.plan.stops):
        yield _fault(
            f"{done.stops} stops are said to be done, the plan has {len(case.plan.stops)}", 1, "stops"
        )
        return
    yield from _forward(case, done)
    yield from _known(case, done)
    yield from _opened_twice(case, done)
    yield from _stay(case, done)
    yield from _given_back(case, done)
    yield from _clean(case, done)


def _fault(text: str, amount: float, unit: str, *where: str) -> Violation:
    return Violation("R17", text, amount, unit, where)


def _forward(case: Case, done: Done) -> Iterator[Violation]:
    """Nothing is planned before the time from which the rest is planned."""
    for i, stop in case.numbered:
        if i > done.stops and stop.arrive < done.at:
            early = done.at - stop.arrive
            yield _fault(
                f"stop {i} at {stop.yard} begins before the rest of the day does", early, "s", stop.yard
            )
        if i <= done.stops and stop.depart > done.at:
            late = stop.depart - done.at
            yield _fault(
                f"stop {i} at {stop.yard} is done, and left after the rest begins", late, "s", stop.yard
            )


def _known(case: Case, done: Done) -> Iterator[Violation]:
    for split in (*done.late, *(s for s, _ in done.traced)):
        if split not in case.splits:
            yield _fault(f"split {split} is named among exceptions and is not in the plan", 1, "split", split)
    for split in done.late:
        begun = case.begun.get(split, done.stops + 1) <= done.stops
        if split in case.splits and case.splits[split].made_at > done.stops and not begun:
            yield _fault(f"split {split} is to be shut in too long, and is not made yet", 1, "split", split)


def _opened_twice(case: Case, done: Done) -> Iterator[Violation]:
    """A hive that has given is not asked again."""
    had = {(s.yard, h) for i, s in case.numbered if i <= done.stops for h in s.opens}
    for i, stop in case.numbered:
        for hive in stop.opens if i > done.stops else ():
            if (stop.yard, hive) in had:
                yield _fault(
                    f"{named((stop.yard, hive))} has given today and is opened again at stop {i}", 1, "hive"
                )


def _stay(case: Case, done: Done) -> Iterator[Violation]:
    """Splits that go back come from that very yard, are made already, and go there last or at once."""
    for kept in done.kept:
        split = case.splits.get(kept.split)
        if split is None:
            continue
        if kept.yard not in _sources(case, split):
            yield _fault(
                f"split {split.id} is to go back to {kept.yard}, it has nothing from there", 1, "split"
            )
        if split.made_at > done.stops:  # a box that is only begun is no split yet
            yield _fault(f"split {split.id} is made only to go back to {kept.yard}", 1, "split", split.id)
        at = case.placed.get(split.id, 0)
        if at and case.plan.stops[at - 1].yard != kept.yard:
            yield _fault(f"split {split.id} is to go back to {kept.yard} and does not", 1, "split", split.id)
        yield from _last_or_at_once(case, done, f"split {split.id}", kept.yard, at)


def _given_back(case: Case, done: Done) -> Iterator[Violation]:
    """A box that is no split was begun: it is brought back, last or at once."""
    yards = {k.split: k.yard for k in done.kept}
    for box, at in case.given_back.items():
        if at > len(case.plan.stops):
            yield _fault(f"box {box} is to go back to {yards[box]} and is not brought there", 1, "box", box)
        else:
            yield from _last_or_at_once(case, done, f"box {box}", yards[box], at)


def _last_or_at_once(case: Case, done: Done, what: str, yard: str, at: int) -> Iterator[Violation]:
    backs = _back_stops(case.plan, done)
    before = [s.yard for i, s in case.numbered if done.stops < i < at]
    after = [i for i, _ in case.numbered if i > at and i not in backs]
    here = case.plan.stops[done.stops - 1].yard if done.stops else None
    if after and (before or here != yard):
        text = f"{what} goes back to {yard} before {count(len(after), 'other visit')}"
        yield _fault(text, len(after), "stops", what.split()[-1])


def _sources(case: Case, split: Split) -> set[str]:
    return {yard for yard, _ in case.donors[split.id]}


def _clean(case: Case, done: Done) -> Iterator[Violation]:
    """A box with frames of a yard in doubt goes to no clean yard; one placed before is listed."""
    kept, traced = {k.split for k in done.kept}, dict(done.traced)
    for split in case.splits.values():
        ill = sorted(y for y in _sources(case, split) if _in_doubt(case, y))
        if not ill:
            continue
        at = case.placed.get(split.id, 0)
        if at <= done.stops and split.to_yard in ill:  # it went back before
            continue
        if at <= done.stops and split.id not in traced:
            first = min(i for i, s in case.numbered if s.yard in ill)
            later = any(t == split.to_yard for t in traced.values()) and first > done.stops
            if not later and not _own_trace(case, split, traced, ill):
                yield _fault(
                    f"split {split.id} has frames from {ill[0]} and is not traced", 1, "split", split.id
                )
        elif at > done.stops and split.id not in kept and not _own_trace(case, split, traced, ill):
            text = f"split {split.id} has frames from {ill[0]}, where health is in doubt: it may not go on"
            yield _fault(text, 1, "split", split.id)


def _own_trace(case: Case, split: Split, traced: dict[str, str], ill: list[str]) -> bool:
    """Whether the yard is in doubt only for a split that was brought there."""
    return all(y in traced.values() for y in ill)


def _in_doubt(case: Case, yard: str) -> bool:
    return yard in case.yards and case.yards[yard].health not in HEALTH_USABLE


def lost(new: Plan, notes: tuple[Entry, ...], before: Plan) -> list[Violation]:
    """Compare a new plan with the notes about the plan before.

    Every box noted as made stands among what is done, with the frames noted; every box noted as placed is not
    placed again; one that got frames is made, begun or given back.
    """
    found: list[Violation] = []
    assert new.done is not None
    by_number = {n: s for s, n in box_numbers(before).items()}
    splits, n = {s.id: s for s in new.splits}, new.done.stops
    taken: dict[tuple[str, str], Counter[tuple[str, str]]] = {}
    given_up: set[tuple[str, str]] = set()
    for entry in notes:
        split = by_number.get(entry.box or 0, "")
        if entry.what == "split_made" and (split not in splits or splits[split].made_at > n):
            found.append(_fault(f"box {entry.box} is made and not among what is done", 1, "box", split))
        if entry.what == "split_placed" and split in splits and splits[split].placed_at > n:
            found.append(_fault(f"box {entry.box} is placed and is placed again", 1, "box", split))
        at = split, _yard_of(entry, before, split)
        if entry.what == "could_not" and split:
            given_up.add(at)
        if entry.what == "frame_taken":
            row = taken.setdefault(at, Counter())
            for column, kind in (("capped", "capped"), ("open", "open"), ("food", "food"), ("bees", "shake")):
                row[entry.hive, kind] += int(getattr(entry.found, column) or 0)
    kept = {k.split for k in new.done.kept}
    for (split, yard), noted in taken.items():
        if (split, yard) in given_up or split in kept - splits.keys():
            continue
        if split not in splits or not 0 < (splits[split].begun_at or splits[split].made_at) <= n:
            found.append(_fault(f"split {split} has frames from {yard} and is lost", 1, "split", split))
            continue
        is_so: Counter[tuple[str, str]] = Counter()
        for stop in (s for s in new.stops[:n] if s.yard == yard):
            for take in stop.takes:
                if take.split == split and take.kind in (*FRAMES, "shake"):
                    kind = "open" if take.kind in ("eggs", "mixed") else take.kind
                    is_so[take.hive, kind] += take.frames
        if +is_so != +noted:
            found.append(_fault(f"split {split} got other frames at {yard} than noted", 1, "split", split))
    return found


def _yard_of(entry: Entry, plan: Plan, split: str) -> str:
    """The yard a line of notes about a box is from."""
    if entry.yard:
        return entry.yard
    made_at = next((s.made_at for s in plan.splits if s.id == split), 0)
    number = entry.stop or made_at
    return plan.stops[number - 1].yard if 0 < number <= len(plan.stops) else ""
