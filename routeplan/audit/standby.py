"""R3 and R1 for what a crew does on sight: hives that stand by could give, and take rules say what is so."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from routeplan.audit.case import FRAMES, TAKEN, Case, Key, named, sure_of_frames
from routeplan.audit.giving import fresh_eggs, is_allowed
from routeplan.audit.hives import eggs_fault, queen_mothers
from routeplan.audit.violation import Violation, count
from routeplan.operation.world import QUEENS_NOT_LAYING, Hive
from routeplan.plan import Standby, Stop, Take, TakeRule

MOST_NAMED = 6
"""Hives that stand by for one kind; with as many named, others may be left out."""
SAY = {
    "capped": "frames of capped brood",
    "open": "frames of open brood",
    "eggs": "frames with eggs",
    "mixed": "mixed frames",
    "food": "frames of food",
    "shake": "shakes of bees",
    "queen": "queens",
}


def _said(number: int, kind: str) -> str:
    """Write so many of a kind as people say it."""
    words = SAY.get(kind, kind)
    one = words.replace("frames", "frame").replace("shakes", "shake").replace("queens", "queen")
    return f"{number} {one if number == 1 else words}"


def standbys(case: Case) -> Iterator[Violation]:
    """R3: hives said to stand by could each give that much more, alone, and none that could is left out.

    Each kind taken in a yard where splits are made has one row, and each such yard one take rule. What a
    hive cannot give on top of what it gives is a violation of R1, in frames.
    """
    making = _making(case)
    yield from _rows(case, making)
    mothers = queen_mothers(case.operation)
    for row in case.plan.standbys:
        if row.kind in making.get(row.yard, Counter()):
            yield from _row(case, row, mothers)
    yield from _rules(case, making)


def _making(case: Case) -> dict[str, Counter[str]]:
    """What is taken of each kind in each yard where splits are made."""
    taken: dict[str, Counter[str]] = {}
    for stop in case.plan.stops:
        if (stop.makes or stop.begins) and stop.yard in case.yards:
            here = taken.setdefault(stop.yard, Counter())
            for take in stop.takes:
                if take.kind in TAKEN:
                    here[take.kind] += take.frames
    return taken


def _fault(text: str, *where: str, amount: float = 1, unit: str = "entry") -> Violation:
    return Violation("R3", text, amount, unit, where)


def _rows(case: Case, making: dict[str, Counter[str]]) -> Iterator[Violation]:
    """One row for each kind taken, and for no other."""
    listed = Counter((row.yard, row.kind) for row in case.plan.standbys)
    needed = {(yard, kind) for yard, taken in making.items() for kind in taken}
    for yard, kind in sorted(needed | listed.keys()):
        words = SAY.get(kind, kind)
        if (yard, kind) not in needed:
            yield _fault(f"standby hives at {yard}: no {words} are taken there", yard)
        elif listed[yard, kind] != 1:
            times = count(listed[yard, kind], "time")
            text = f"standby hives at {yard} for {words} are listed {times}, not once"
            yield _fault(text, yard, amount=abs(listed[yard, kind] - 1), unit="times")


@dataclass(frozen=True)
class _Wanted:
    """What a hive must be to step in for one kind: its frame format, a queen mother or not."""

    kind: str
    formats: frozenset[str]
    eggs: bool


def _row(case: Case, row: Standby, mothers: frozenset[Key]) -> Iterator[Violation]:
    words, takes = SAY[row.kind], [t for s in _stops(case, row.yard) for t in s.takes if t.kind == row.kind]
    wanted = _wanted(case, row.kind, takes)
    for hive, times in Counter(name for name, _ in row.hives).items():
        if times > 1:
            text = f"{named((row.yard, hive))} stands by for {words} {times} times"
            yield _fault(text, row.yard, hive, amount=times - 1, unit="times")
    if len(row.hives) > MOST_NAMED:
        text = f"{len(row.hives)} hives stand by at {row.yard} for {words}, at most {MOST_NAMED} are named"
        yield _fault(text, row.yard, amount=len(row.hives) - MOST_NAMED, unit="hives")
    for name, more in row.hives:
        yield from _stands_by(case, wanted, (row.yard, name), more, mothers)
    yield from _calm_first(case, row)
    from_others = [t for t in takes if (row.yard, t.hive) not in case.own_right]
    if len(row.hives) < MOST_NAMED and from_others:
        yield from _left_out(case, row, _wanted(case, row.kind, from_others), mothers)


def _wanted(case: Case, kind: str, takes: list[Take]) -> _Wanted:
    fed = [case.splits[t.split] for t in takes if t.split in case.splits]
    eggs = kind == "eggs" or (kind == "mixed" and any(s.queen == "raise own" for s in fed))
    return _Wanted(kind, frozenset(s.frame for s in fed), eggs)


def _stands_by(
    case: Case, wanted: _Wanted, key: Key, more: int, mothers: frozenset[Key]
) -> Iterator[Violation]:
    """A hive named could step in, and just so much is said of it as it could give."""
    hive, words = case.hives.get(key), SAY[wanted.kind]
    if hive is None:
        yield _fault(f"standby hives for {words}: there is no {named(key)}", *key)
    elif fault := _no_standby(case, wanted, hive, mothers):
        yield _fault(f"{named(key)} cannot stand by for {words}: {fault}", *key, unit="hive")
    elif more < 1:
        text = f"{named(key)} stands by with {_said(more, wanted.kind)}, at least 1 is needed"
        yield _fault(text, *key, amount=1 - more, unit="frames")
    else:
        most = _most_more(case, wanted.kind, hive)
        text = f"{named(key)} is said to stand by with {_said(more, wanted.kind)}, it could give {most} more"
        if more > most:
            yield Violation("R1", f"{text}: {more - most} too many", more - most, "frames", key)
        elif more < most:
            yield _fault(f"{text}: {most - more} too few", *key, amount=most - more, unit="frames")


def _no_standby(case: Case, wanted: _Wanted, hive: Hive, mothers: frozenset[Key]) -> str | None:
    """Return why a hive cannot step in, whatever it holds; None when it may."""
    if hive.key in case.own_right:
        return "it is split in its own right"
    if hive.frame not in wanted.formats:
        return f"it has {hive.frame} frames, the splits are on {' and '.join(sorted(wanted.formats))}"
    if wanted.kind == "queen" and hive.queen in QUEENS_NOT_LAYING:
        return f"it is noted as: {hive.queen}"
    if wanted.kind == "queen" and not fresh_eggs(case, hive):
        return "it has no fresh eggs to raise a new queen"
    return eggs_fault(hive, case.operation, mothers) if wanted.eggs else None


def _most_more(case: Case, kind: str, hive: Hive) -> int:
    """Return how many more of a kind a hive could give on top of what it gives."""
    limits, gives = case.operation.settings.limits, case.gives.get(hive.key, Counter())
    brood = max(limits.brood_per_donor, limits.brood_per_strong_donor)
    highest = {"food": limits.food_per_donor, "shake": limits.shakes_per_donor, "queen": 1 - gives["queen"]}
    tried = ((n, gives + Counter({kind: n})) for n in range(1, highest.get(kind, brood) + 1))
    return max((n for n, g in tried if _is_sure(case, hive, g) and is_allowed(case, hive.key, g)), default=0)


def _is_sure(case: Case, hive: Hive, give: Counter[str]) -> bool:
    """Whether some allowed way tells that the queen is not on what leaves."""
    sure, frames = case.operation.settings.sure, sum(give[kind] for kind in FRAMES)
    above = sure.supers and hive.excluder and hive.supers > 0 and not frames
    return give["queen"] > 0 or sure_of_frames(case.operation) or above


def _calm_first(case: Case, row: Standby) -> Iterator[Violation]:
    """Bees of a bad temper are tried last."""
    keys = [(row.yard, name) for name, _ in row.hives if (row.yard, name) in case.hives]
    bad = [case.hives[key].temper == "bad" for key in keys]
    for n, key in enumerate(keys):
        if bad[n] and not all(bad[n:]):
            text = f"{named(key)} has a bad temper and stands by for {SAY[row.kind]} before better ones"
            yield _fault(text, *key, unit="hive")


def _left_out(case: Case, row: Standby, wanted: _Wanted, mothers: frozenset[Key]) -> Iterator[Violation]:
    """No hive that could step in is kept from the crew."""
    listed = {name for name, _ in row.hives}
    for hive in case.operation.hives:
        if hive.yard != row.yard or hive.id in listed or _no_standby(case, wanted, hive, mothers):
            continue
        if most := _most_more(case, row.kind, hive):
            text = f"{named(hive.key)} could give {_said(most, row.kind)} more and is not named as a standby"
            yield _fault(text, *hive.key, amount=most, unit="frames")


def _stops(case: Case, yard: str) -> list[Stop]:
    """The stops of a yard at which splits are made or begun, in order."""
    return [stop for stop in case.plan.stops if stop.yard == yard and (stop.makes or stop.begins)]


def _rules(case: Case, making: dict[str, Counter[str]]) -> Iterator[Violation]:
    """Each yard where splits are made has one take rule, and it says what is taken there and how."""
    listed = Counter(rule.yard for rule in case.plan.take_rules)
    for yard in sorted(making.keys() | listed.keys()):
        if yard not in making:
            yield _fault(f"take rule at {yard}: no splits are made there", yard)
        elif listed[yard] != 1:
            text = f"take rule at {yard}: it is given {count(listed[yard], 'time')}, not once"
            yield _fault(text, yard, amount=abs(listed[yard] - 1), unit="times")
    for rule in case.plan.take_rules:
        if rule.yard in making:
            yield from _needs(rule, making[rule.yard])
            yield from _settings(case, rule)
            yield from _order(case, rule)


def _needs(rule: TakeRule, taken: Counter[str]) -> Iterator[Violation]:
    """What is needed in all is what is taken, kind by kind in the usual order."""
    said = Counter[str]()
    for kind, number in rule.needs:
        said[kind] += number
    for kind in sorted(said.keys() | taken.keys()):
        off = said[kind] - taken[kind]
        if off:
            text = f"take rule at {rule.yard}: {_said(said[kind], kind)} said to be needed, "
            text += f"{taken[kind]} taken: {abs(off)} too {'many' if off > 0 else 'few'}"
            yield _fault(text, rule.yard, amount=abs(off), unit="frames")
    kinds = [kind for kind, _ in rule.needs]
    if said == taken and kinds != [kind for kind in TAKEN if taken[kind]]:
        yield _fault(
            f"take rule at {rule.yard}: what is needed is not in the usual order, each once", rule.yard
        )


def _settings(case: Case, rule: TakeRule) -> Iterator[Violation]:
    """Limits and what stays behind are those of the settings."""
    settings = case.operation.settings
    limits, keep = settings.limits, settings.keep_back
    early = settings.season == "early spring"
    strong = limits.brood_per_donor if early else limits.brood_per_strong_donor
    stays = {"bees": keep.bees, "brood": keep.brood, "open": keep.open, "food": keep.food}
    said = dict(rule.keeps)
    lines = [
        ("the most frames of brood from one hive", rule.most_brood, limits.brood_per_donor),
        ("the most frames of brood from a strong hive", rule.most_strong, strong),
        *((f"frames of {k} that stay", said.get(k, 0.0), right) for k, right in stays.items()),
    ]
    for what, stated, right in lines:
        if stated != right:
            text = f"take rule at {rule.yard}: {what} is given as {stated:g}, the settings say {right:g}"
            yield _fault(text, rule.yard, amount=abs(stated - right), unit="frames")
    if [kind for kind, _ in rule.keeps] != list(stays):
        text = (
            f"take rule at {rule.yard}: what stays is not said of bees, brood, open brood and food, each once"
        )
        yield _fault(text, rule.yard)


def _order(case: Case, rule: TakeRule) -> Iterator[Violation]:
    """The hives to take from are those opened there, in working order, then those that stand by."""
    opened = [hive for stop in _stops(case, rule.yard) for hive in stop.opens]
    waiting = [hive for row in case.plan.standbys if row.yard == rule.yard for hive, _ in row.hives]
    right = tuple(dict.fromkeys(opened + waiting))
    if rule.order != right:
        said, found = ", ".join(rule.order) or "none", ", ".join(right) or "none"
        text = f"take rule at {rule.yard}: the hives in order are given as {said}, "
        text += f"those opened and then those that stand by are {found}"
        yield _fault(text, rule.yard, amount=max(1, len(set(rule.order) ^ set(right))), unit="hives")
