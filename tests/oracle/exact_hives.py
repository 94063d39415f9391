"""The part of the exact model that is about hives: kits filled, what hives give, combs, time with hives."""

from ortools.sat.python import cp_model

from routeplan.operation.world import Operation, Yard
from tests.oracle import meanings
from tests.oracle.meanings import KINDS, NOTHING, SWAPS, Box, Out

CAPPED, OPEN, MIXED, FOOD, SHAKES, QUEEN = range(len(KINDS))
Vars = list[cp_model.IntVar]


class Hives:
    """Kits met from few donors of one yard and one frame format; each hive gives what it may.

    `swapped` is, by box, the sum over its swaps by word; `due_s` the seconds that do not count; `against_s`
    the seconds that count against swaps.
    """

    def __init__(
        self,
        operation: Operation,
        model: cp_model.CpModel,
        boxes: list[Box],
        yards: list[Yard],
        placed: Vars,
        frm: list[Vars],
    ) -> None:
        self.op, self.model, self.boxes, self.placed, self.frm = operation, model, boxes, placed, frm
        self.yard_index = {y.id: j for j, y in enumerate(yards)}
        named = {box.hive: meanings.parts(operation, box) for box in boxes if box.hive is not None}
        here = [h for h in operation.hives if h.yard in self.yard_index]
        self.options = {
            h.key: set(named[h.key].values()) if h.key in named else meanings.outs(operation, h) for h in here
        }
        self.named = set(named)
        self.hives = [h for h in here if len(self.options[h.key]) > 1]
        self.mothers = meanings.egg_givers(operation)
        self.formats = sorted({h.frame for h in self.hives})
        self.opened: list[Vars] = [[] for _ in self.hives]
        self.spent: list[Vars] = [[] for _ in self.hives]
        self._formats()
        self._swaps()
        self._takes()
        self._gives()
        self._stock()

    def _formats(self) -> None:
        """One frame format a box."""
        model = self.model
        self.format = [{f: model.new_bool_var(f"{b} {f}") for f in self.formats} for b, _ in self._all()]
        for b, box in self._all():
            model.add(sum(self.format[b].values()) == self.placed[b])
            if box.kit.frame is not None:
                model.add(sum(x for f, x in self.format[b].items() if f != box.kit.frame) == 0)

    def _all(self) -> list[tuple[int, Box]]:
        return list(enumerate(self.boxes))

    def _swaps(self) -> None:
        """What stands in for food frames, by box, format and word."""
        self.swap: list[dict[tuple[str, str], cp_model.IntVar]] = []
        self.swapped: list[dict[str, cp_model.LinearExprT]] = []
        for b, box in self._all():
            words = [word for word in meanings.swaps(self.op, box) if word]
            chosen = {(f, w): self.model.new_bool_var(f"{b} {f} {w}") for f in self.formats for w in words}
            for f in self.formats:
                self.model.add(sum(x for (g, _), x in chosen.items() if g == f) <= self.format[b][f])
            self.swap.append(chosen)
            self.swapped.append({w: sum(x for (_, v), x in chosen.items() if v == w) for w in words})

    def _takes(self) -> None:
        """Each box gets its kit, its queen where she comes along, from few donors."""
        model = self.model
        self.donor: list[Vars] = []
        self.part: list[list[Vars]] = []
        for b, box in self._all():
            donors = [model.new_bool_var(f"donor {b} {hive.key}") for hive in self.hives]
            parts = [[self._part(b, h, k, donors[h]) for k in range(len(KINDS))] for h in range(len(donors))]
            total = [sum(part[k] for part in parts) for k in range(len(KINDS))]
            placed, want = self.placed[b], box.out
            model.add(total[CAPPED] == want.capped * placed)
            model.add(total[OPEN] + total[MIXED] == want.open * placed)
            model.add(total[FOOD] == want.food * (placed - sum(self.swapped[b].values())))
            model.add(total[SHAKES] == want.shakes * placed)
            model.add(total[QUEEN] == want.queen * placed)
            model.add(sum(donors) <= self.op.settings.limits.donors_per_split)
            self.donor.append(donors)
            self.part.append(parts)

    def _part(self, b: int, h: int, k: int, donor: cp_model.IntVar) -> cp_model.IntVar:
        """Frames, shakes or queen of one kind that one box takes from one hive."""
        box, hive = self.boxes[b], self.hives[h]
        need = box.out[OPEN] if k == MIXED else box.out[k]
        own = box.hive == hive.key if box.hive is not None else hive.key not in self.named
        eggs = k in (OPEN, MIXED) and box.queen == "raise own" and box.hive is None
        if not own or (eggs and hive.key not in self.mothers):
            need = 0
        if k == MIXED and not meanings.may_mix(self.op, box):
            need = 0
        part = self.model.new_int_var(0, need, f"take {b} {hive.key} {KINDS[k]}")
        self.model.add(part <= need * donor)
        if k == 0:
            self.model.add_implication(donor, self.frm[b][self.yard_index[hive.yard]])
            self.model.add_implication(donor, self.format[b][hive.frame])
        return part

    def _gives(self) -> None:
        """Each hive gives, over all boxes, one of the things it may; its time is that of its quickest way."""
        model = self.model
        self.given: list[Vars] = []
        self.time: Vars = []
        self.due_s: cp_model.LinearExprT = 0
        for h, hive in enumerate(self.hives):
            table = [(*out, *self._seconds(h, out)) for out in sorted(self.options[hive.key])]
            tops = [max(row[k] for row in table) for k in range(len(KINDS) + 2)]
            row = [model.new_int_var(0, top, f"gives {hive.key} {k}") for k, top in enumerate(tops)]
            model.add_allowed_assignments(row, table)
            for k in range(len(KINDS)):
                model.add(row[k] == sum(part[h][k] for part in self.part))
            self.given.append(row[: len(KINDS)])
            self.time.append(row[-2])
            self.due_s += row[-1]
        mixed = sum(given[MIXED] for given in self.given)
        swapped = sum(sum(words.values()) for words in self.swapped)
        self.against_s: cp_model.LinearExprT = meanings.swap_s(self.op) * (mixed + swapped)

    def _seconds(self, h: int, out: Out) -> tuple[int, int]:
        if out == NOTHING:
            return (0, 0)
        quickest = meanings.quickest(self.op, self.hives[h], out)
        assert quickest is not None, "a hive that may give has a way"
        return quickest

    def _stock(self) -> None:
        """Combs, boxes and what stands in for food frames are enough at home, per frame format."""
        op, model = self.op, self.model
        for f in self.formats:
            combs, nucs = op.combs(f), op.nuc_boxes(f)
            here = [(box, self.format[b][f], self.swap[b]) for b, box in self._all()]
            if combs is not None:
                kept = sum(box.kit.food * x for box, _, swap in here for (g, _), x in swap.items() if g == f)
                model.add(sum(box.kit.combs * x for box, x, _ in here) - kept <= sum(combs))
                model.add(sum(box.kit.drawn * x for box, x, _ in here) <= combs[0])
            if nucs is not None:
                model.add(sum(x for _, x, _ in here) <= nucs)
            food_combs = [box.kit.food * swap[f, SWAPS[0]] for box, _, swap in here if (f, SWAPS[0]) in swap]
            model.add(sum(food_combs) <= (op.counted("food comb", f) or 0))
        feeders = [words[SWAPS[1]] for words in self.swapped if SWAPS[1] in words]
        model.add(sum(feeders) <= (op.counted("feeder") or 0))

    # At the visits

    def spent_s(self, v: int, make: list[list[Vars]]) -> cp_model.LinearExprT:
        """Seconds with hives at visit v; `make` says by box, visit and yard what is made."""
        total: cp_model.LinearExprT = 0
        for h, hive in enumerate(self.hives):
            opened = self.model.new_bool_var(f"opened {v} {hive.key}")
            most = max(self._seconds(h, out)[0] for out in self.options[hive.key])
            spent = self.model.new_int_var(0, most, f"spent {v} {hive.key}")
            self.model.add(spent <= most * opened)
            self.opened[h].append(opened)
            self.spent[h].append(spent)
            for b in range(len(self.boxes)):
                made_here = make[b][v][self.yard_index[hive.yard]]
                self.model.add_bool_or(made_here.negated(), self.donor[b][h].negated(), opened)
            total += spent
        return total

    def once_a_day(self) -> None:
        """A hive is opened at one visit, where it gives something; all its time is spent there."""
        for h in range(len(self.hives)):
            times, given = sum(self.opened[h]), self.given[h]
            self.model.add(times <= 1)
            self.model.add(times <= sum(given))
            self.model.add(sum(self.spent[h]) == self.time[h])
            for donors in self.donor:
                self.model.add(donors[h] <= times)
            tops = [max(out[k] for out in self.options[self.hives[h].key]) for k in range(len(KINDS))]
            for amount, top in zip(given, tops, strict=True):
                self.model.add(amount <= top * times)

    def story(self, solver: cp_model.CpSolver) -> list[str]:
        """What each box gets from whom, and the time at each hive."""
        lines = []
        for b, _ in self._all():
            words = [w for (_, w), x in self.swap[b].items() if solver.value(x)]
            for h, hive in enumerate(self.hives):
                out = Out(*(solver.value(x) for x in self.part[b][h]))
                if out != NOTHING:
                    lines.append(f"box {b} from {hive.key}: {_told(out)} {' '.join(words)}".rstrip())
        for h, hive in enumerate(self.hives):
            if solver.value(self.time[h]):
                lines.append(f"hive {hive.key} takes {solver.value(self.time[h])} s")
        return lines


def _told(out: Out) -> str:
    return ", ".join(f"{n} {kind}" for kind, n in zip(KINDS, out, strict=True) if n)
