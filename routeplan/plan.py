"""The answer: what a plan says, and its stable text form (plan.json).

Clock times are whole seconds after midnight, durations whole seconds, distances whole metres; in plan.json
clock times are written "HH:MM:SS". Everything a plan claims can be recomputed from it and the operation.
"""

import dataclasses
import hashlib
import json
import re
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property
from typing import Any, get_args, get_origin, get_type_hints

FORMAT = 7
"""Version of the plan.json layout; a reader refuses others."""

STATUSES = ("optimal", "feasible", "none")
"""optimal: proved best; feasible: best found, with a proven bound; none: no plan."""


class PlanFormatError(ValueError):
    """plan.json is malformed: names the key."""


@dataclass(frozen=True)
class Take:
    """`frames` of one kind leave hive `hive` of the stop's yard for split `split`.

    `kind` is "capped", "open", "eggs" (an open frame with eggs from a queen mother), "mixed" (a mixed frame
    with eggs instead of an open one), "food", "shake" (one frame's bees shaken in) or "queen" (the hive's
    queen goes with the split). `bees` is False where the frames ride shaken free of bees.
    """

    hive: str
    kind: str
    frames: int
    split: str
    bees: bool = True


@dataclass(frozen=True)
class PutBack:
    """Combs from stock that fill the gaps in one donor."""

    hive: str
    combs: int


@dataclass(frozen=True)
class SetAbove:
    """First pass at one hive: `combs` are shaken free of bees and set above an excluder.

    They are collected at the stop of that number, not before `collect_from` on the clock.
    """

    hive: str
    combs: int
    collected_at: int
    collect_from: int


@dataclass(frozen=True)
class Stop:
    """One visit. Seconds: `arrive`..`depart` on the clock, the rest are lengths.

    In order: set_up_s, place_s (boxes placed, all opened at `opened`), wait_s (until hives may be opened),
    hive_s (opening, looking, taking, shaking), make_s (closing, labelling, loading), leave_s.
    A stop that begins before the yard opens waits first: `early_s`. `full` and `empty` are boxes aboard on
    leaving. `opens` lists the hives opened, in working order; `ways` says for each how the queen is known not
    to be on what leaves: "look", "hunt", "supers" or "excluder" (its combs were set above one at an earlier
    stop). `sets` are the first passes of this stop, done before other hives are opened. `fence_s`: an
    electric fence is set up after set_up_s.
    `makes` are the splits completed here; `begins` those begun here, to be completed at a later yard: aboard
    as full boxes from here on.
    """

    yard: str
    drive_m: int
    drive_s: int
    arrive: int
    early_s: int
    set_up_s: int
    fence_s: int
    place_s: int
    wait_s: int
    hive_s: int
    make_s: int
    leave_s: int
    depart: int
    opened: int | None
    full: int
    empty: int
    places: tuple[str, ...]
    makes: tuple[str, ...]
    opens: tuple[str, ...]
    ways: tuple[tuple[str, str], ...]
    sets: tuple[SetAbove, ...]
    takes: tuple[Take, ...]
    puts_back: tuple[PutBack, ...]
    begins: tuple[str, ...] = ()

    @property
    def broken_up(self) -> frozenset[str]:
        """Hives of which nothing stays: frames leave them, and no comb is put back."""
        gave = frozenset(take.hive for take in self.takes if take.kind not in ("shake", "queen"))
        return gave - {put.hive for put in self.puts_back}


@dataclass(frozen=True)
class Split:
    """One new colony. `made_at` and `placed_at` count stops from 1; `flying_m` is the distance between.

    `swap` is what stands in for its food frames: "food comb" or "feeder" from stock, "" for none. One that
    was begun in another yard: at stop `begun_at` (0: it was not) in `begun_yard`, `begun_m` metres from its
    new yard, with frames or bees of the hives `begun_donors` there; `donors` are then those of `from_yard`,
    where it was completed. `shut_in_s` counts from leaving the yard of its first bees.
    """

    id: str
    order: str
    kit: str
    queen: str
    frame: str
    made_at: int
    placed_at: int
    from_yard: str
    to_yard: str
    flying_m: int
    shut_in_s: int
    donors: tuple[str, ...]
    swap: str
    begun_at: int = 0
    begun_yard: str = ""
    begun_m: int = 0
    begun_donors: tuple[str, ...] = ()


@dataclass(frozen=True)
class Unplaced:
    """Splits of one order that are not in the plan: which rule stopped them and what is missing."""

    order: str
    count: int
    rule: str
    reason: str


@dataclass(frozen=True)
class HiveLine:
    """One hive's part: what it could give alone (most of each kind), what it gives, what holds it back."""

    yard: str
    hive: str
    could: tuple[tuple[str, int], ...]
    gives: tuple[tuple[str, int], ...]
    reason: str


