"""R11: combs put back into the donors, and what must be at home for the boxes that go out."""

from collections import Counter
from collections.abc import Iterator

from routeplan.audit.case import Case, named
from routeplan.audit.violation import Violation, count


def put_back(case: Case) -> Iterator[Violation]:
    """R11: as many combs go back into each donor as frames came out, none into one that is broken up; stock
    has the combs and boxes."""
    for i, stop in case.numbered:
        out, back = Counter[str](), Counter[str]()
        for take in stop.takes:
            out[take.hive] += take.frames if take.kind not in ("shake", "queen") else 0
        for put in stop.puts_back:
            back[put.hive] += put.combs
        for hive in sorted(out.keys() | back.keys()):
            if (stop.yard, hive) in case.operation.broken_up:
                if back[hive]:
                    text = f"stop {i}: {named((stop.yard, hive))} is broken up and gets {back[hive]} combs"
                    yield Violation("R11", text, back[hive], "combs", (stop.yard, hive))
            elif out[hive] != back[hive]:
                text = (
                    f"stop {i}: {named((stop.yard, hive))} loses {out[hive]} and gets back {back[hive]} combs"
                )
                yield Violation("R11", text, abs(out[hive] - back[hive]), "combs", (stop.yard, hive))
    for frame in sorted({s.frame for s in case.splits.values()}):
        yield from _stock(case, frame)
    yield from _swaps(case)
    yield from _fences(case)


def _swaps(case: Case) -> Iterator[Violation]:
    """What stands in for food frames is allowed and in stock."""
    allowed = case.operation.settings.swaps
    words = {"": True, "food comb": allowed.food_comb, "feeder": allowed.feeder}
    for split in case.splits.values():
        kit = case.kits.get(split.kit)
        own = (order := case.orders.get(split.order)) is not None and order.hive is not None
        if not words.get(split.swap, False) or (split.swap and (own or kit is None or not kit.food)):
            text = f"split {split.id}: {split.swap!r} may not stand in for its food frames"
            yield Violation("R2", text, 1, "split", (split.id,))
    feeders = sum(s.swap == "feeder" for s in case.splits.values())
    yield from _short("feeder", feeders, case.operation.counted("feeder") or 0, "")
    for frame in sorted({s.frame for s in case.splits.values() if s.swap == "food comb"}):
        kits = [
            case.kits.get(s.kit) for s in case.splits.values() if (s.frame, s.swap) == (frame, "food comb")
        ]
        need = sum(k.food for k in kits if k is not None)
        yield from _short(f"{frame} food comb", need, case.operation.counted("food comb", frame) or 0, frame)


def _short(thing: str, need: int, there: int, frame: str) -> Iterator[Violation]:
    if need > there:
        text = f"{count(need, thing)} needed, {there} at home: {need - there} short"
        yield Violation("R11", text, need - there, "pieces", (frame,) if frame else ())


def _fences(case: Case) -> Iterator[Violation]:
    """Where bears come and no fence stands, splits need a fence kit, and are placed at one stop only."""
    stops = Counter(stop.yard for stop in case.plan.stops if stop.places)
    bare = [y for y in case.operation.yards if y.bear and y.fence is not True and stops[y.id]]
    yield from _short("fence kit", len(bare), case.operation.counted("fence kit") or 0, "")
    for yard in bare:
        if stops[yard.id] > 1:
            text = f"{yard.id} needs a fence and is placed at at {stops[yard.id]} stops, not at one"
            yield Violation("R6", text, stops[yard.id] - 1, "stops", (yard.id,))


def _stock(case: Case, frame: str) -> Iterator[Violation]:
    splits = [s for s in case.splits.values() if s.frame == frame]
    kits = [case.kits[s.kit] for s in splits if s.kit in case.kits]
    needs = []
    combs, boxes = case.operation.combs(frame), case.operation.nuc_boxes(frame)
    if combs is not None:
        needs.append((f"{frame} comb", sum(case.combs_from_home(s) for s in splits), sum(combs)))
        needs.append((f"drawn {frame} comb", sum(k.drawn for k in kits), combs[0]))
    if boxes is not None:
        needs.append((f"{frame} nuc box", len(splits), boxes))
    for thing, need, there in needs:
        if need > there:
            unit = "boxes" if thing.endswith("box") else "combs"
            text = f"{count(need, thing)} needed, {there} at home: {need - there} short"
            yield Violation("R11", text, need - there, unit, (frame,))
