"""The part of the exact model that counts beside the day: the weeks after, and things used up."""

import itertools

from ortools.sat.python import cp_model

from routeplan.operation.world import Operation, Yard
from tests.oracle import meanings
from tests.oracle.meanings import After, Box

Vars = list[cp_model.IntVar]


class Counted:
    """`seconds` counts trips after, few splits, strong hives, many yards, and what things are worth."""

    def __init__(
        self,
        operation: Operation,
        model: cp_model.CpModel,
        boxes: list[Box],
        yards: list[Yard],
        to: list[Vars],
        swapped: list[dict[str, cp_model.LinearExprT]],
    ) -> None:
        self.op, self.model, self.boxes, self.yards, self.to = operation, model, boxes, yards, to
        self.seconds: cp_model.LinearExprT = 0
        alone = []
        for j, yard in enumerate(yards):
            costs = meanings.after(operation, yard)
            receives = self._receives(j, costs)
            if costs.alone:
                alone.append(receives)
        over = model.new_int_var(0, len(yards), "yards over the most")
        model.add(over >= sum(alone) - operation.settings.later.most_yards)
        most = operation.settings.later.most_yards
        self.seconds += meanings.over_s(operation, most + 1) * over
        if operation.settings.objective == "money":
            for b, box in enumerate(boxes):
                self._stuff(b, box, swapped[b])

    def _receives(self, j: int, costs: After) -> cp_model.IntVar:
        """What one yard counts; the answer is whether it receives anything."""
        model, total = self.model, len(self.boxes)
        receives = model.new_bool_var(f"receives {j}")
        cells = model.new_bool_var(f"cells {j}")
        few = model.new_int_var(0, costs.few_splits, f"few {j}")
        for to, box in zip(self.to, self.boxes, strict=True):
            model.add_implication(to[j], receives)
            if box.queen == "ripe cell":
                model.add_implication(to[j], cells)
        splits = sum(to[j] for to in self.to)
        model.add(receives <= splits)
        model.add(splits <= total * receives)
        model.add(few >= costs.few_splits * receives - splits)
        self.seconds += costs.fixed_s * receives + costs.cell_s * cells + costs.few_s * few
        if costs.by_queen and costs.alone:
            self._looks(j, costs)
        return receives

    def _looks(self, j: int, costs: After) -> None:
        """Trips for looks at one yard, a row for every set of ways to a queen placed there."""
        ways = sorted({box.queen for box in self.boxes})
        there = [self.model.new_bool_var(f"{way} at {j}") for way in ways]
        for to, box in zip(self.to, self.boxes, strict=True):
            self.model.add_implication(to[j], there[ways.index(box.queen)])
        looks_s = self.model.new_int_var(0, costs.looks_s(ways), f"looks {j}")
        rows = []
        for flags in itertools.product((0, 1), repeat=len(ways)):
            here = [way for way, flag in zip(ways, flags, strict=True) if flag]
            rows.append((*flags, costs.looks_s(here)))
        self.model.add_allowed_assignments([*there, looks_s], rows)
        self.seconds += looks_s

    def _stuff(self, b: int, box: Box, swapped: dict[str, cp_model.LinearExprT]) -> None:
        """Queen, combs and sugar of one box, by its swap and its new yard."""
        words = meanings.swaps(self.op, box)
        chosen: dict[tuple[str, int], cp_model.IntVar] = {}
        for j, yard in enumerate(self.yards):
            for word in words:
                x = self.model.new_bool_var(f"stuff {b} {j} {word}")
                self.seconds += meanings.stuff_s(self.op, box, word, yard) * x
                chosen[word, j] = x
            self.model.add(sum(chosen[word, j] for word in words) == self.to[b][j])
        for word, there in swapped.items():
            self.model.add(sum(chosen[word, j] for j in range(len(self.yards))) == there)
