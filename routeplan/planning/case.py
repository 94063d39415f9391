"""Everything the search and the judge look up by index, in whole seconds; built once from an operation.

Yards keep the operation's order. Lines are the demand's lines. Unusable yards (quarantine, closed on the day)
make nothing and take nothing.
"""

from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.surplus import Surplus, surplus_of
from routeplan.operation.world import HEALTH_USABLE, Operation, Yard
from routeplan.planning.demand import Demand, demand_of
from routeplan.planning.limits import Clock
from routeplan.planning.remaining import Ground
from routeplan.planning.travel import Travel, travel_of
from routeplan.planning.work import Work, shut_in_limit_s
from routeplan.planning.yields import Donors, YardYield, donors_of, priced_yields, yields_of

DAY_S = 24 * 3600
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Case:
    """One crew's day, by index.

    Attributes
    ----------
    donors : by yard, the kinds of donors.
    yields : by yard, what can be made of the demand.
    room : (yards,) splits a yard can take.
    make_s, fill_s, place_s : (yards, lines), (lines,), (yards, lines) seconds for one split.
    base_place_s : (lines,) least of place_s; the yields contain it, so carry = place_s - base counts on top.
    opens, closes : (yards,) seconds after midnight.
    hives_from, hives_until, start, end : the crew's hours, seconds after midnight.
    in_time : (yards, yards) whether a straight ride from the row's yard to the column's fits all hours and
        the minutes shut in, with one split made and placed.
    """

    operation: Operation
    surplus: dict[tuple[str, str], Surplus]
    demand: Demand
    travel: Travel
    donors: tuple[tuple[Donors, ...], ...]
    yields: tuple[tuple[YardYield, ...], ...]
    room: Ints
    make_s: Ints
    fill_s: Ints
    place_s: Ints
    opens: Ints
    closes: Ints
    hives_from: int
    hives_until: int
    start: int
    end: int
    opening: tuple[int, int]
    placing: tuple[int, int]
    shut_in_s: int
    in_time: NDArray[np.bool_]

    @property
    def reach(self) -> NDArray[np.bool_]:
        """Whether a split from the row's yard can live at the column's: far enough, and there in time."""
        return np.asarray(self.travel.far & self.in_time)

    @property
    def size(self) -> int:
        """Splits wanted."""
        return self.demand.size

    @property
    def base_place_s(self) -> Ints:
        """Least seconds to place one split of each line."""
        return np.asarray(self.place_s.min(axis=0))

    @property
    def places(self) -> int | None:
        """Full boxes the truck holds."""
        return self.operation.crew.places

    def drive(self, a: int, b: int) -> int:
        """Seconds between two places, 0 = home, yard + 1 = yard."""
        return int(self.travel.drive_s[a, b])

    def ground(self, prices: Ints | None = None) -> Ground:
        """Return the tables of the search under prices on the lines."""
        prices = np.zeros(len(self.demand.lines), dtype=np.int64) if prices is None else prices
        carry = (self.place_s - self.base_place_s[None, :]).min(axis=1, initial=DAY_S)
        ground = Ground(
            drive=self.travel.drive_s,
            least=priced_yields(self.yields, prices, self.size),
            room=np.minimum(self.room, self.size),
            carry=carry,
            far=self.reach,
            due_from=self._due("from_yard"),
            due_to=self._due("to_yard"),
            opening=sum(self.opening),
            placing=sum(self.placing),
        )
        left_from = self.size - (ground.most.sum() - ground.most)  # what all the others cannot make
        left_to = self.size - (ground.room.sum() - ground.room)
        return replace(
            ground,
            due_from=np.clip(left_from, ground.due_from, ground.most),
            due_to=np.clip(left_to, ground.due_to, ground.room),
        )

    def _due(self, which: str) -> Ints:
        """Splits that must be made or placed at each yard: batches fixed there of which all are wanted."""
        due = np.zeros(len(self.operation.yards), dtype=np.int64)
        asked, totals = self.demand.asked, dict(self.demand.totals)
        for batch in self.demand.batches:
            yard = getattr(batch, which)
            if yard is not None and totals.get(batch.priority) == asked[batch.priority]:
                due[yard] += batch.count
        return due

    def wanting(self, totals: dict[int, int], clock: Clock | None = None) -> "Case":
        """Return the same day with other totals by priority."""
        demand = self.demand.with_totals(totals)
        donors = {y.id: d for y, d in zip(self.operation.yards, self.donors, strict=True)}
        yields = yields_of(self.operation, demand, donors, clock)
        return replace(self, demand=demand, yields=yields)


