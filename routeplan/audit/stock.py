"""R11: combs put back into the donors, and what must be at home for the boxes that go out."""

from collections import Counter
from collections.abc import Iterator

from routeplan.audit.case import Case, named
from routeplan.audit.violation import Violation, count


def put_back(case: Case) -> Iterator[Violation]:
    """R11: as many combs go back into each donor as frames came out; stock has the combs and boxes."""
    for i, stop in case.numbered:
        out, back = Counter[str](), Counter[str]()
        for take in stop.takes:
            out[take.hive] += take.frames if take.kind != "shake" else 0
        for put in stop.puts_back:
            back[put.hive] += put.combs
        for hive in sorted(out.keys() | back.keys()):
            if out[hive] != back[hive]:
                text = (
                    f"stop {i}: {named((stop.yard, hive))} loses {out[hive]} and gets back {back[hive]} combs"
                )
                yield Violation("R11", text, abs(out[hive] - back[hive]), "combs", (stop.yard, hive))
    for frame in sorted({s.frame for s in case.splits.values()}):
        yield from _stock(case, frame)


def _stock(case: Case, frame: str) -> Iterator[Violation]:
    splits = [s for s in case.splits.values() if s.frame == frame]
    kits = [case.kits[s.kit] for s in splits if s.kit in case.kits]
    needs = []
    combs, boxes = case.operation.combs(frame), case.operation.nuc_boxes(frame)
    if combs is not None:
        needs.append((f"{frame} comb", sum(k.combs for k in kits), sum(combs)))
        needs.append((f"drawn {frame} comb", sum(k.drawn for k in kits), combs[0]))
    if boxes is not None:
        needs.append((f"{frame} nuc box", len(splits), boxes))
    for thing, need, there in needs:
        if need > there:
            unit = "boxes" if thing.endswith("box") else "combs"
            text = f"{count(need, thing)} needed, {there} at home: {need - there} short"
            yield Violation("R11", text, need - there, unit, (frame,))
