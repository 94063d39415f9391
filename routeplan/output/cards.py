"""One card a stop, in working order: what to take, from which hive into which box, and what to place."""

from dataclasses import dataclass

from routeplan.operation.world import Hive, Yard
from routeplan.output import measures, words
from routeplan.output.day import Day, done_at, gave
from routeplan.plan import Stop, Take

EVEN_THIRD = 0.005
MOST_STANDBYS = 4


@dataclass(frozen=True)
class Out:
    """Frames of one hive that go into one box; `ticks` is one tick box a frame, and one for the shakes."""

    kinds: str
    box: str
    ticks: int


@dataclass(frozen=True)
class HiveWork:
    """What is done at one hive."""

    name: str
    queen: str
    flags: tuple[str, ...]
    outs: tuple[Out, ...]
    back: int
    seen: str
    note: str


@dataclass(frozen=True)
class BoxMade:
    """One split made here: what must be in it when it is closed, and the label to write on it."""

    name: str
    contents: str
    stays: str
    label: str


@dataclass(frozen=True)
class BoxPlaced:
    """One split placed here."""

    name: str
    source: str
    queen: str


@dataclass(frozen=True)
class Card:
    """One stop. Texts are ready to be shown; `need` is (count, kind) to be taken here in all."""

    number: int
    yard: str
    job: str
    arrive: str
    depart: str
    drive: str
    facts: tuple[tuple[str, str], ...]
    times: tuple[tuple[str, str], ...]
    placed: tuple[BoxPlaced, ...]
    place_steps: tuple[str, ...]
    need: tuple[tuple[int, str], ...]
    rule: str
    hive_steps: tuple[str, ...]
    hives: tuple[HiveWork, ...]
    standby: str
    made: tuple[BoxMade, ...]
    close_steps: tuple[str, ...]
    aboard: str


def cards(day: Day) -> tuple[Card, ...]:
    """Return the cards of all stops, in order."""
    return tuple(_card(day, number, stop) for number, stop in enumerate(day.plan.stops, 1))


def _card(day: Day, number: int, stop: Stop) -> Card:
    yard = day.operation.yard(stop.yard)
    hives = {h.id: h for h in day.operation.hives if h.yard == yard.id}
    opened = [hives[name] for name in stop.opens]
    return Card(
        number=number,
        yard=yard.id,
        job=" · ".join(done_at(day, stop)),
        arrive=measures.clock(stop.arrive),
        depart=measures.clock(stop.depart),
        drive=words.DRIVE.format(time=measures.span(stop.drive_s), distance=day.distance(stop.drive_m)),
        facts=_facts(yard),
        times=_times(stop),
        placed=tuple(_placed(day, split) for split in stop.places),
        place_steps=_place_steps(day, stop),
        need=_need(stop),
        rule=keep_rule(day) if stop.takes else "",
        hive_steps=_hive_steps(stop, opened) if opened else (),
        hives=tuple(_hive_work(day, stop, hive) for hive in opened),
        standby=_standby(day, stop) if stop.takes else "",
        made=tuple(_made(day, stop, split) for split in stop.makes),
        close_steps=words.CLOSE_STEPS if stop.makes else (),
        aboard=f"{measures.counted(stop.full, 'full box', 'full boxes')}, {stop.empty} empty",
    )


def _facts(yard: Yard) -> tuple[tuple[str, str], ...]:
    hours = []
    if yard.opens_min is not None:
        hours.append(words.OPENS.format(time=measures.clock(60 * yard.opens_min)))
    if yard.closes_min is not None:
        hours.append(words.CLOSES.format(time=measures.clock(60 * yard.closes_min)))
    carry = words.CARRY.format(minutes=measures.number(yard.carry_min)) if yard.carry_min else ""
    texts = (yard.gate, yard.access, " ".join(hours), carry, yard.note)
    return tuple((name, text) for name, text in zip(words.YARD_FACTS, texts, strict=True) if text)


def _times(stop: Stop) -> tuple[tuple[str, str], ...]:
    lengths = (stop.early_s, stop.set_up_s, stop.place_s, stop.wait_s, stop.hive_s, stop.make_s, stop.leave_s)
    named = zip(words.WORK, lengths, strict=True)
    return tuple((name, measures.span(seconds)) for name, seconds in named if seconds)


def _placed(day: Day, split_id: str) -> BoxPlaced:
    split = next(s for s in day.plan.splits if s.id == split_id)
    apart, least = day.distance(split.flying_m, 2), day.operation.settings.minimum_distance_m
    source = words.PLACED_FROM.format(yard=split.from_yard, apart=apart, least=day.distance(least, 2))
    return BoxPlaced(str(day.boxes[split_id]), source, words.QUEEN_WAY.get(split.queen, split.queen))


def _place_steps(day: Day, stop: Stop) -> tuple[str, ...]:
    if not stop.places or stop.opened is None:
        return ()
    caged = [s.id for s in day.plan.splits if s.id in stop.places and s.queen == "mated"]
    cages = (words.CAGES_IN.format(boxes=day.box_words(caged)),) if caged else ()
    return (*words.PLACE_STEPS, *cages, words.OPEN_LAST.format(time=measures.clock(stop.opened)))