@dataclass(frozen=True)
class Totals:
    """Sums over the stops, in seconds and metres; `paid_s` is leaving home to being back."""

    asked: int
    placed: int
    leave_home: int
    back_home: int
    home_drive_m: int
    home_drive_s: int
    paid_s: int
    drive_s: int
    drive_m: int
    yard_s: int
    hive_s: int
    make_s: int
    place_s: int
    wait_s: int
    hives_opened: int
    frames_taken: int
    later_s: int
    against_s: int
    due_s: int
    road_s: int
    stuff_s: int
    counted_s: int


@dataclass(frozen=True)
class After:
    """What one receiving yard costs in the weeks after: trips of `trip_s` and `trip_m` there and back.

    `trips` for looks, `feeding_trips`, `cell_trips` (cells put in the day after); `few_s` counts against few
    splits standing alone, `robbing_s` against strong hives near by in a dearth.
    """

    yard: str
    splits: int
    trips: int
    feeding_trips: int
    cell_trips: int
    trip_s: int
    trip_m: int
    few_s: int
    robbing_s: int


@dataclass(frozen=True)
class Standby:
    """The next hives of a yard for one kind, best first: (hive, frames or shakes it could still give)."""

    yard: str
    kind: str
    hives: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class TakeRule:
    """What a crew does on sight in one yard: so many of each kind in all, from these hives in this order.

    `most_brood` frames from one hive, a strong one `most_strong`; every hive keeps `keeps` (kind, frames).
    """

    yard: str
    needs: tuple[tuple[str, int], ...]
    most_brood: int
    most_strong: int
    keeps: tuple[tuple[str, float], ...]
    order: tuple[str, ...]


@dataclass(frozen=True)
class Skip:
    """What falls away if one stop, numbered from 1, is left out and the rest is driven as planned.

    `not_made`: splits that would get frames there, or frames of hives set above an excluder there. `aboard`:
    splits that lose the place they were to have there; `elsewhere`: (split, number of a later stop that can
    take it). `needless`: later stops at which nothing is left to do.
    """

    stop: int
    not_made: tuple[str, ...]
    aboard: tuple[str, ...]
    elsewhere: tuple[tuple[str, int], ...]
    needless: tuple[int, ...]


@dataclass(frozen=True)
class Change:
    """A single change that would place `more` splits of what is missing, tried; `amount` is the least
    found."""

    what: str
    amount: int
    unit: str
    where: str
    more: int
    sentence: str


@dataclass(frozen=True)
class Saving:
    """What one more of something would save, tried: counted seconds."""

    what: str
    saves_s: int
    proved: bool


@dataclass(frozen=True)
class Alternative:
    """Another good plan and what it costs more (below zero: less), in seconds today, later and counted.

    `without`: yards it does not use. `receiving`, `giving`: its yards; `stops`: its visits in order.
    """

    differs: str
    without: tuple[str, ...]
    receiving: tuple[tuple[str, int], ...]
    giving: tuple[tuple[str, int], ...]
    stops: tuple[str, ...]
    today_s: int
    later_s: int
    counted_s: int
    proved: bool


@dataclass(frozen=True)
class Cost:
    """Money: the day's drive and hours, the trips after, queens and cells, combs, sugar; two decimals.

    `yards` (yard, money) is what each yard's stop costs (drive to it, work there, trips after), `home` the
    drive home; `per_split` is all over the splits placed.
    """

    currency: str
    drive: float
    hours: float
    later: float
    queens: float
    combs: float
    sugar: float
    total: float
    per_split: float
    home: float
    yards: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Kept:
    """A split that goes back to a yard it came from, as a labelled exception: `why` in words.

    One that is not among the plan's splits is a box that was only begun: its frames go back into their hives.
    """

    split: str
    yard: str
    why: str


@dataclass(frozen=True)
class Done:
    """What a plan made in mid-day takes as done: its first `stops` visits are facts, not choices.

    `at` is the clock time from which the rest is planned; `plan` the id of the plan before. `changed` says in
    sentences what is different from it and why. `kept`: splits that stay with a yard they came from. `late`:
    splits shut in longer than the heat allows, for nothing quicker is possible. `traced`: (split, yard) that
    got frames of a yard under suspicion before that was known.
    """

    stops: int
    at: int
    plan: str
    changed: tuple[str, ...]
    kept: tuple[Kept, ...]
    late: tuple[str, ...]
    traced: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Proof:
    """How good the plan is.

    `count_status` is "optimal" when it is proved that no more splits can be placed. `objective_s` is what
    counts (Totals.counted_s), `bound_s` what no plan with as many splits can beat; `making_s` the part that
    no choice can change (making and placing the splits themselves). `most_splits` is a proven upper limit.
    """

    status: str
    count_status: str
    most_splits: int
    objective_s: int
    bound_s: int
    making_s: int

    @property
    def gap(self) -> float:
        """(objective - bound) / objective."""
        return (self.objective_s - self.bound_s) / self.objective_s if self.objective_s else 0.0

    @property
    def gap_influenced(self) -> float:
        """The same over the seconds a plan can influence."""
        influenced = self.objective_s - self.making_s
        return (self.objective_s - self.bound_s) / influenced if influenced > 0 else 0.0


