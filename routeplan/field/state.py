"""Where the day stands: what is done and how, what is aboard, where the truck is, what is left to do."""

from dataclasses import dataclass, replace

from routeplan.field.actual import as_found
from routeplan.field.deeds import Deeds
from routeplan.field.entries import Entry
from routeplan.field.log import Log
from routeplan.field.visits import visits_of
from routeplan.operation.findings import Finding
from routeplan.operation.world import Operation
from routeplan.plan import Plan, Split, Stop, clock, given_back, given_back_at

Key = tuple[str, str]
ABOVE = (
    "Combs of hive {hive} at {yard} stand above an excluder and no second pass is counted on any more: look "
    "them over like others if the hive is opened again, and set down today what is not taken."
)
TRACED = (
    "Box {box} stands at {yard} and has frames from {source}, where health is in doubt: nothing more leaves "
)
TRACED += "{yard} or goes in. Ask the inspector."


@dataclass(frozen=True)
class State:
    """The day so far.

    Attributes
    ----------
    operation : with what was found in place of what was recorded.
    stops : the visits done, as they were; `splits` those made, `placed_at` 0 while aboard; `begun` those
        aboard with part of their frames, `made_at` 0.
    yard, at_s : where the truck stands (None: home) and when, seconds after midnight; `in_yard`: it has not
        left.
    touched : hives opened today, and those that could not be: nothing more is asked of them.
    rest : splits of the plan of which nothing is done yet.
    skipped : stops of the plan, from 1, that fall away, with the reason.
    quarantined : split aboard to the yard it came from and goes back to; `traced`: split to where it stands.
    returning : boxes begun and given up in a plan before, not brought back yet: the yard and why.
    looked, found : yards and hives of which something was found.
    entries : what was written down about the plan.
    told : what was taken for granted, and what is traced, in sentences.
    """

    operation: Operation
    plan: Plan
    stops: tuple[Stop, ...]
    splits: tuple[Split, ...]
    begun: tuple[Split, ...]
    leave_home: int
    yard: str | None
    at_s: int
    in_yard: bool
    touched: frozenset[Key]
    rest: tuple[str, ...]
    skipped: dict[int, str]
    done_of: tuple[int, ...]
    quarantined: dict[str, str]
    returning: dict[str, tuple[str, str]]
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
        self.operation, self.plan, self.log, self.now_s = operation, plan, log, at_s
        pools = operation.settings.limits.yards_per_split >= 2
        self.deeds = Deeds(plan, log, from_stop, pools)
        self.findings, self.told = list(self.deeds.findings), list(self.deeds.told)

    def state(self) -> State:
        plan, log, deeds = self.plan, self.log, self.deeds
        stops, leave_home = visits_of(plan, log, deeds, self.now_s)
        suspect = list(log.suspect)
        traced, quarantined = self._traced(stops, suspect)
        operation = as_found(self.operation, log.looks, log.closed, [*suspect, *traced.values()])
        touched = {(s.yard, h) for s in stops for h in s.opens}
        for i, one in enumerate(log.stops):
            yard = plan.stops[i].yard
            touched |= {(yard, h) for h in (*one.no_hive, *one.done_hives)}
        for stop in stops:
            got = {t.hive for s in stops for t in s.takes if s.yard == stop.yard}
            left = [a.hive for a in stop.sets if a.hive not in got]
            self.told += [ABOVE.format(hive=hive, yard=stop.yard) for hive in left]
        touched |= {(plan.stops[i].yard, h) for i, one in enumerate(log.stops) for _, h in one.taken}
        now = self._now(stops)
        skipped = {i + 1: one.skipped for i, one in enumerate(log.stops) if one.skipped is not None}
        return State(
            operation=operation,
            plan=plan,
            stops=tuple(stops),
            splits=tuple(self._split(s, stops) for s in plan.splits if s.id in deeds.made),
            begun=tuple(
                self._split(s, stops) for s in plan.splits if s.id in deeds.begun.keys() - deeds.made
            ),
            leave_home=leave_home if stops else now,
            yard=stops[-1].yard if stops else None,
            at_s=now,
            in_yard=bool(stops) and not deeds.through and log.stops[deeds.done_of[-1]].left_s is None,
            touched=frozenset(touched),
            rest=tuple(s.id for s in plan.splits if s.id not in deeds.made.keys() | deeds.begun.keys()),
            skipped=skipped,
            done_of=tuple(deeds.done_of),
            quarantined=quarantined,
            returning=self._returning(),
            traced=traced,
            looked=frozenset(yard for yard, _ in log.looks) | {*suspect, *traced.values()},
            found=frozenset((yard, e.hive) for yard, e in log.looks if e.hive),
            entries=log.entries,
            told=tuple(self.told),
        )

    def fault(self, message: str, cure: str = "") -> None:
        self.findings.append(Finding("error", "The notes", None, None, "", message, cure))

    def _split(self, split: Split, stops: list[Stop]) -> Split:
        """A split made or begun, its stops counted anew; 0 for what is not done yet."""
        begun, made, placed = (
            of.get(split.id, 0) for of in (self.deeds.begun, self.deeds.made, self.deeds.placed)
        )

        def donors(at: int) -> tuple[str, ...]:
            takes = stops[at - 1].takes if at else ()
            return tuple(dict.fromkeys(t.hive for t in takes if t.split == split.id))

        return replace(
            split,
            begun_at=begun,
            begun_yard=stops[begun - 1].yard if begun else "",
            begun_m=split.begun_m if begun else 0,
            begun_donors=donors(begun),
            made_at=made,
            placed_at=placed,
            from_yard=stops[made - 1].yard if made else "",
            to_yard=stops[placed - 1].yard if placed else "",
            donors=donors(made),
            shut_in_s=0,
        )

    def _returning(self) -> dict[str, tuple[str, str]]:
        """Boxes that a plan before gave up and that are not back yet."""
        at, done = given_back_at(self.plan), {i + 1 for i in self.deeds.done_of}
        return {k.split: (k.yard, k.why) for k in given_back(self.plan) if at.get(k.split) not in done}

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
        for split in dict.fromkeys((*self.deeds.made, *self.deeds.begun)):
            sources = [s.yard for s in stops for t in s.takes if t.split == split and s.yard in suspect]
            if not sources:
                continue
            if split in self.deeds.placed:
                stands = stops[self.deeds.placed[split] - 1].yard
                if stands in sources:  # it went back there before
                    continue
                traced[split] = stands
                text = TRACED.format(box=self.deeds.boxes[split], yard=traced[split], source=sources[0])
                self.told.append(text)
            else:
                quarantined[split] = sources[0]
        return traced, quarantined


def as_it_is(operation: Operation, plan: Plan, looks: Log) -> Operation:
    """Return the operation that a plan made in mid-day is judged by: with what was found before."""
    traced = [yard for _, yard in plan.done.traced] if plan.done else []
    return as_found(operation, looks.looks, looks.closed, [*looks.suspect, *traced])
