"""The exact answer where a box may be begun in one yard and completed in another.

The complete model of one yard a box, and for every box where and when it is begun, if it is; which of its two
sides rides without bees; and what holds then: distance and minutes shut in go by the sides with bees, brood
without bees does not ride long and not in the cold, and a split that raises its queen has bees enough.
"""

import functools

from ortools.sat.python import cp_model

from routeplan.operation.world import Operation, Yard
from tests.oracle import meanings
from tests.oracle.exact import Answer, Day, Unproved
from tests.oracle.exact_hives import CAPPED, FOOD, MIXED, OPEN, QUEEN, SHAKES

BROOD = (CAPPED, OPEN, MIXED)
HUNDREDTHS = 100


class PooledDay(Day):
    """The model of one day with boxes of up to two yards."""

    visits_per_box = 3

    def __init__(self, operation: Operation) -> None:
        super().__init__(operation)
        for b in range(len(self.boxes)):
            self._sides(b)
            self._bare_side(b)
            self._bare_brood(b)

    def _givers(self) -> None:
        """Each box may be begun at an earlier visit in another yard; either side may be bare, not both."""
        model, yards = self.model, range(self.end)
        self.begin, self.begun_at, self.pooled, self.bare_begun, self.bare_made = [], [], [], [], []
        self.givers, self.touch, self.first = [], [], []
        for b, box in enumerate(self.boxes):
            begin = [[self._bool(f"begin {b} {v} {j}") for j in yards] for v in self.positions]
            begun_at = [self._bool(f"begun at {b} {j}") for j in yards]
            pooled, bare_begun, bare_made = (self._bool(f"{b} {w}") for w in ("pooled", "bare 1", "bare 2"))
            model.add(sum(begun_at) == pooled)
            model.add_implication(pooled, self.placed[b])
            if box.hive is not None or box.from_yard is not None:
                model.add(pooled == 0)
            model.add(bare_begun + bare_made <= pooled)
            for j in yards:
                model.add(sum(begin[v][j] for v in self.positions) == begun_at[j])
                model.add(begun_at[j] + self.frm[b][j] <= 1)
                for v in self.positions:
                    model.add_implication(begin[v][j], self.at[v][j])
            for v in self.positions:
                later = sum(self.make[b][w][j] for w in self.positions[v + 1 :] for j in yards)
                model.add(sum(begin[v]) <= later)
            for i, one in enumerate(self.yards):
                for j, other in enumerate(self.yards):
                    if not meanings.far_enough(self.op, one, other):
                        model.add_bool_or(begun_at[i].negated(), self.to[b][j].negated(), bare_begun)
            for frm, to in self.near.get(b, []):
                model.add_bool_or(frm.negated(), to.negated(), bare_made)
            self.begin.append(begin)
            self.begun_at.append(begun_at)
            self.pooled.append(pooled)
            self.bare_begun.append(bare_begun)
            self.bare_made.append(bare_made)
            self.givers.append([self._either(begun_at[j], self.frm[b][j]) for j in yards])
            self.touch.append(
                [[self._either(begin[v][j], self.make[b][v][j]) for j in yards] for v in self.positions]
            )
            self.first.append(self._first(b))

    def _either(self, one: cp_model.IntVar, other: cp_model.IntVar) -> cp_model.IntVar:
        flag = self._bool("either")
        self.model.add(flag == one + other)
        return flag

    @functools.cached_property
    def near(self) -> dict[int, list[tuple[cp_model.IntVar, cp_model.IntVar]]]:
        """Pairs of where a box is completed and placed that are too near for bees."""
        return {}

    def _too_near(self, b: int, frm: cp_model.IntVar, to: cp_model.IntVar) -> None:
        self.near.setdefault(b, []).append((frm, to))

    def _first(self, b: int) -> list[cp_model.IntVar]:
        """By visit, whether the first bees come into a box there."""
        flags = [self._bool(f"first bees {b} {v}") for v in self.positions]
        with_bees = self._bool(f"begun with bees {b}")
        self.model.add(with_bees == self.pooled[b] - self.bare_begun[b])
        for v, flag in enumerate(flags):
            self.model.add(flag == sum(self.begin[b][v])).only_enforce_if(with_bees)
            self.model.add(flag == sum(self.make[b][v])).only_enforce_if(with_bees.negated())
        return flags

    def _first_bees(self, b: int, v: int) -> cp_model.LinearExprT:
        return self.first[b][v]

    def _filled_by(self, v: int) -> cp_model.LinearExprT:
        total: cp_model.LinearExprT = 0
        for b in range(len(self.boxes)):
            filled = self._bool(f"filled {b} {v}")
            visits = range(v + 1)
            self.model.add_max_equality(
                filled,
                [sum(x for w in visits for x in of[b][w]) for of in (self.begin, self.make)]
                if v >= 0
                else [0],
            )
            total += filled
        return total

    def _beginning_s(self, v: int) -> cp_model.LinearExprT:
        return sum(
            _load_s(self.op, yard) * begin[v][j] for begin in self.begin for j, yard in enumerate(self.yards)
        )

    def _hives_of(self, j: int) -> list[int]:
        return [h for h, hive in enumerate(self.hives.hives) if self.hives.yard_index[hive.yard] == j]

    def _sides(self, b: int) -> None:
        """Something of each side, beside a queen."""
        for j in range(self.end):
            given = sum(
                x for h in self._hives_of(j) for k, x in enumerate(self.hives.part[b][h]) if k != QUEEN
            )
            self.model.add(given >= 1).only_enforce_if(self.begun_at[b][j])
            self.model.add(given >= 1).only_enforce_if(self.frm[b][j], self.pooled[b])

    def _bare_side(self, b: int) -> None:
        """The bare side gives frames only; the other bees enough to raise a queen."""
        bees, box = self.op.settings.bees, self.boxes[b]
        weight = {k: round(HUNDREDTHS * bees.per_brood_frame) for k in BROOD}
        weight |= {FOOD: round(HUNDREDTHS * bees.per_food_frame), SHAKES: round(HUNDREDTHS * bees.per_shake)}
        riding: cp_model.LinearExprT = 0
        for j in range(self.end):
            bare = self._bool(f"bare {b} {j}")
            for at, flag in ((self.begun_at, self.bare_begun), (self.frm, self.bare_made)):
                self.model.add_bool_or(at[b][j].negated(), flag[b].negated(), bare)
                self.model.add_bool_or(at[b][j].negated(), flag[b], bare.negated())
            for h in self._hives_of(j):
                part = self.hives.part[b][h]
                for k in (SHAKES, QUEEN):
                    self.model.add(part[k] == 0).only_enforce_if(bare)
                for k, w in weight.items():
                    with_bees = self.model.new_int_var(0, 20, "")
                    self.model.add(with_bees <= part[k])
                    self.model.add(with_bees == 0).only_enforce_if(bare)
                    riding += w * with_bees
        if box.queen == "raise own":
            least = round(HUNDREDTHS * self.op.settings.limits.own_queen_bees)
            for flag in (self.bare_begun[b], self.bare_made[b]):
                self.model.add(riding >= least).only_enforce_if(flag)

    def _bare_brood(self, b: int) -> None:
        """Brood without bees waits no longer than allowed until hives are opened where it goes."""
        limits = self.op.settings.limits
        brood = self._bool(f"bare brood {b}")
        for j in range(self.end):
            of_yard = sum(self.hives.part[b][h][k] for h in self._hives_of(j) for k in BROOD)
            self.model.add(of_yard == 0).only_enforce_if(
                self.begun_at[b][j], self.bare_begun[b], brood.negated()
            )
        warmest = _warmest(self.op)
        if warmest is not None and warmest < limits.bare_brood_from_c:
            self.model.add(brood == 0)
        most = int(60 * limits.bare_brood_min + 1e-6)
        for v in self.positions:
            for w in self.positions[v + 1 :]:
                begun, made = self._bool(""), self._bool("")
                self.model.add(begun == sum(self.begin[b][v]))
                self.model.add(made == sum(self.make[b][w]))
                self.model.add(self.work[w] - self.depart[v] <= most).only_enforce_if(begun, made, brood)


def _load_s(operation: Operation, yard: Yard) -> int:
    """Seconds to carry and load a begun box."""
    return round(60 * (meanings.pace(operation) * operation.settings.minutes.load + 2 * yard.carry_min))


def _warmest(operation: Operation) -> float | None:
    typed = [w.max_c for w in operation.weather if w.day == operation.day]
    return max(typed) if typed else operation.settings.shut_in.warmest_c


@functools.cache
def best(operation: Operation, seconds: float = 60.0) -> Answer | Unproved:
    """Solve a small operation with boxes of two yards exactly (see exact.best)."""
    return PooledDay(operation).solve(seconds)
