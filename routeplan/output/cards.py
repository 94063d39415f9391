"""One card a stop, in working order: what to take, from which hive into which box, and what to place."""

from dataclasses import dataclass

from routeplan.operation.world import Hive, Yard
from routeplan.output import measures, words
from routeplan.output.day import Day, gave
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
    did = [f"make {day.box_words(stop.makes)}"] if stop.makes else []
    did += [f"place {day.box_words(stop.places)}"] if stop.places else []
    return Card(
        number=number,
        yard=yard.id,
        job=" · ".join(reversed(did)),
        arrive=measures.clock(stop.arrive),
        depart=measures.clock(stop.depart),
        drive=f"drive {measures.span(stop.drive_s)}, {day.distance(stop.drive_m)}",
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
        hours.append(f"from {measures.clock(60 * yard.opens_min)}")
    if yard.closes_min is not None:
        hours.append(f"until {measures.clock(60 * yard.closes_min)}")
    carry = f"{measures.number(yard.carry_min)} min on foot each way" if yard.carry_min else ""
    facts = (
        ("Gate", yard.gate),
        ("Way in", yard.access),
        ("Hours", " ".join(hours)),
        ("Carry", carry),
        ("Note", yard.note),
    )
    return tuple((name, text) for name, text in facts if text)


def _times(stop: Stop) -> tuple[tuple[str, str], ...]:
    parts = (
        ("wait for the yard to open", stop.early_s),
        ("set up", stop.set_up_s),
        ("place boxes", stop.place_s),
        ("wait till hives may be opened", stop.wait_s),
        ("hive work", stop.hive_s),
        ("close, label, load", stop.make_s),
        ("pack up", stop.leave_s),
    )
    return tuple((name, measures.span(seconds)) for name, seconds in parts if seconds)


def _placed(day: Day, split_id: str) -> BoxPlaced:
    split = next(s for s in day.plan.splits if s.id == split_id)
    apart, least = day.distance(split.flying_m, 2), day.operation.settings.minimum_distance_m
    source = f"from {split.from_yard}, {apart} away (at least {day.distance(least, 2)})"
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
    strong = ""
    if limits.brood_per_strong_donor > limits.brood_per_donor and settings.season != "early spring":
        strong = f" ({limits.brood_per_strong_donor} from one with {show(limits.strong_from_brood)} or more)"
    share = "a third" if abs(limits.brood_share - 1 / 3) < EVEN_THIRD else f"{limits.brood_share:.0%}"
    return (
        f"Never more than {limits.brood_per_donor} brood frames from one hive{strong}, never over {share} "
        f"of its brood; {limits.food_per_donor} food and {limits.shakes_per_donor} shakes at most. "
        f"Leave {show(keep.brood)} brood (of which {show(keep.open)} open), {show(keep.bees)} frames of "
        f"bees, {show(keep.food)} food; {show(settings.bees.cover_over_brood)} frame of bees more than brood."
    )


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
    flags = ["queen mother"] if any(t.kind == "eggs" for t in takes) else []
    flags += ["bad temper"] if hive.temper == "bad" else []
    flags += [measures.counted(hive.supers, "super") + " on"] if hive.supers else []
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
        f"hive {hive}: {measures.kinds((t.kind, t.frames) for t in takes if t.hive == hive)}"
        for hive in dict.fromkeys(t.hive for t in takes)
    ]
    into = sum(t.frames for t in takes if t.kind != "shake")
    stays = day.operation.kit(split.kit).combs - into
    mother = [t.hive for t in takes if t.kind == "eggs"]
    label = [f"Box {day.boxes[split_id]}", measures.day_words(day.plan.day)]
    label += [f"from {split.from_yard}, {measures.hives(split.donors)}"]
    label += [f"mother {', '.join(dict.fromkeys(mother))}"] if mother else []
    label += [words.QUEEN_WAY.get(split.queen, split.queen), f"to {split.to_yard}"]
    return BoxMade(
        str(day.boxes[split_id]),
        "; ".join(givers),
        f"{measures.counted(stays, 'comb')} from home stays in it"
        if stays == 1
        else f"{stays} combs from home stay in it",
        " · ".join(label),
    )


def _standby(day: Day, stop: Stop) -> str:
    spare = [
        line
        for line in day.plan.hives
        if line.yard == stop.yard and not gave(line) and any(n for _, n in line.could)
    ]
    spare.sort(key=lambda line: -sum(n for _, n in line.could))
    texts = [f"hive {line.hive} (up to {measures.kinds(line.could)})" for line in spare]
    return words.STANDBY.format(hives=", then ".join(texts[:MOST_STANDBYS])) if texts else words.NO_STANDBY