@dataclass(frozen=True)
class Plan:
    """One crew's day. `notes` are assumptions in plain sentences (times estimated, counts rolled forward)."""

    title: str
    day: date
    crew: str
    people: int
    stops: tuple[Stop, ...]
    splits: tuple[Split, ...]
    unplaced: tuple[Unplaced, ...]
    hives: tuple[HiveLine, ...]
    totals: Totals
    proof: Proof
    after: tuple[After, ...] = ()
    take_rules: tuple[TakeRule, ...] = ()
    standbys: tuple[Standby, ...] = ()
    skips: tuple[Skip, ...] = ()
    changes: tuple[Change, ...] = ()
    savings: tuple[Saving, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    cost: Cost | None = None
    notes: tuple[str, ...] = ()
    done: Done | None = None

    @cached_property
    def id(self) -> str:
        """What tells plans apart: the first 16 hex digits of SHA-256 (FIPS 180-4) over the plan's JSON
        without `run`, keys sorted, no blanks, UTF-8."""
        text = json.dumps(_body(self), ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        return hashlib.sha256(text.encode()).hexdigest()[:16]


_CLOCK = {
    ("Stop", "arrive"),
    ("Stop", "depart"),
    ("Stop", "opened"),
    ("Totals", "leave_home"),
    ("SetAbove", "collect_from"),
} | {
    ("Totals", "back_home"),
    ("Done", "at"),
}


def clock(seconds: int) -> str:
    """Write seconds after midnight as HH:MM:SS."""
    return f"{seconds // 3600:02d}:{seconds % 3600 // 60:02d}:{seconds % 60:02d}"


def _seconds(text: str) -> int:
    parts = text.split(":")
    if len(parts) != 3 or not all(p.isdigit() for p in parts):
        raise _WrongError(f"{text!r} is not a time HH:MM:SS")
    return int(parts[0]) * 3600 + int(parts[1]) * 60 + int(parts[2])


def to_json(plan: Plan, run: dict[str, Any] | None = None) -> str:
    """Write a plan as JSON text; `run` (run time, version) is kept apart from what is compared."""
    body = _body(plan) if run is None else {**_body(plan), "run": run}
    return json.dumps(body, ensure_ascii=False, indent=1) + "\n"


def _body(plan: Plan) -> dict[str, Any]:
    body = {"routeplan_plan": FORMAT, **_plain(plan)}
    body["proof"]["gap"] = round(plan.proof.gap, 6)
    body["proof"]["gap_influenced"] = round(plan.proof.gap_influenced, 6)
    return body


def _plain(value: Any) -> Any:
    if isinstance(value, str | int | float | None):
        return value
    if isinstance(value, tuple):
        return [_plain(v) for v in value]
    if isinstance(value, date):
        return value.isoformat()
    out = {}
    kind: Any = type(value)
    for name, is_clock in _fields(kind):
        item = getattr(value, name)
        out[name] = clock(item) if is_clock and item is not None else _plain(item)
    return out


@cache
def _fields(kind: type) -> tuple[tuple[str, bool], ...]:
    """The fields of a part of the plan, each with whether it is a clock time."""
    return tuple((field.name, field.name in _clocks(kind)) for field in dataclasses.fields(kind))


@cache
def _hints(kind: type) -> dict[str, Any]:
    """What each field of a part of the plan is."""
    return get_type_hints(kind)


def box_numbers(plan: Plan) -> dict[str, int]:
    """Number the boxes by split: as their names S1, S2 ... say, so that a label once written stays
    right; else in the order they are made, and within a stop in the order the stop makes them. Boxes that
    were only begun and are given back have numbers too."""
    every = [*(s.id for s in plan.splits), *(one.split for one in given_back(plan))]
    named = {one: int(one[1:]) for one in every if re.fullmatch("S[1-9][0-9]*", one)}
    if len(named) == len(every):
        return named
    made = [split for stop in plan.stops for split in stop.makes]
    made += [one for one in every if one not in set(made)]
    return {split: n for n, split in enumerate(made, 1)}


def given_back(plan: Plan) -> tuple[Kept, ...]:
    """The boxes of a plan that were begun before it and go back to the yard that began them: no splits."""
    splits = {s.id for s in plan.splits}
    return tuple(k for k in plan.done.kept if k.split not in splits) if plan.done else ()


def given_back_at(plan: Plan) -> dict[str, int]:
    """Number of the stop at which each of these boxes is given back: the first to come in its yard that only
    brings back."""
    if plan.done is None:
        return {}
    kept = {k.split for k in plan.done.kept}
    brings = {}
    for i, stop in reversed(list(enumerate(plan.stops, 1))):
        if i > plan.done.stops and not (stop.makes or stop.begins or stop.takes) and kept >= {*stop.places}:
            brings[stop.yard] = i
    return {one.split: brings[one.yard] for one in given_back(plan) if one.yard in brings}


def split_name(day: date, box: int) -> str:
    """The name of a split as a hive of its yard: month, day and box, as "0509-1"."""
    return f"{day:%m%d}-{box}"


def from_json(text: str) -> Plan:
    """Read plan.json text; raise PlanFormatError naming the key missing, unknown or of a wrong type."""
    try:
        body = json.loads(text)
    except json.JSONDecodeError as fault:
        raise PlanFormatError(f"not JSON: {fault}") from fault
    if not isinstance(body, dict) or body.pop("routeplan_plan", None) != FORMAT:
        raise PlanFormatError(f"not a plan of layout {FORMAT} (key routeplan_plan)")
    body.pop("run", None)
    if isinstance(body.get("proof"), dict):
        body["proof"].pop("gap", None)
        body["proof"].pop("gap_influenced", None)
    try:
        plan = _build(Plan, body)
    except _WrongError as fault:
        raise PlanFormatError(f"plan{fault.path}: {fault.problem}") from fault
    assert isinstance(plan, Plan)
    return plan


class _WrongError(Exception):
    """What is wrong with a value, and where in it: the path is put together on the way out."""

    def __init__(self, problem: str) -> None:
        super().__init__(problem)
        self.problem, self.path = problem, ""

    def under(self, step: str) -> "_WrongError":
        self.path = step + self.path
        return self


def _build(kind: Any, value: Any) -> Any:
    """Return the value as a part of the plan; raise _WrongError where it is none."""
    what, parts = _kind_of(kind)
    if what == "plain":
        if isinstance(value, bool) is not (kind is bool) or not isinstance(value, kind):
            raise _WrongError(f"{value!r} is not {kind.__name__}")
        return value
    if what == "maybe":
        return None if value is None else _build(parts[0], value)
    if what == "part":
        return _part(kind, value)
    if what == "day":
        try:
            return date.fromisoformat(value)
        except (TypeError, ValueError) as fault:
            raise _WrongError(f"{value!r} is not a date YYYY-MM-DD") from fault
    if not isinstance(value, list):
        raise _WrongError("expected a list")
    kinds = [parts[0]] * len(value) if parts[-1] is Ellipsis else parts
    if len(kinds) != len(value):
        raise _WrongError(f"expected {len(kinds)} items")
    made: list[Any] = []
    try:
        for each, item in zip(kinds, value, strict=True):
            made.append(_build(each, item))
    except _WrongError as fault:
        raise fault.under(f"[{len(made)}]") from fault.__cause__
    return tuple(made)


@cache
def _kind_of(kind: Any) -> tuple[str, tuple[Any, ...]]:
    """How a value of this kind is read, and the kinds inside it."""
    if dataclasses.is_dataclass(kind):
        return "part", ()
    if get_origin(kind) is tuple:
        return "list", get_args(kind)
    if type(None) in get_args(kind):
        return "maybe", get_args(kind)
    return ("day" if kind is date else "plain"), ()


def _part(kind: Any, value: Any) -> Any:
    if not isinstance(value, dict):
        raise _WrongError("expected an object")
    hints = _hints(kind)
    if missing := hints.keys() - value.keys():
        raise _WrongError(f"missing {', '.join(sorted(missing))}")
    if unknown := value.keys() - hints.keys():
        raise _WrongError(f"unknown {', '.join(sorted(unknown))}")
    made, clocks = {}, _clocks(kind)
    for name, hint in hints.items():
        item = value[name]
        try:
            made[name] = _build(hint, _seconds(item) if name in clocks and isinstance(item, str) else item)
        except _WrongError as fault:
            raise fault.under(f".{name}") from fault.__cause__
    return kind(**made)


@cache
def _clocks(kind: type) -> frozenset[str]:
    return frozenset(field for part, field in _CLOCK if part == kind.__name__)