def usable(yard: Yard, day: date) -> bool:
    """Whether a yard may be visited on the day: healthy, not closed that weekday or for the season."""
    if yard.health not in HEALTH_USABLE or day.isoweekday() in yard.closed_days:
        return False
    return yard.closed_until is None or day >= yard.closed_until


def case_of(operation: Operation, clock: Clock | None = None) -> Case:
    """Gather one crew's day from an operation; the demand is all that is asked for."""
    yards, crew, work = operation.yards, operation.crew, Work(operation)
    surplus, demand = surplus_of(operation), demand_of(operation)
    open_today = [usable(y, operation.day) for y in yards]
    by_yard = donors_of(operation, surplus)
    donors = {y.id: by_yard[y.id] if ok else () for y, ok in zip(yards, open_today, strict=True)}
    room = [
        (demand.size if y.room is None else min(y.room, demand.size)) if ok and y.takes_splits else 0
        for y, ok in zip(yards, open_today, strict=True)
    ]
    lines = range(len(demand.lines))

    def table(rows: list[list[int]]) -> Ints:
        return np.array(rows, dtype=np.int64).reshape(len(rows), len(demand.lines))

    case = Case(
        operation=operation,
        surplus=surplus,
        demand=demand,
        travel=travel_of(operation),
        donors=tuple(donors[y.id] for y in yards),
        yields=yields_of(operation, demand, donors, clock),
        room=np.array(room, dtype=np.int64),
        make_s=table([[work.make_s(y) for _ in lines] for y in yards]),
        fill_s=np.array([work.fill_s(demand.of(k).kit) for k in lines], dtype=np.int64),
        place_s=table([[work.place_s(y, demand.of(k).queen) for k in lines] for y in yards]),
        opens=np.array([60 * (y.opens_min or 0) for y in yards], dtype=np.int64),
        closes=np.array(
            [DAY_S if y.closes_min is None else 60 * y.closes_min for y in yards], dtype=np.int64
        ),
        hives_from=60 * crew.hives_from_min,
        hives_until=60 * crew.hives_until_min,
        start=60 * crew.start_min,
        end=60 * crew.end_min,
        opening=(work.set_up_s(True), work.leave_s(True)),
        placing=(work.set_up_s(False), work.leave_s(False)),
        shut_in_s=shut_in_limit_s(operation),
        in_time=np.ones((len(yards), len(yards)), dtype=bool),
    )
    return with_hours(case)


def with_hours(case: Case, **hours: int) -> Case:
    """Return a case with other hours (start, end, hives_from, ..., shut_in_s), rides checked again."""
    case = replace(case, **hours)  # type: ignore[arg-type]
    drive = case.travel.drive_s
    there = np.maximum(case.start + drive[0, 1:], case.opens) + case.opening[0]
    made = np.maximum(there, case.hives_from) + case.make_s.min(axis=1, initial=0)
    first = made + case.opening[1]
    last = np.minimum(np.minimum(case.closes, case.hives_until + case.opening[1]), case.end)
    arrive = np.maximum(first[:, None] + drive[1:, 1:], case.opens[None, :])
    opened = arrive + case.placing[0] + case.place_s.min(axis=1, initial=DAY_S)[None, :]
    done = opened + case.placing[1]
    fits = (done <= case.closes[None, :]) & (done + drive[1:, 0][None, :] <= case.end)
    fits &= ((made <= case.hives_until) & (first <= last))[:, None]
    least_opened = case.placing[0] + case.place_s.min(axis=1, initial=DAY_S)[None, :]
    ride = np.maximum(drive[1:, 1:], case.opens[None, :] - last[:, None]) + least_opened
    return replace(case, in_time=fits & (ride <= case.shut_in_s))
