"""Where the day stands: what is done and how, what is aboard, where the truck is, what is left to do."""

from collections import Counter
from dataclasses import dataclass, replace

from routeplan.field.actual import as_found
from routeplan.field.entries import Entry
from routeplan.field.log import Log, StopLog
from routeplan.operation.findings import Finding
from routeplan.operation.world import Operation
from routeplan.plan import Plan, PutBack, Split, Stop, Take, box_numbers, clock

Key = tuple[str, str]
AS_PLANNED = "Stop {n}, {yard}: nothing was written down, taken as done as planned."
ABOVE = (
    "Combs of hive {hive} at {yard} stand above an excluder and no second pass is counted on any more: look "
    "them over like others if the hive is opened again, and set down today what is not taken."
)
PUT_BACK = "Box {box} is given up: its frames go back into the hives they came from."
NOT_MADE = "Box {box} was not made at {yard}{why}."
TRACED = (
    "Box {box} stands at {yard} and has frames from {source}, where health is in doubt: nothing more leaves "
)
TRACED += "{yard} or goes in. Ask the inspector."
FRAME_KINDS = ("capped", "open", "eggs", "mixed", "food")


@dataclass(frozen=True)
class State:
    """The day so far.

    Attributes
    ----------
    operation : with what was found in place of what was recorded.
    stops : the visits done, as they were; `splits` those made, `placed_at` 0 while aboard.
    yard, at_s : where the truck stands (None: home) and when, seconds after midnight; `in_yard`: it has not
        left.
    touched : hives opened today, and those that could not be: nothing more is asked of them.
    rest : splits of the plan that are still to be made, finished ones and those that are impossible left out.
    skipped : stops of the plan, from 1, that fall away, with the reason.
    quarantined : split aboard to the yard it came from and goes back to; `traced`: split to where it stands.
    looked, found : yards and hives of which something was found.
    entries : what was written down about the plan.
    told : what was taken for granted, and what is traced, in sentences.
    """

    operation: Operation
    plan: Plan
    stops: tuple[Stop, ...]
    splits: tuple[Split, ...]
    leave_home: int
    yard: str | None
    at_s: int
    in_yard: bool
    touched: frozenset[Key]
    rest: tuple[str, ...]
    skipped: dict[int, str]
    done_of: tuple[int, ...]
    quarantined: dict[str, str]
    traced: dict[str, str]
    looked: frozenset[str]
    found: frozenset[Key]
    entries: tuple[Entry, ...]
    told: tuple[str, ...]

    @property
    def aboard(self) -> tuple[Split, ...]:
        """Splits made and not placed."""
        return tuple(s for s in self.splits if not s.placed_at)


def state_of(
    operation: Operation, plan: Plan, log: Log, from_stop: int | None = None, at_s: int | None = None
) -> tuple[State | None, list[Finding]]:
    """Work out where the day stands.

    Parameters
    ----------
    log : the field notes by stop.
    from_stop : the stop, from 1, that is done last; else the last one something is written of.
    at_s : the time now; else the last time written down.

    Returns
    -------
    State, None when any finding is an error, and all findings.
    """
    reading = _Reading(operation, plan, log, from_stop, at_s)
    state = reading.state()
    return (None if reading.findings else state), reading.findings


