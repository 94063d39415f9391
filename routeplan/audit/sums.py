"""R13 for the whole day: totals, what each hive gives, and the claims of the proof."""

from collections import Counter
from collections.abc import Iterator

from routeplan.audit.case import Case, Key, frames_out, named
from routeplan.audit.figures import figure, making_s
from routeplan.audit.violation import Violation, count, lasting


def sums(case: Case) -> Iterator[Violation]:
    """R13: totals are the sum of their parts, the bound is not above the minutes, "optimal" is proved."""
    yield from _totals(case)
    yield from _proof(case)
    yield from _hive_lines(case)


def _totals(case: Case) -> Iterator[Violation]:
    """Driving, yards, hives, making, placing and waiting make up the paid time."""
    t, stops = case.plan.totals, case.plan.stops
    last = stops[-1].depart if stops else t.leave_home
    rights = (
        ("splits asked for", t.asked, sum(o.count for o in case.operation.orders), "splits"),
        ("splits placed", t.placed, len(case.splits), "splits"),
        ("the paid time", t.paid_s, t.back_home - t.leave_home, "s"),
        ("all driving", t.drive_s, sum(s.drive_s for s in stops) + t.home_drive_s, "s"),
        ("all driving", t.drive_m, sum(s.drive_m for s in stops) + t.home_drive_m, "m"),
        ("setting up and clearing up at yards", t.yard_s, sum(s.set_up_s + s.leave_s for s in stops), "s"),
        ("work on hives", t.hive_s, sum(s.hive_s for s in stops), "s"),
        ("making up splits", t.make_s, sum(s.make_s for s in stops), "s"),
        ("placing boxes", t.place_s, sum(s.place_s for s in stops), "s"),
        ("waiting", t.wait_s, sum(s.early_s + s.wait_s for s in stops), "s"),
        ("hives opened", t.hives_opened, sum(len(s.opens) for s in stops), "hives"),
        ("frames taken", t.frames_taken, sum(frames_out(g) for g in case.gives.values()), "frames"),
    )
    for what, stated, right, unit in rights:
        yield from figure(f"the whole day: {what}", stated, right, unit)
    if t.back_home >= last:
        yield from figure("the whole day: being back", t.back_home, last + t.home_drive_s, "clock")


def _proof(case: Case) -> Iterator[Violation]:
    p, placed = case.plan.proof, len(case.splits)
    yield from figure("how good: all that counts", p.objective_s, case.plan.totals.counted_s, "s")
    yield from figure("how good: the making of the splits", p.making_s, making_s(case), "s")
    over = p.bound_s - p.objective_s
    if over > 0:
        text = f"no plan is said to count less than {lasting(p.bound_s)}, "
        text += f"this one counts {lasting(p.objective_s)}"
        yield Violation("R13", text, over, "s")
    if p.status == "optimal" and over < 0:
        text = f"the minutes are called best possible, the proof leaves {lasting(-over)} open"
        yield Violation("R13", text, -over, "s")
    if p.most_splits < placed:
        text = f"at most {count(p.most_splits, 'split')} are said to be possible, {placed} are placed"
        yield Violation("R13", text, placed - p.most_splits, "splits")
    if p.count_status == "optimal" and p.most_splits > placed:
        text = f"{placed} splits are called the most possible, the proof says at most {p.most_splits}"
        yield Violation("R13", text, p.most_splits - placed, "splits")
    if p.status == "none" and (placed or case.plan.stops):
        text = f"the plan is called no plan, yet it has {count(len(case.plan.stops), 'stop')}"
        yield Violation("R13", text, len(case.plan.stops), "stops")


def _hive_lines(case: Case) -> Iterator[Violation]:
    """What is said of each hive is what it gives; every donor is listed."""
    stated: dict[Key, Counter[str]] = {}
    for line in case.plan.hives:
        given = stated.setdefault((line.yard, line.hive), Counter())
        for kind, frames in line.gives:
            given["open" if kind in ("eggs", "mixed") else kind] += frames
    for key in sorted(stated.keys() | case.gives.keys()):
        gives = Counter(case.gives.get(key, Counter()))
        gives["open"] += gives.pop("eggs", 0) + gives.pop("mixed", 0)
        said = stated.get(key, Counter())
        for kind in sorted(gives.keys() | said.keys()):
            yield from figure(
                f"{named(key)}: what it gives of {kind}", said[kind], gives[kind], "frames", key
            )
