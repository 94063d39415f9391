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
        self.worth = {y.id for y in yards if self._worth_two_visits(y)}
        self.opened: list[Vars] = [[] for _ in self.hives]
        self.spent: list[Vars] = [[] for _ in self.hives]
        self.set_above: list[Vars] = [[] for _ in self.hives]
        self.set_spent: list[Vars] = [[] for _ in self.hives]
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
            kits = [(model.new_bool_var(f"kit {b} {n}"), out) for n, out in enumerate(box.outs)]
            model.add(sum(x for x, _ in kits) == placed)
            model.add(total[CAPPED] == sum(out.capped * x for x, out in kits))
            model.add(total[OPEN] + total[MIXED] == sum(out.open * x for x, out in kits))
            model.add(total[FOOD] == want.food * (placed - sum(self.swapped[b].values())))
            model.add(total[SHAKES] == sum(out.shakes * x for x, out in kits))
            model.add(total[QUEEN] == want.queen * placed)
            model.add(sum(donors) <= self.op.settings.limits.donors_per_split)
            self.donor.append(donors)
            self.part.append(parts)

    def _part(self, b: int, h: int, k: int, donor: cp_model.IntVar) -> cp_model.IntVar:
        """Frames, shakes or queen of one kind that one box takes from one hive."""
        box, hive = self.boxes[b], self.hives[h]
        need = max(out[OPEN] if k == MIXED else out[k] for out in box.outs)
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
        """Each hive gives, over all boxes, one of the things it may, in its quickest way or in two passes."""
        model = self.model
        self.given: list[Vars] = []
        self.time: Vars = []
        self.two: Vars = []
        self.first: Vars = []
        self.due_s: cp_model.LinearExprT = 0
        for h, hive in enumerate(self.hives):
            table = [(*out, *row) for out in sorted(self.options[hive.key]) for row in self._ways(h, out)]
            tops = [max(row[k] for row in table) for k in range(len(KINDS) + 4)]
            row = [model.new_int_var(0, top, f"gives {hive.key} {k}") for k, top in enumerate(tops)]
            model.add_allowed_assignments(row, table)
            for k in range(len(KINDS)):
                model.add(row[k] == sum(part[h][k] for part in self.part))
            self.given.append(row[: len(KINDS)])
            self.two.append(row[-4])
            self.first.append(row[-3])
            self.time.append(row[-2])
            self.due_s += row[-1]
        self.model.add(sum(self.two) <= (self.op.counted("excluder") or 0))
        mixed = sum(given[MIXED] for given in self.given)
        swapped = sum(sum(words.values()) for words in self.swapped)
        self.against_s: cp_model.LinearExprT = meanings.swap_s(self.op) * (mixed + swapped)

    def _worth_two_visits(self, yard: Yard) -> bool:
        """Whether two passes can save more in a yard than set-up takes for hives beyond that for placing."""
        here = [h for h in self.hives if h.yard == yard.id and h.key not in self.named]
        saved = [
            max((meanings.saved_in_two_passes(self.op, h, out) for out in self.options[h.key]), default=0)
            for h in here
        ]
        most = sum(sorted(saved, reverse=True)[: self.op.counted("excluder") or 0])
        set_up = [
            meanings.set_up_s(self.op, hives) + meanings.leave_s(self.op, hives) for hives in (True, False)
        ]
        return most > max(0, set_up[0] - set_up[1])

    def _ways(self, h: int, out: Out) -> list[tuple[int, int, int, int]]:
        """Rows (in two passes, seconds of the first, seconds where it gives, seconds that are not counted).

        Two passes are weighed where they are shorter for this, or for what it is a part of, and worth it
        in the yard.
        """
        if out == NOTHING:
            return [(0, 0, 0, 0)]
        hive = self.hives[h]
        quickest, both = meanings.quickest(self.op, hive, out), meanings.two_passes(self.op, hive, out)
        rows = [(0, 0, *quickest)] if quickest is not None else []
        more = [
            o
            for o in self.options[hive.key]
            if all(a >= b for a, b in zip(_kinds(o), _kinds(out), strict=True))
        ]
        if (
            both is not None
            and hive.key not in self.named
            and hive.yard in self.worth
            and any(meanings.saved_in_two_passes(self.op, hive, o) for o in more)
        ):
            rows.append((1, *both))
        assert rows, "a hive that may give has a way"
        return rows

    def _stock(self) -> None:
        """Combs, boxes and what stands in for food frames are enough at home, per frame format."""
        op, model = self.op, self.model
        for f in self.formats:
            combs, nucs = op.combs(f), op.nuc_boxes(f)
            here = [(box, self.format[b][f], self.swap[b]) for b, box in self._all()]
            if combs is not None:
                kept = sum(box.kit.food * x for box, _, swap in here for (g, _), x in swap.items() if g == f)
                model.add(sum(meanings.combs(box, "") * x for box, x, _ in here) - kept <= sum(combs))
                model.add(sum(box.kit.drawn * x for box, x, _ in here) <= combs[0])
            if nucs is not None:
                model.add(sum(x for _, x, _ in here) <= nucs)
            food_combs = [box.kit.food * swap[f, SWAPS[0]] for box, _, swap in here if (f, SWAPS[0]) in swap]
            model.add(sum(food_combs) <= (op.counted("food comb", f) or 0))
        feeders = [words[SWAPS[1]] for words in self.swapped if SWAPS[1] in words]
        model.add(sum(feeders) <= (op.counted("feeder") or 0))

    # At the visits

    def spent_s(self, v: int, make: list[list[Vars]], at: Vars) -> cp_model.LinearExprT:
        """Seconds with hives at visit v; `make`: what is made by box, visit and yard, `at`: which yard it is.

        What the first passes take is `firsts_s`.
        """
        total: cp_model.LinearExprT = 0
        for h, hive in enumerate(self.hives):
            opened = self.model.new_bool_var(f"opened {v} {hive.key}")
            rows = [row for out in self.options[hive.key] for row in self._ways(h, out)]
            most = max(row[2] for row in rows)
            self._set_above(v, h, max(row[1] for row in rows), at)
            spent = self.model.new_int_var(0, most, f"spent {v} {hive.key}")
            self.model.add(spent <= most * opened)
            self.opened[h].append(opened)
            self.spent[h].append(spent)
            for b in range(len(self.boxes)):
                made_here = make[b][v][self.yard_index[hive.yard]]
                self.model.add_bool_or(made_here.negated(), self.donor[b][h].negated(), opened)
            total += spent
        return total + self.firsts_s(v)

    def _set_above(self, v: int, h: int, most: int, at: Vars) -> None:
        """Whether combs of a hive are set above an excluder at visit v, and what that takes."""
        here = self.model.new_bool_var(f"set above {v} {h}")
        spent = self.model.new_int_var(0, most, f"first pass {v} {h}")
        self.model.add(spent <= most * here)
        self.model.add_implication(here, at[self.yard_index[self.hives[h].yard]])
        self.set_above[h].append(here)
        self.set_spent[h].append(spent)

    def firsts_s(self, v: int) -> cp_model.LinearExprT:
        """Seconds of all first passes at visit v."""
        return sum(spent[v] for spent in self.set_spent)

    def wait_above(self, work: Vars) -> None:
        """Combs are set above at an earlier visit, long enough before `work` begins where they are taken."""
        wait = self.op.settings.excluder
        least, most = round(60 * wait.least_wait_min), round(60 * wait.most_wait_min)
        for h in range(len(self.hives)):
            self.model.add(sum(self.set_above[h]) == self.two[h])
            self.model.add(sum(self.set_spent[h]) == self.first[h])
            for v in range(len(work)):
                for w in range(len(work)):
                    pair = [self.set_above[h][v], self.opened[h][w]]
                    if w <= v:
                        self.model.add_bool_or([x.negated() for x in pair])
                        continue
                    ready = work[v] + self.firsts_s(v) + least
                    self.model.add(work[w] >= ready).only_enforce_if(pair)
                    self.model.add(work[w] <= work[v] + most).only_enforce_if(pair)

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
            if solver.value(self.two[h]):
                lines.append(f"after {solver.value(self.first[h])} s at an earlier visit")
        return lines


def _kinds(out: Out) -> tuple[int, ...]:
    """Frames by kind, open ones with mixed ones; shakes, queen."""
    return (out.capped, out.open + out.mixed, out.food, out.shakes, out.queen)


def _told(out: Out) -> str:
    return ", ".join(f"{n} {kind}" for kind, n in zip(KINDS, out, strict=True) if n)