class _Reading:
    def __init__(
        self, operation: Operation, plan: Plan, log: Log, from_stop: int | None, at_s: int | None
    ) -> None:
        self.operation, self.plan, self.log = operation, plan, log
        self.before = plan.done.stops if plan.done else 0
        written = [
            i for i, one in enumerate(log.stops) if one.written and (one.skipped is None or _was_there(one))
        ]
        self.last = max([self.before - 1, *written]) if from_stop is None else from_stop - 1
        self.through = from_stop is not None
        self.boxes = box_numbers(plan)
        self.planned = {s.id: s for s in plan.splits}
        self.findings: list[Finding] = []
        self.told: list[str] = []
        self.takes: list[list[Take]] = []
        self.made: dict[str, int] = {}
        self.placed: dict[str, int] = {}
        self.now_s = at_s
        self.done_of: list[int] = []

    def fault(self, message: str, cure: str = "") -> None:
        self.findings.append(Finding("error", "The notes", None, None, "", message, cure))

    def state(self) -> State:
        plan, log = self.plan, self.log
        self._one_yard_each()
        for i in range(self.last + 1):
            if i < self.before or log.stops[i].skipped is None or _was_there(log.stops[i]):
                self._what_was_done(i)
        stops, leave_home = self._stops()
        suspect = list(log.suspect)
        traced, quarantined = self._traced(stops, suspect)
        operation = as_found(self.operation, log.looks, log.closed, [*suspect, *traced.values()])
        touched = {(s.yard, h) for s in stops for h in s.opens}
        for i, one in enumerate(log.stops):
            yard = plan.stops[i].yard
            touched |= {(yard, h) for h in (*one.no_hive, *one.done_hives)}
        self._unfinished()
        for stop in stops:
            got = {t.hive for s in stops for t in s.takes if s.yard == stop.yard}
            left = [a.hive for a in stop.sets if a.hive not in got]
            self.told += [ABOVE.format(hive=hive, yard=stop.yard) for hive in left]
        touched |= {(self.plan.stops[i].yard, h) for i, one in enumerate(log.stops) for _, h in one.taken}
        now = self._now(stops)
        skipped = {i + 1: one.skipped for i, one in enumerate(log.stops) if one.skipped is not None}
        return State(
            operation=operation,
            plan=plan,
            stops=tuple(stops),
            splits=tuple(self._split(s, stops) for s in plan.splits if s.id in self.made),
            leave_home=leave_home if stops else now,
            yard=stops[-1].yard if stops else None,
            at_s=now,
            in_yard=bool(stops) and not self.through and log.stops[self.done_of[-1]].left_s is None,
            touched=frozenset(touched),
            rest=tuple(s.id for s in plan.splits if s.id not in self.made),
            skipped=skipped,
            done_of=tuple(self.done_of),
            quarantined=quarantined,
            traced=traced,
            looked=frozenset(yard for yard, _ in log.looks) | {*suspect, *traced.values()},
            found=frozenset((yard, e.hive) for yard, e in log.looks if e.hive),
            entries=log.entries,
            told=tuple(self.told),
        )

    def _one_yard_each(self) -> None:
        """Where a begun box stands is not followed: such a day is not planned again."""
        begun = [self.boxes[s.id] for s in self.plan.splits if s.begun_at]
        if begun:
            numbers = ", ".join(str(n) for n in sorted(begun))
            message = f"the plan has boxes begun in one yard and completed in another ({numbers})."
            cure = "Such a day cannot be planned again from notes yet: finish it by the sheet."
            self.fault(message, cure)

    # --- what was done at one stop --------------------------------------------------------------------------

    def _what_was_done(self, i: int) -> None:
        stop, one, n = self.plan.stops[i], self.log.stops[i], len(self.done_of) + 1
        fixed = i < self.before
        through = fixed or i < self.last or self.through or one.left_s is not None
        if through and not fixed and not one.written:
            self.told.append(AS_PLANNED.format(n=i + 1, yard=stop.yard))
        self.done_of.append(i)
        for split in self._placed_here(stop, one, through):
            if split not in self.made:
                self.fault(f"box {self.boxes[split]} is placed at {stop.yard}, but was not made before.")
            elif split in self.placed:
                self.fault(f"box {self.boxes[split]} is placed twice.")
            else:
                self.placed[split] = n
        made = self._made_here(stop, one, through)
        for split in made:
            if split in self.made:
                self.fault(f"box {self.boxes[split]} is made twice.")
            self.made.setdefault(split, n)
        self.takes.append([])
        for split in made:
            self.takes[-1] += self._taken(stop, i, split)

    def _placed_here(self, stop: Stop, one: StopLog, through: bool) -> list[str]:
        if one.placed:
            return list(one.placed)
        if not (through or one.opened_s is not None):
            return []
        return [s for s in stop.places if s not in one.no_box and s in self.made and s not in self.placed]

    def _made_here(self, stop: Stop, one: StopLog, through: bool) -> list[str]:
        if one.made or not through:
            return list(dict.fromkeys(one.made))
        made = []
        for split in stop.makes:
            missing = [t.hive for t in self._planned(stop, split) if t.hive in one.no_hive]
            noted = any(s == split for s, _ in one.taken)
            if split in one.no_box or (missing and not noted):
                why = one.no_box.get(split) or (one.no_hive[missing[0]] if missing else "")
                words = f": {why}" if why else ""
                self.told.append(NOT_MADE.format(box=self.boxes[split], yard=stop.yard, why=words))
            else:
                made.append(split)
        return made

    def _planned(self, stop: Stop, split: str) -> list[Take]:
        return [t for t in stop.takes if t.split == split]

    def _taken(self, stop: Stop, i: int, split: str) -> list[Take]:
        """What went into a box made here: as noted anywhere, else as planned."""
        if any(s == split for one in self.log.stops for s, _ in one.taken):
            elsewhere = {j for j, one in enumerate(self.log.stops) for s, _ in one.taken if s == split} - {i}
            if any(self.plan.stops[j].yard != stop.yard for j in elsewhere):
                self.fault(
                    f"box {self.boxes[split]} has frames of two yards.",
                    "Boxes get all their frames from one yard.",
                )
            here = [(hive, row) for (s, hive), row in self.log.stops[i].taken.items() if s == split]
            return [take for hive, row in here for take in self._noted(stop, split, hive, row)]
        takes = [t for s in self.plan.stops for t in self._planned(s, split) if s.yard == stop.yard]
        for hive in sorted({t.hive for t in takes} & self.log.stops[i].no_hive.keys()):
            self.fault(
                f"box {self.boxes[split]} was to get frames of hive {hive} at {stop.yard}, "
                "which could not be done.",
                "Write down what it got (frame_taken).",
            )
        return takes

    def _noted(self, stop: Stop, split: str, hive: str, row: Counter[str]) -> list[Take]:
        """Frames noted, in the plan's own kinds: eggs for a split that raises its queen, mixed as planned."""
        planned = [t for s in self.plan.stops for t in s.takes if t.split == split]
        mixed = any(t.kind == "mixed" for t in planned if t.hive == hive)
        raises = self.planned[split].queen == "raise own"
        open_kind = "mixed" if mixed else "eggs" if raises else "open"
        takes = [Take(hive, open_kind if kind == "open" else kind, n, split) for kind, n in row.items() if n]
        if any(t.kind == "queen" and t.hive == hive for t in planned):
            takes.append(Take(hive, "queen", 1, split))
        return takes

    def _unfinished(self) -> None:
        """A box with frames noted is finished, or given up: its frames are then back in their hives."""
        noted = {split for one in self.log.stops for split, _ in one.taken}
        left, open_ = self._from_hives_done()
        noted |= open_
        given_up = {split for one in self.log.stops for split in one.no_box}
        for split in sorted(noted - self.made.keys() - given_up, key=self.boxes.__getitem__):
            self.fault(
                f"box {self.boxes[split]} has frames in it and is not made.",
                "Finish it from the hives that stand by, or write could_not and put its frames back.",
            )
        back = noted & given_up | left - open_
        for split in sorted(back - self.made.keys(), key=self.boxes.__getitem__):
            self.told.append(PUT_BACK.format(box=self.boxes[split]))

    def _from_hives_done(self) -> tuple[set[str], set[str]]:
        """Boxes not made that a hive closed again gave to: at stops left, and at one still worked at."""
        left: set[str] = set()
        open_: set[str] = set()
        for i, (stop, one) in enumerate(zip(self.plan.stops, self.log.stops, strict=True)):
            gave = {t.split for t in stop.takes if t.hive in one.done_hives} - self.made.keys()
            through = i < self.last or self.through or one.left_s is not None
            (left if through else open_).update(gave)
        return left, open_

    # --- the visits as they were ----------------------------------------------------------------------------

    def _stops(self) -> tuple[list[Stop], int]:
        stops: list[Stop] = []
        before, leave_home = self.plan.totals.leave_home, self.plan.totals.leave_home
        for n, i in enumerate(self.done_of):
            if i < self.before and n == i:
                stops.append(self.plan.stops[i])
                before = stops[-1].depart
                continue
            stop = self._timed(n, i, before, stops)
            if not stops:
                leave_home = stop.arrive - stop.drive_s
            stops.append(stop)
            before = stop.depart
        return stops, leave_home

    def _timed(self, n: int, i: int, before: int, done: list[Stop]) -> Stop:
        """One visit with its clock: as noted, else as planned from the visit before."""
        plan, one = self.plan.stops[i], self.log.stops[i]
        came = self.plan.stops[i - 1].yard if i else None
        straight = (done[-1].yard if done else None) == came
        drive = plan.drive_s if straight or one.arrived_s is None else one.arrived_s - before
        arrive = one.arrived_s if one.arrived_s is not None else before + drive
        if one.first_s is not None:
            arrive = min(arrive, one.first_s)
        arrive = max(arrive, before)
        if n == 0:  # when the crew left home is not written down
            before = arrive - plan.drive_s
        span = plan.depart - plan.arrive
        last = n == len(self.done_of) - 1
        depart = max(arrive, one.last_s or 0)
        if one.left_s is not None:
            depart = one.left_s
        elif last and self.now_s is not None and not self.through:
            depart = max(depart, self.now_s)
        elif one.last_s is None and (not last or self.through or one.written):
            depart = arrive + (span if not last or self.through else 0)
        takes = tuple(self.takes[n])
        places = tuple(s for s, m in self.placed.items() if m == n + 1)
        makes = tuple(s for s, m in self.made.items() if m == n + 1)
        giving = dict.fromkeys(t.hive for t in takes)
        opens = (*(h for h in plan.opens if h in giving), *(h for h in giving if h not in plan.opens))
        noted = [t for t in (*one.placed.values(), one.opened_s) if t is not None]
        parts = _parts(plan, depart - arrive, bool(places), bool(opens or makes), noted, arrive)
        back = {h: sum(t.frames for t in takes if t.hive == h and t.kind in FRAME_KINDS) for h in opens}
        back |= {h: c for h, c in one.put_back.items() if h in back}
        return replace(
            plan,
            drive_s=arrive - before,
            arrive=arrive,
            early_s=0,
            set_up_s=parts["set_up_s"],
            fence_s=parts["fence_s"],
            place_s=parts["place_s"],
            wait_s=parts["wait_s"],
            hive_s=parts["hive_s"],
            make_s=parts["make_s"],
            leave_s=parts["leave_s"],
            depart=depart,
            opened=arrive + parts["set_up_s"] + parts["fence_s"] + parts["place_s"] if places else None,
            full=sum(1 for _ in self._made_by(n)) - sum(1 for m in self.placed.values() if m <= n + 1),
            empty=0,
            places=places,
            makes=makes,
            opens=tuple(opens),
            ways=tuple((h, self._way(plan, h, takes)) for h in opens),
            takes=takes,
            puts_back=tuple(PutBack(h, c) for h, c in back.items() if c),
        )

    def _made_by(self, n: int) -> list[str]:
        return [s for s, m in self.made.items() if m <= n + 1]

    def _way(self, plan: Stop, hive: str, takes: tuple[Take, ...]) -> str:
        queen = any(t.hive == hive and t.kind == "queen" for t in takes)
        return "hunt" if queen else dict(plan.ways).get(hive, "look")

    def _split(self, split: Split, stops: list[Stop]) -> Split:
        """A split made, its stops counted anew; `placed_at` 0 while it is aboard."""
        made, placed = self.made[split.id], self.placed.get(split.id, 0)
        donors = dict.fromkeys(t.hive for s in stops for t in s.takes if t.split == split.id)
        return replace(
            split,
            made_at=made,
            placed_at=placed,
            from_yard=stops[made - 1].yard,
            to_yard=stops[placed - 1].yard if placed else "",
            donors=tuple(donors),
            shut_in_s=(stops[placed - 1].opened or 0) - stops[made - 1].depart if placed else 0,
        )

    def _now(self, stops: list[Stop]) -> int:
        last = stops[-1].depart if stops else min(self.plan.totals.leave_home, self.now_s or 24 * 3600)
        noted = self.log.last_s if self.now_s is None else self.now_s
        if noted is not None and stops and noted < last and self.now_s is not None:
            self.fault(
                f"the time given, {clock(noted)}, is before {stops[-1].yard} was left at {clock(last)}."
            )
        return max(last, noted or 0)

    # --- health ---------------------------------------------------------------------------------------------

    def _traced(self, stops: list[Stop], suspect: list[str]) -> tuple[dict[str, str], dict[str, str]]:
        """Splits with frames from a yard under suspicion: where they stand, or where they go back to."""
        traced, quarantined = {}, {}
        for split in self.made:
            sources = [s.yard for s in stops for t in s.takes if t.split == split and s.yard in suspect]
            if not sources:
                continue
            if split in self.placed:
                stands = stops[self.placed[split] - 1].yard
                if stands in sources:  # it went back there before
                    continue
                traced[split] = stands
                text = TRACED.format(box=self.boxes[split], yard=traced[split], source=sources[0])
                self.told.append(text)
            else:
                quarantined[split] = sources[0]
        return traced, quarantined


