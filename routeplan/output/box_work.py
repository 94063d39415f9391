"""What is done with the boxes: what must be in each when it is closed, its label, placing and opening it."""

from dataclasses import dataclass

from routeplan.output import card_words as say
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.sure import is_mother
from routeplan.plan import Split, Stop, Take

BROOD = ("capped", "open", "eggs", "mixed")


@dataclass(frozen=True)
class BoxMade:
    """One split made here: what must be in it when it is closed, and the label to write on it."""

    name: str
    contents: str
    stays: str
    label: str


@dataclass(frozen=True)
class BoxBegun:
    """One split begun here, to be completed at another yard: what goes in, and its label."""

    name: str
    text: str
    label: str


@dataclass(frozen=True)
class BoxPlaced:
    """One split placed here."""

    name: str
    source: str
    queen: str


def close_steps(day: Day, stop: Stop) -> tuple[str, ...]:
    """Return what is done with every box made here."""
    queens = any(t.kind == "queen" for t in stop.takes)
    return (*say.CLOSE_STEPS, *((say.CLOSE_QUEEN,) if queens else ())) if stop.makes else ()


def box_made(day: Day, stop: Stop, split_id: str) -> BoxMade:
    """Return one box made at a stop."""
    split = _split(day, split_id)
    takes = [t for t in stop.takes if t.split == split_id]
    before = begun_takes(day, split)
    parts = [] if not before else [say.BEGUN_BEFORE.format(yard=split.begun_yard, contents=_givers(before))]
    parts += [_givers(takes), swapped(day, split)]
    name, every = str(day.boxes[split_id]), [*before, *takes]
    stays, label = _stays(day, split, every), _label(day, split, every)
    return BoxMade(name, "; ".join(part for part in parts if part), stays, label)


def begun_takes(day: Day, split: Split) -> list[Take]:
    """Return what a box of two yards got where it was begun."""
    if not split.begun_at:
        return []
    return [t for t in day.plan.stops[split.begun_at - 1].takes if t.split == split.id]


def box_begun(day: Day, stop: Stop, split_id: str) -> BoxBegun:
    """Return one box begun at a stop."""
    split = _split(day, split_id)
    takes = [t for t in stop.takes if t.split == split_id]
    text = say.BEGUN.format(contents=_givers(takes), yard=split.from_yard, stop=split.made_at)
    return BoxBegun(str(day.boxes[split_id]), text, _label(day, split, takes))


def begun_steps(day: Day, stop: Stop) -> tuple[str, ...]:
    """Return what holds for the boxes begun at a stop."""
    if not stop.begins:
        return ()
    steps = [*say.BEGUN_STEPS]
    brood = [
        s
        for s in day.splits()
        if s.id in stop.begins and any(not t.bees and t.kind in BROOD for t in stop.takes if t.split == s.id)
    ]
    minutes = measures.span(round(60 * day.operation.settings.limits.bare_brood_min))
    for yard in dict.fromkeys(s.from_yard for s in brood):
        boxes = day.box_words(s.id for s in brood if s.from_yard == yard)
        steps.append(say.BEGUN_BARE_BROOD.format(yard=yard, minutes=minutes, boxes=boxes))
    return tuple(steps)


def _givers(takes: list[Take]) -> str:
    """Write what comes from which hive: "1 capped from hive A1; 1 food from hive A2, without bees"."""
    texts = []
    for hive, bees in dict.fromkeys((t.hive, t.bees) for t in takes):
        kinds = measures.kinds((t.kind, t.frames) for t in takes if (t.hive, t.bees) == (hive, bees))
        texts.append((say.FROM_HIVE if bees else say.BARE_FRAMES).format(hive=hive, kinds=kinds))
    return "; ".join(texts)


def swapped(day: Day, split: Split) -> str:
    """Say what stands in for a split's food frames; nothing when they come from hives."""
    food = day.operation.kit(split.kit).food
    if split.swap == "food comb":
        return say.FOOD_COMB[food > 1].format(n=food)
    return say.FEEDER if split.swap == "feeder" else ""


def _stays(day: Day, split: Split, takes: list[Take]) -> str:
    """Count the combs it left home with that no frame of a hive replaces."""
    kit = day.operation.kit(split.kit)
    into = sum(t.frames for t in takes if t.kind not in ("shake", "queen"))
    return measures.counted(kit.combs - into - (kit.food if split.swap else 0), *say.STAYS)


def _label(day: Day, split: Split, takes: list[Take]) -> str:
    text = say.LABEL
    mother = ", ".join(dict.fromkeys(t.hive for t in takes if is_mother(day, [t])))
    queen = ", ".join(t.hive for t in takes if t.kind == "queen")
    label = [text["box"].format(box=day.boxes[split.id]), measures.day_words(day.plan.day)]
    if split.begun_at:
        label += [text["from"].format(yard=split.begun_yard, hives=measures.hives(split.begun_donors))]
    label += [text["from"].format(yard=split.from_yard, hives=measures.hives(split.donors))]
    label += [text["mother"].format(mother=mother)] if mother else []
    label += [text["queen"].format(hive=queen)] if queen else [words.QUEEN_WAY.get(split.queen, split.queen)]
    return " · ".join([*label, text["to"].format(yard=split.to_yard)])


def box_placed(day: Day, split_id: str) -> BoxPlaced:
    """Return one box placed at a stop."""
    split = _split(day, split_id)
    source = " and ".join(_parents(day, split))
    queen = words.QUEEN_WAY.get(split.queen, split.queen)
    if split.queen == "ripe cell":
        queen = say.CELL_ON.format(day=measures.days_after(day.plan.day, 1, 1))
    return BoxPlaced(str(day.boxes[split_id]), source, queen)


def _parents(day: Day, split: Split) -> list[str]:
    """Say of each yard whose frames are in a split how far it is, or that no bees of it are in there."""
    least_m = day.operation.settings.minimum_distance_m
    made = [t for t in day.plan.stops[split.made_at - 1].takes if t.split == split.id]
    sides = [(split.begun_yard, split.begun_m, begun_takes(day, split))] if split.begun_at else []
    texts = []
    for yard, metres, takes in [*sides, (split.from_yard, split.flying_m, made)]:
        bare = bool(takes) and not any(t.bees for t in takes)
        least = day.distance(least_m, 2) + measures.close_call(metres, least_m)
        far = say.PLACED_FROM.format(yard=yard, apart=day.distance(metres, 2), least=least)
        texts.append(say.PLACED_BARE.format(yard=yard) if bare else far)
    return texts


def place_steps(day: Day, stop: Stop) -> tuple[str, ...]:
    """Return the order of work when boxes are placed, opening last."""
    if not stop.places or stop.opened is None:
        return ()
    placed = [s for s in day.splits() if s.id in stop.places]
    yard = day.operation.yard(stop.yard)
    flow = yard.has_flow(day.operation.day, day.operation.settings.dearth)
    special = (
        (say.FEED_AT_ONCE, [s.id for s in placed if s.swap == "feeder"]),
        (say.CELLS_LEVEL, [s.id for s in placed if s.queen == "own cells"]),
        (say.CAGES_IN, [s.id for s in placed if s.queen == "mated"]),
    )
    steps = [text.format(boxes=day.box_words(ids)) for text, ids in special if ids]
    dearth = () if flow else (say.DEARTH_PLACE,)
    last = say.OPEN_LAST.format(time=measures.clock(stop.opened))
    return (*say.PLACE_STEPS, *dearth, *steps, last)


def _split(day: Day, split_id: str) -> Split:
    return next(s for s in day.plan.splits if s.id == split_id)
