"""What was done at each stop of a plan: boxes begun, made and placed, and what went into them.

A box that has frames when its stop is left, and is not made, is begun: aboard, to be completed elsewhere.
That is where boxes may be of two yards; else it must be finished or given up.
"""

from collections import Counter

from routeplan.field.log import Log, StopLog
from routeplan.operation.findings import Finding
from routeplan.plan import Plan, Stop, Take, box_numbers

AS_PLANNED = "Stop {n}, {yard}: nothing was written down, taken as done as planned."
PUT_BACK = "Box {box} is given up: its frames go back into the hives they came from."
NOT_MADE = "Box {box} was not made at {yard}{why}."
NOT_BEGUN = "Box {box} was not begun at {yard}{why}."
NOT_COMPLETED = "Box {box} was not completed at {yard}{why}."


class Deeds:
    """The stops of a plan that were done, one after the other.

    Attributes
    ----------
    last : the stop, from 0, that is done last; -1 for none. `through`: whether the crew is through there.
    done_of : the stops done, from 0; `takes` of each.
    begun, made, placed : split to the visit done, from 1; one made at the visit that began it is not begun.
    told : what was taken for granted, in sentences; `findings`: what does not fit.
    """

    def __init__(self, plan: Plan, log: Log, from_stop: int | None, pools: bool) -> None:
        self.plan, self.log, self.pools = plan, log, pools
        self.before = plan.done.stops if plan.done else 0
        written = [
            i for i, one in enumerate(log.stops) if one.written and (one.skipped is None or was_there(one))
        ]
        self.last = max([self.before - 1, *written]) if from_stop is None else from_stop - 1
        self.through = from_stop is not None
        self.boxes = box_numbers(plan)
        self.planned = {s.id: s for s in plan.splits}
        self.findings: list[Finding] = []
        self.told: list[str] = []
        self.takes: list[list[Take]] = []
        self.begun: dict[str, int] = {}
        self.made: dict[str, int] = {}
        self.placed: dict[str, int] = {}
        self.done_of: list[int] = []
        for i in range(self.last + 1):
            if i < self.before or log.stops[i].skipped is None or was_there(log.stops[i]):
                self._what_was_done(i)
        self._unfinished()

    def fault(self, message: str, cure: str = "") -> None:
        """Note what does not fit."""
        self.findings.append(Finding("error", "The notes", None, None, "", message, cure))

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
        self.takes.append([])
        self._given_up_here(stop, one)
        made = self._made_here(stop, one, through)
        for split in made:
            if split in self.made:
                self.fault(f"box {self.boxes[split]} is made twice.")
            self.made.setdefault(split, n)
            self.takes[-1] += self._taken(stop, i, split)
        for split in self._begun_here(stop, one, through):
            self.begun[split] = n
            self.takes[-1] += self._noted_here(stop, i, split) or self._planned(stop, split)

    def _placed_here(self, stop: Stop, one: StopLog, through: bool) -> list[str]:
        if one.placed:
            return list(one.placed)
        if not (through or one.opened_s is not None):
            return []
        return [s for s in stop.places if s not in one.no_box and s in self.made and s not in self.placed]

    def _given_up_here(self, stop: Stop, one: StopLog) -> None:
        """A begun box given up in the yard that began it: its frames are back there."""
        for split in one.no_box:
            at = self.begun.get(split)
            if at is not None and self.plan.stops[self.done_of[at - 1]].yard == stop.yard:
                del self.begun[split]
                self.takes[at - 1] = [t for t in self.takes[at - 1] if t.split != split]
                self.told.append(PUT_BACK.format(box=self.boxes[split]))

    def _made_here(self, stop: Stop, one: StopLog, through: bool) -> list[str]:
        if one.made or not through:
            return list(dict.fromkeys(one.made))
        made = []
        for split in stop.makes:
            if split in self.made:
                continue
            missing = [t.hive for t in self._planned(stop, split) if t.hive in one.no_hive]
            noted = any(s == split for s, _ in one.taken)
            unbegun = self.planned[split].begun_at and split not in self.begun and not noted
            if split in one.no_box or (missing and not noted) or unbegun:
                why = one.no_box.get(split) or (one.no_hive[missing[0]] if missing else "")
                why = why or ("it was not begun" if unbegun else "")
                text = NOT_COMPLETED if split in self.begun else NOT_MADE
                self._tell(text, split, stop, why)
            else:
                made.append(split)
        return made

    def _begun_here(self, stop: Stop, one: StopLog, through: bool) -> list[str]:
        """Boxes that have frames now and are not made; those still being filled are left out (unfinished)."""
        begun = []
        noted = dict.fromkeys(split for split, _ in one.taken)
        for split in dict.fromkeys((*stop.begins, *noted)):
            if split in self.made or split in one.no_box:
                if split in stop.begins and split not in self.made:
                    self._tell(NOT_BEGUN, split, stop, one.no_box[split])
            elif split in self.begun:
                if split in noted:
                    self.fault(
                        f"box {self.boxes[split]} got frames at {stop.yard} too and is not made there.",
                        "Write split_made where it is complete.",
                    )
            elif split in noted:
                if self.pools and (through or split not in stop.makes):
                    begun.append(split)
            elif self._begun_as_planned(stop, one, through, split):
                begun.append(split)
        return begun

    def _begun_as_planned(self, stop: Stop, one: StopLog, through: bool, split: str) -> bool:
        hives = {t.hive for t in self._planned(stop, split)}
        missing = sorted(hives & one.no_hive.keys())
        if missing and through:
            self._tell(NOT_BEGUN, split, stop, one.no_hive[missing[0]])
        return not missing and (through or hives <= set(one.done_hives))

    def _tell(self, text: str, split: str, stop: Stop, why: str) -> None:
        self.told.append(text.format(box=self.boxes[split], yard=stop.yard, why=f": {why}" if why else ""))

    def _planned(self, stop: Stop, split: str) -> list[Take]:
        return [t for t in stop.takes if t.split == split]

    def _noted_here(self, stop: Stop, i: int, split: str) -> list[Take]:
        here = [(hive, row) for (s, hive), row in self.log.stops[i].taken.items() if s == split]
        return [take for hive, row in here for take in self._noted(stop, split, hive, row)]

    def _taken(self, stop: Stop, i: int, split: str) -> list[Take]:
        """What went into a box where it was made: as noted there, else as planned."""
        elsewhere = {j for j, one in enumerate(self.log.stops) for s, _ in one.taken if s == split} - {i}
        if not self.pools and any(self.plan.stops[j].yard != stop.yard for j in elsewhere):
            self.fault(
                f"box {self.boxes[split]} has frames of two yards.",
                "Boxes get all their frames from one yard.",
            )
        noted = self._noted_here(stop, i, split)
        if noted or (elsewhere and not self.pools):
            return noted
        takes = [t for s in self.plan.stops for t in self._planned(s, split) if s.yard == stop.yard]
        for hive in sorted({t.hive for t in takes} & self.log.stops[i].no_hive.keys()):
            self.fault(
                f"box {self.boxes[split]} was to get frames of hive {hive} at {stop.yard}, "
                "which could not be done.",
                "Write down what it got (frame_taken).",
            )
        if self.planned[split].begun_at and split not in self.begun:
            self.fault(
                f"box {self.boxes[split]} is made at {stop.yard}, and was not begun.",
                "Write down what it got (frame_taken).",
            )
        return takes

    def _noted(self, stop: Stop, split: str, hive: str, row: Counter[str]) -> list[Take]:
        """Frames noted, in the plan's own kinds: eggs for a split that raises its queen, mixed as planned."""
        planned = [t for s in self.plan.stops for t in s.takes if t.split == split]
        mixed = any(t.kind == "mixed" for t in planned if t.hive == hive)
        raises = self.planned[split].queen == "raise own"
        open_kind = "mixed" if mixed else "eggs" if raises else "open"
        here = self._planned(stop, split)
        bees = not here or any(t.bees for t in here) or bool(row["shake"])
        takes = [
            Take(hive, open_kind if kind == "open" else kind, n, split, bees) for kind, n in row.items() if n
        ]
        if any(t.kind == "queen" and t.hive == hive for t in planned):
            takes.append(Take(hive, "queen", 1, split))
        return takes

    def _unfinished(self) -> None:
        """A box with frames noted is finished, or given up: its frames are then back in their hives."""
        noted = {split for one in self.log.stops for split, _ in one.taken}
        left, open_ = self._from_hives_done()
        noted |= open_
        given_up = {split for one in self.log.stops for split in one.no_box}
        there = self.made.keys() | self.begun.keys()
        for split in sorted(noted - there - given_up, key=self.boxes.__getitem__):
            self.fault(
                f"box {self.boxes[split]} has frames in it and is not made.",
                "Finish it from the hives that stand by, or write could_not and put its frames back.",
            )
        back = noted & given_up | left - open_
        for split in sorted(back - there, key=self.boxes.__getitem__):
            self.told.append(PUT_BACK.format(box=self.boxes[split]))

    def _from_hives_done(self) -> tuple[set[str], set[str]]:
        """Boxes not made that a hive closed again gave to: at stops left, and at one still worked at."""
        left: set[str] = set()
        open_: set[str] = set()
        for i, (stop, one) in enumerate(zip(self.plan.stops, self.log.stops, strict=True)):
            gave = {t.split for t in stop.takes if t.hive in one.done_hives}
            gave -= self.made.keys() | self.begun.keys()
            through = i < self.last or self.through or one.left_s is not None
            (left if through else open_).update(gave)
        return left, open_


def was_there(one: StopLog) -> bool:
    """Whether the crew was at a stop, also where it could not be done."""
    return one.arrived_s is not None