def _was_there(one: StopLog) -> bool:
    return one.arrived_s is not None


def _parts(plan: Stop, span: int, places: bool, opens: bool, noted: list[int], arrive: int) -> dict[str, int]:
    """Share the time spent at a stop over its work, in order, as planned; what is over to the main work."""
    names = ("set_up_s", "fence_s", "place_s", "wait_s", "hive_s", "make_s", "leave_s")
    wanted = {name: getattr(plan, name) for name in names}
    if not places:
        wanted["fence_s"] = wanted["place_s"] = 0
    if not opens:
        wanted["wait_s"] = wanted["hive_s"] = wanted["make_s"] = 0
    if places and noted:
        opened = max(0, min(max(noted) - arrive, span))
        wanted["set_up_s"] = min(wanted["set_up_s"], opened)
        wanted["fence_s"] = min(wanted["fence_s"], opened - wanted["set_up_s"])
        wanted["place_s"] = opened - wanted["set_up_s"] - wanted["fence_s"]
    parts, left = {}, span
    for name in names:
        parts[name] = min(wanted[name], left)
        left -= parts[name]
    parts["hive_s" if opens else "place_s" if places and not noted else "wait_s"] += left
    return parts


def as_it_is(operation: Operation, plan: Plan, looks: Log) -> Operation:
    """Return the operation that a plan made in mid-day is judged by: with what was found before."""
    traced = [yard for _, yard in plan.done.traced] if plan.done else []
    return as_found(operation, looks.looks, looks.closed, [*looks.suspect, *traced])
