"""Field notes sorted by the stops of the plan they are about; what does not fit the plan is a fault."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from routeplan.field.entries import Entry
from routeplan.field.notes import Notes
from routeplan.operation.findings import Finding
from routeplan.operation.world import HEALTH_USABLE, Operation
from routeplan.plan import Plan, box_numbers, given_back

FRAMES_OF = (("capped", "capped"), ("open", "open"), ("food", "food"), ("bees", "shake"))
"""A column of what was taken, and the kind of take it is."""


@dataclass
class StopLog:
    """What was written down at one stop: seconds after midnight, splits by id.

    `skipped`: why the whole stop could not be done, None when it could. `taken` by (split, hive).
    """

    arrived_s: int | None = None
    left_s: int | None = None
    first_s: int | None = None
    last_s: int | None = None
    skipped: str | None = None
    made: list[str] = field(default_factory=list)
    placed: dict[str, int | None] = field(default_factory=dict)
    opened_s: int | None = None
    taken: dict[tuple[str, str], Counter[str]] = field(default_factory=dict)
    no_hive: dict[str, str] = field(default_factory=dict)
    no_box: dict[str, str] = field(default_factory=dict)
    done_hives: list[str] = field(default_factory=list)
    put_back: dict[str, int] = field(default_factory=dict)
    written: bool = False


@dataclass(frozen=True)
class Log:
    """All notes by stop; `looks` (yard, entry) of what was found; `suspect` yards; `last_s` the last time;
    `entries` all that is about this plan."""

    stops: tuple[StopLog, ...]
    looks: tuple[tuple[str, Entry], ...]
    suspect: tuple[str, ...]
    closed: tuple[str, ...]
    last_s: int | None
    entries: tuple[Entry, ...] = ()


class _Sorting:
    def __init__(self, operation: Operation, plan: Plan) -> None:
        self.operation, self.plan = operation, plan
        self.stops = tuple(StopLog() for _ in plan.stops)
        self.splits = {n: s for s, n in box_numbers(plan).items()}
        self.given = {one.split for one in given_back(plan)}
        self.yards = {y.id for y in operation.yards}
        self.hives = {h.key for h in operation.hives}
        self.looks: list[tuple[str, Entry]] = []
        self.closed: list[str] = []
        self.findings: list[Finding] = []
        self.at, self.now_s = 0, None  # type: tuple[int, int | None]

    def fault(self, entry: Entry, message: str, cure: str = "") -> None:
        self.findings.append(Finding("error", entry.place, None, None, "", message, cure))

    def earlier(self, entry: Entry) -> None:
        """Of notes about an earlier plan of the day, what holds on: what was found, what is closed."""
        skips = entry.what == "could_not" and not entry.hive and entry.box is None
        if entry.what != "found" and not skips:
            return
        if not entry.yard:
            self.fault(
                entry, "is about an earlier plan and names no yard.", "Write the yard beside the stop."
            )
        elif self._known(entry, entry.yard) and skips:
            self.closed.append(entry.yard)
        elif entry.what == "found" and self._known(entry, entry.yard):
            self.looks.append((entry.yard, entry))

    def sort(self, entry: Entry) -> None:
        if entry.at_min is not None:
            if self.now_s is not None and 60 * entry.at_min < self.now_s:
                self.fault(entry, "is earlier than the line before.", "Write down things as they happen.")
                return
            self.now_s = 60 * entry.at_min
        split = None
        if entry.box is not None:
            split = self.splits.get(entry.box)
            if split is None:
                self.fault(entry, f"no box of the plan has number {entry.box}.")
                return
        if split in self.given:  # its frames go back: nothing else is done with it
            return
        place = self._place(entry, split)
        if place is None:
            return
        yard, i = place
        if not self._known(entry, yard):
            return
        if i is None:
            if entry.what == "found":
                self.looks.append((yard, entry))
            else:
                self.fault(entry, f"{yard} is no stop of the plan.", "Only found and note go elsewhere.")
            return
        self._write(entry, yard, i, split)

    def _known(self, entry: Entry, yard: str) -> bool:
        if yard not in self.yards:
            self.fault(entry, f"no yard is called {yard}.")
        elif entry.to_yard and entry.to_yard not in self.yards:
            self.fault(entry, f"no yard is called {entry.to_yard}.")
        elif entry.hive and (yard, entry.hive) not in self.hives:
            self.fault(entry, f"there is no hive {entry.hive} at {yard}.")
        else:
            return True
        return False

    def _place(self, entry: Entry, split: str | None) -> tuple[str, int | None] | None:
        """(yard, stop from 0 or None) an entry is about; None when it cannot be told."""
        stops = self.plan.stops
        if entry.stop is not None:
            if entry.stop > len(stops):
                self.fault(entry, f"the plan has no stop {entry.stop}.")
                return None
            yard = stops[entry.stop - 1].yard
            if entry.yard and entry.yard != yard:
                self.fault(entry, f"stop {entry.stop} is {yard}, not {entry.yard}.")
                return None
            return yard, entry.stop - 1
        if entry.yard:
            here = [i for i, s in enumerate(stops) if s.yard == entry.yard]
            later = [i for i in here if i >= self.at]
            return entry.yard, next(iter(later or here), None)
        if split is not None:
            of = next(s for s in self.plan.splits if s.id == split)
            i = (of.placed_at if entry.what in ("split_placed", "opened") else of.made_at) - 1
            return stops[i].yard, i
        return (stops[self.at].yard, self.at) if stops else None

    def _write(self, entry: Entry, yard: str, i: int, split: str | None) -> None:
        if entry.what == "note":
            return
        log, skips = self.stops[i], entry.what == "could_not" and not (entry.hive or split)
        if entry.what != "found" and not skips:
            self.at = max(self.at, i)
        log.written = True
        if self.now_s is not None and entry.at_min is not None and not skips:
            log.first_s = self.now_s if log.first_s is None else log.first_s
            log.last_s = self.now_s
        if entry.what == "found":
            self.looks.append((yard, entry))
        elif entry.what == "arrived":
            log.arrived_s = self.now_s
        elif entry.what == "left":
            log.left_s = self.now_s
        elif skips:
            log.skipped = entry.reason or "no reason given"
            self.closed.append(yard)
        elif entry.what == "could_not" and split:
            log.no_box[split] = entry.reason
        elif entry.what == "could_not":
            log.no_hive[entry.hive] = entry.reason
        elif entry.what == "hive_done":
            log.done_hives.append(entry.hive)
        elif entry.what == "put_back":
            log.put_back[entry.hive] = entry.count or 0
        elif entry.what == "frame_taken" and split:
            row = log.taken.setdefault((split, entry.hive), Counter())
            for column, kind in FRAMES_OF:
                row[kind] += int(getattr(entry.found, column) or 0)
        elif entry.what == "split_made" and split:
            log.made.append(split)
        elif entry.what == "split_placed" and split:
            self._placed(entry, yard, log, split)
        elif entry.what == "opened":
            log.opened_s = self.now_s

    def _placed(self, entry: Entry, yard: str, log: StopLog, split: str) -> None:
        if entry.to_yard and entry.to_yard != yard:
            self.fault(entry, f"box {entry.box} is placed at {entry.to_yard}, the stop is {yard}.")
            return
        log.placed[split] = self.now_s


def log_of(
    operation: Operation, plan: Plan, notes: Iterable[Notes], before: bool = False
) -> tuple[Log | None, list[Finding]]:
    """Sort notes by the plan's stops.

    Notes that name another plan, and all where they were written `before` the plan was made, are of
    an earlier plan of the same day: only what was found in hives is kept.

    Returns
    -------
    Log, None when any finding is an error, and all findings.
    """
    sorting, own = _Sorting(operation, plan), plan.id
    entries: list[Entry] = []
    for of_one in notes:
        if of_one.day is not None and of_one.day != plan.day:
            message = f"are about {of_one.day.isoformat()}, the plan is for {plan.day.isoformat()}."
            sorting.findings.append(Finding("error", "The notes", None, None, "", message, ""))
        for entry in of_one.entries:
            if of_one.plan in ("", own) and not before:
                entries.append(entry)
                sorting.sort(entry)
            else:
                sorting.earlier(entry)
    ill = {yard: None for yard, e in sorting.looks if e.found.health not in ("", *HEALTH_USABLE)}
    if sorting.findings:
        return None, sorting.findings
    closed = tuple(dict.fromkeys(sorting.closed))
    return Log(sorting.stops, tuple(sorting.looks), tuple(ill), closed, sorting.now_s, tuple(entries)), []