def _need(stop: Stop) -> tuple[tuple[int, str], ...]:
    sums = {kind: sum(t.frames for t in stop.takes if t.kind == kind) for kind in words.KIND}
    return tuple(
        (n, ("shake" if n == 1 else "shakes") if kind == "shake" else words.KIND[kind])
        for kind, n in sums.items()
        if n
    )


def keep_rule(day: Day) -> str:
    """Write what no hive may be asked for or left without, usable on sight."""
    settings, show = day.operation.settings, measures.number
    keep, limits = settings.keep_back, settings.limits
    say, strong = words.KEEP_RULE, ""
    if limits.brood_per_strong_donor > limits.brood_per_donor and settings.season != "early spring":
        least = show(limits.strong_from_brood)
        strong = say["strong"].format(most=limits.brood_per_strong_donor, least=least)
    third = abs(limits.brood_share - 1 / 3) < EVEN_THIRD
    most = say["most"].format(
        brood=limits.brood_per_donor,
        strong=strong,
        share=say["third"] if third else f"{limits.brood_share:.0%}",
        food=limits.food_per_donor,
        shakes=limits.shakes_per_donor,
    )
    left = {kind: show(getattr(keep, kind)) for kind in ("brood", "open", "bees", "food")}
    return f"{most} {say['leave'].format(**left, cover=show(settings.bees.cover_over_brood))}"


def _hive_steps(stop: Stop, opened: list[Hive]) -> tuple[str, ...]:
    egg_givers = {t.hive for t in stop.takes if t.kind == "eggs"}
    mothers = [h.id for h in opened if h.id in egg_givers]
    bad = [h.id for h in opened if h.temper == "bad"]
    steps = list(words.HIVE_STEPS)
    if mothers:
        steps.insert(1, words.MOTHERS_FIRST.format(hives=measures.hives(mothers)))
    if bad:
        steps.append(words.BAD_TEMPERS_LAST.format(hives=measures.hives(bad)))
    return tuple(steps)


def _hive_work(day: Day, stop: Stop, hive: Hive) -> HiveWork:
    takes = [t for t in stop.takes if t.hive == hive.id]
    flags = [words.FLAG["mother"]] if any(t.kind == "eggs" for t in takes) else []
    flags += [words.FLAG["bad"]] if hive.temper == "bad" else []
    supers = measures.counted(hive.supers, "super")
    flags += [words.FLAG["supers"].format(supers=supers)] if hive.supers else []
    splits = sorted({t.split for t in takes}, key=lambda s: day.boxes[s])
    back = sum(p.combs for p in stop.puts_back if p.hive == hive.id)
    outs = tuple(_out(day, split, [t for t in takes if t.split == split]) for split in splits)
    queen = words.QUEEN_HERE.get(hive.queen, hive.queen)
    return HiveWork(hive.id, queen, tuple(flags), outs, back, _seen(hive), hive.note)


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
    when = measures.day_words(count.inspected) if count.inspected else words.NO_DATE
    return f"{when}: {', '.join(texts)}" if texts else ""


def _out(day: Day, split: str, takes: list[Take]) -> Out:
    ordered = [(k, sum(t.frames for t in takes if t.kind == k)) for k in words.KIND]
    ticks = sum(n if k != "shake" else min(n, 1) for k, n in ordered)
    return Out(measures.kinds(ordered, " + "), day.box_words([split]), ticks)


def _made(day: Day, stop: Stop, split_id: str) -> BoxMade:
    split = next(s for s in day.plan.splits if s.id == split_id)
    takes = [t for t in stop.takes if t.split == split_id]
    givers = [
        words.FROM_HIVE.format(
            hive=hive, kinds=measures.kinds((t.kind, t.frames) for t in takes if t.hive == hive)
        )
        for hive in dict.fromkeys(t.hive for t in takes)
    ]
    into = sum(t.frames for t in takes if t.kind != "shake")
    stays = day.operation.kit(split.kit).combs - into
    say, mother = words.LABEL, ", ".join(dict.fromkeys(t.hive for t in takes if t.kind == "eggs"))
    label = [say["box"].format(box=day.boxes[split_id]), measures.day_words(day.plan.day)]
    label += [say["from"].format(yard=split.from_yard, hives=measures.hives(split.donors))]
    label += [say["mother"].format(mother=mother)] if mother else []
    label += [words.QUEEN_WAY.get(split.queen, split.queen), say["to"].format(yard=split.to_yard)]
    stay = measures.counted(stays, words.STAYS[0], words.STAYS[1])
    return BoxMade(str(day.boxes[split_id]), "; ".join(givers), stay, " · ".join(label))


def _standby(day: Day, stop: Stop) -> str:
    spare = [
        line
        for line in day.plan.hives
        if line.yard == stop.yard and not gave(line) and any(n for _, n in line.could)
    ]
    spare.sort(key=lambda line: -sum(n for _, n in line.could))
    texts = [words.UP_TO.format(hive=line.hive, kinds=measures.kinds(line.could)) for line in spare]
    return words.STANDBY.format(hives=", then ".join(texts[:MOST_STANDBYS])) if texts else words.NO_STANDBY
