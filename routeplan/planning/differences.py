"""What is different from the plan before, and why, in sentences for the crew."""

from collections.abc import Iterator

from routeplan.field.state import State
from routeplan.plan import Plan, box_numbers, clock

SKIPPED = "{yard} is left out: {why}."
GONE = "{yard} is not visited any more."
NEW = "{yard} is visited, which was not in the plan: {does}."
ORDER = "The visits are now: {order}."
TO = "{boxes} to {yard} in place of {old}."
FROM = "{boxes} made at {yard} in place of {old}."
ALONE = "{boxes} made at {yard} alone, not begun at {old}."
MISSING = "{boxes} not made: {why}."
DONORS = "At {yard} hive {new} gives in place of {old}."
MORE_DONORS = "At {yard} hive {new} gives too."
FEWER_DONORS = "At {yard} hive {old} gives nothing."
BACK = "{boxes} back to {yard}: {why}."
LATE = "{boxes} shut in longer than the heat allows: give air and shade, wet the screen, place without delay."
HOME = "Back home at {new}, {old} was planned."
NOTHING = "Nothing else changes."


def differences(state: State, new: Plan) -> tuple[str, ...]:
    """List what changes, after what was taken for granted."""
    said = [*state.told, *_said(state, new)]
    return tuple(dict.fromkeys(said)) or (NOTHING,)


def _said(state: State, new: Plan) -> Iterator[str]:
    old, numbers = state.plan, {**box_numbers(state.plan), **box_numbers(new)}
    for n, why in state.skipped.items():
        yield SKIPPED.format(yard=old.stops[n - 1].yard, why=why)
    yield from _visits(state, new)
    yield from _boxes(old, new, numbers)
    yield from _donors(state, new)
    assert new.done is not None
    by_yard: dict[tuple[str, str], list[int]] = {}
    for kept in new.done.kept:
        by_yard.setdefault((kept.yard, kept.why), []).append(numbers[kept.split])
    for (yard, why), boxes in by_yard.items():
        yield BACK.format(boxes=_named(boxes, "goes", "go"), yard=yard, why=why)
    if new.done.late:
        boxes = [numbers[s] for s in new.done.late]
        yield LATE.format(boxes=_named(boxes, "is", "are"))
    if abs(new.totals.back_home - old.totals.back_home) >= 60:
        yield HOME.format(new=clock(new.totals.back_home)[:5], old=clock(old.totals.back_home)[:5])


def _visits(state: State, new: Plan) -> Iterator[str]:
    assert new.done is not None
    left = [
        s.yard
        for i, s in enumerate(state.plan.stops)
        if i not in state.done_of and i + 1 not in state.skipped
    ]
    now = [s.yard for s in new.stops[new.done.stops :]]
    for yard in dict.fromkeys(left):
        if yard not in now:
            yield GONE.format(yard=yard)
    before = {s.yard for s in state.plan.stops}
    for stop in new.stops[new.done.stops :]:
        if stop.yard not in before:
            parts = ((len(stop.places), "placed"), (len(stop.makes), "made"))
            does = [f"{n} {what}" for n, what in parts if n]
            yield NEW.format(yard=stop.yard, does=", ".join(does))
    common = [y for y in now if y in left]
    if common != [y for y in left if y in now] and now:
        yield ORDER.format(order=", ".join(now))


def _boxes(old: Plan, new: Plan, numbers: dict[str, int]) -> Iterator[str]:
    before, after = {s.id: s for s in old.splits}, {s.id: s for s in new.splits}
    kept = {k.split for k in new.done.kept} if new.done else set()
    moves: dict[tuple[str, str, str], list[int]] = {}
    for split, was in before.items():
        now = after.get(split)
        if now is None and split in kept:  # only begun, and given back
            continue
        if now is None:
            why = next((u.reason for u in new.unplaced if u.order == was.order), "")
            moves.setdefault((MISSING, "", why), []).append(numbers[split])
            continue
        if now.from_yard != was.from_yard:
            moves.setdefault((FROM, now.from_yard, was.from_yard), []).append(numbers[split])
        if was.begun_at and not now.begun_at:
            moves.setdefault((ALONE, now.from_yard, was.begun_yard), []).append(numbers[split])
        if now.to_yard != was.to_yard and split not in kept:
            moves.setdefault((TO, now.to_yard, was.to_yard), []).append(numbers[split])
    for (text, yard, other), boxes in moves.items():
        one, many = ("goes", "go") if text == TO else ("is", "are")
        yield text.format(boxes=_named(boxes, one, many), yard=yard, old=other, why=other)


def _donors(state: State, new: Plan) -> Iterator[str]:
    """By yard, hives that give now and did not, and the other way round."""

    def giving(plan: Plan) -> dict[str, list[str]]:
        hives: dict[str, list[str]] = {}
        for stop in plan.stops:
            if stop.takes:
                hives.setdefault(stop.yard, []).extend(dict.fromkeys(t.hive for t in stop.takes))
        return hives

    before, after = giving(state.plan), giving(new)
    for yard in before:
        if yard not in after:
            continue
        gone = [h for h in before[yard] if h not in after[yard]]
        fresh = [h for h in after[yard] if h not in before[yard]]
        for h, g in zip(fresh, gone, strict=False):
            yield DONORS.format(yard=yard, new=h, old=g)
        for h in fresh[len(gone) :]:
            yield MORE_DONORS.format(yard=yard, new=h)
        for g in gone[len(fresh) :]:
            yield FEWER_DONORS.format(yard=yard, old=g)


def _named(boxes: list[int], one: str, many: str) -> str:
    names = [str(n) for n in sorted(boxes)]
    if len(names) == 1:
        return f"Box {names[0]} {one}"
    return f"Boxes {', '.join(names[:-1])} and {names[-1]} {many}"
