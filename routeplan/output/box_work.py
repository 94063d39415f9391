"""What is done with the boxes: what must be in each when it is closed, its label, placing and opening it."""

from dataclasses import dataclass

from routeplan.output import card_words as say
from routeplan.output import measures, words
from routeplan.output.day import Day
from routeplan.output.sure import is_mother
from routeplan.plan import Split, Stop, Take


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


def close_steps(day: Day, stop: Stop) -> tuple[str, ...]:
    """Return what is done with every box made here."""
    queens = any(t.kind == "queen" for t in stop.takes)
    return (*say.CLOSE_STEPS, *((say.CLOSE_QUEEN,) if queens else ())) if stop.makes else ()


def box_made(day: Day, stop: Stop, split_id: str) -> BoxMade:
    """Return one box made at a stop."""
    split = _split(day, split_id)
    takes = [t for t in stop.takes if t.split == split_id]
    givers = [
        say.FROM_HIVE.format(
            hive=hive, kinds=measures.kinds((t.kind, t.frames) for t in takes if t.hive == hive)
        )
        for hive in dict.fromkeys(t.hive for t in takes)
    ]
    swap = swapped(day, split)
    name, label = str(day.boxes[split_id]), _label(day, split, takes)
    return BoxMade(name, "; ".join([*givers, *([swap] if swap else [])]), _stays(day, split, takes), label)


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
    label += [text["from"].format(yard=split.from_yard, hives=measures.hives(split.donors))]
    label += [text["mother"].format(mother=mother)] if mother else []
    label += [text["queen"].format(hive=queen)] if queen else [words.QUEEN_WAY.get(split.queen, split.queen)]
    return " · ".join([*label, text["to"].format(yard=split.to_yard)])


def box_placed(day: Day, split_id: str) -> BoxPlaced:
    """Return one box placed at a stop."""
    split = _split(day, split_id)
    apart, least = day.distance(split.flying_m, 2), day.operation.settings.minimum_distance_m
    source = say.PLACED_FROM.format(yard=split.from_yard, apart=apart, least=day.distance(least, 2))
    queen = words.QUEEN_WAY.get(split.queen, split.queen)
    if split.queen == "ripe cell":
        queen = say.CELL_ON.format(day=measures.days_after(day.plan.day, 1, 1))
    return BoxPlaced(str(day.boxes[split_id]), source, queen)


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
