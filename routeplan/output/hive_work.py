"""What is done at one hive: which frames go into which box, how to be sure of the queen, combs put back."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from routeplan.colony.which_frames import ORDER, which_frames
from routeplan.operation.world import Hive
from routeplan.output import card_words as say
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.sure import check, flags, is_mother, own_right_boxes, special, stays, sure
from routeplan.output.two_passes import second_pass
from routeplan.plan import Stop, Take

ONE_TICK = ("shake", "queen")
"""What gets a single tick box however many there are."""


@dataclass(frozen=True)
class Out:
    """What goes from one hive into one box; `ticks` names the kind of each tick box: one a frame, one for
    all shakes, one for a queen.
    """

    kinds: str
    box: str
    ticks: tuple[str, ...]


@dataclass(frozen=True)
class HiveWork:
    """One hive on a card; `sure` says how to be sure of its queen, `special` what else to know,
    `stays` what must stay where that is not the yard's rule, `check` the tick before the first frame.
    """

    name: str
    flags: tuple[str, ...]
    sure: tuple[str, ...]
    special: tuple[str, ...]
    stays: tuple[str, ...]
    check: str
    outs: tuple[Out, ...]
    back: int
    seen: str
    note: str


def hive_steps(day: Day, stop: Stop, opened: Sequence[Hive]) -> tuple[str, ...]:
    """Return the order of work in the yard: shade, own right and mothers first, bad tempers last."""
    own = [h.id for h in opened if own_right_boxes(day, h)]
    mothers = [
        h.id
        for h in opened
        if h.id not in own and h.temper != "bad" and is_mother(day, [t for t in stop.takes if t.hive == h.id])
    ]
    bad = [h.id for h in opened if h.temper == "bad"]
    yard = day.operation.yard(stop.yard)
    flow = yard.has_flow(day.operation.day, day.operation.settings.dearth)
    begun = {h.id for h in opened[: len(own)]} == set(own)
    steps = [say.HIVE_STEPS[0]]
    if own:
        steps.append(
            (say.OWN_RIGHT_FIRST if begun else say.OWN_RIGHT_APART).format(hives=measures.hives(own))
        )
    if mothers:
        mothers_turn = say.MOTHERS_NEXT if own and begun else say.MOTHERS_FIRST
        steps.append(mothers_turn.format(hives=measures.hives(mothers)))
    steps += say.HIVE_STEPS[1:]
    steps += [say.BRUSH] if any(not t.bees for t in stop.takes) else []
    steps += [say.BAD_TEMPERS_LAST.format(hives=measures.hives(bad))] if bad else []
    return (*steps, *(() if flow else (say.DEARTH_HIVES,)))


def hive_work(day: Day, stop: Stop, hive: Hive) -> HiveWork:
    """Return what is done at one hive of a stop."""
    takes = [t for t in stop.takes if t.hive == hive.id]
    numbers = _numbers(day, hive, takes)
    return HiveWork(
        name=hive.id,
        flags=flags(day, hive, takes),
        sure=_sure(day, stop, hive, takes),
        special=special(day, hive, takes),
        stays=stays(day, hive, takes),
        check=check(stop, hive),
        outs=tuple(_out(day, stop, split, kinds, numbers) for split, kinds in hive_kinds(day, stop, hive.id)),
        back=sum(p.combs for p in stop.puts_back if p.hive == hive.id),
        seen=_seen(hive),
        note=hive.note,
    )


def _sure(day: Day, stop: Stop, hive: Hive, takes: Sequence[Take]) -> tuple[str, ...]:
    """Say how to be sure of the queen; of two passes it is the second."""
    if dict(stop.ways).get(hive.id) == "excluder":
        return (second_pass(day, stop, hive.id),)
    return sure(day, stop, hive, takes)


def _seen(hive: Hive) -> str:
    """Write the newest count as it was made."""
    count = hive.count
    brood = (
        ((count.capped, "capped"), (count.open, "open"))
        if count.capped is not None and count.open is not None
        else ((count.brood, "brood"),)
    )
    parts = [(count.bees, "frames of bees"), *brood, (count.food, "food")]
    texts = [f"{measures.number(value)} {what}" for value, what in parts if value is not None]
    when = measures.day_words(count.inspected) if count.inspected else say.NO_DATE
    return f"{when}: {', '.join(texts)}" if texts else ""


def hive_kinds(day: Day, stop: Stop, hive: str) -> list[tuple[str, list[tuple[str, int]]]]:
    """Return what leaves one hive, by split in the order of boxes: kinds with counts."""
    found: dict[str, dict[str, int]] = {}
    for take in stop.takes:
        if take.hive == hive:
            kinds = found.setdefault(take.split, {})
            kinds[take.kind] = kinds.get(take.kind, 0) + take.frames
    return [
        (split, [(kind, found[split][kind]) for kind in words.KIND if found[split].get(kind)])
        for split in sorted(found, key=lambda s: day.boxes[s])
    ]


def _numbers(day: Day, hive: Hive, takes: list[Take]) -> dict[str, list[int]]:
    """Which frames of a hive to take for each kind, where they were looked at one by one."""
    looks = [f for f in day.operation.frames if (f.yard, f.hive) == hive.key]
    asked = Counter({kind: sum(t.frames for t in takes if t.kind == kind) for kind in ORDER})
    return {kind: list(found) for kind, found in which_frames(looks, asked).items()}


def _out(
    day: Day, stop: Stop, split: str, kinds: list[tuple[str, int]], numbers: dict[str, list[int]]
) -> Out:
    """What goes into one box; the numbers of its frames are taken off `numbers`."""
    ticks = tuple(
        words.KIND[kind] for kind, count in kinds for _ in range(min(count, 1) if kind in ONE_TICK else count)
    )
    named = []
    for kind, count in kinds:
        own = numbers.get(kind, [])
        named += [f"{words.KIND[kind]} {number}" for number in own[:count]]
        numbers[kind] = own[count:]
    told = f" ({say.FRAMES_OF.format(frames=', '.join(named))})" if named else ""
    told += f", {say.BARE}" if any(not t.bees and t.split == split for t in stop.takes) else ""
    return Out(measures.kinds(kinds, " + ") + told, day.box_words([split]), ticks)
