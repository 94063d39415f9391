"""R16: where floors must hold, no split and no donor comes down below its own before new bees emerge.

Each colony is worked out alone, day by day, in a plain loop of this file.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, sqrt

from routeplan.audit.case import Case, Key, named
from routeplan.audit.hives import is_laying, on_the_day
from routeplan.audit.violation import Violation
from routeplan.operation.frame_sizes import frame_size
from routeplan.operation.settings import Settings
from routeplan.operation.world import Hive, Operation, Order
from routeplan.plan import Split

EGG, OPEN, GROWN = 3, 9, 21
"""Age in days at which a worker hatches, is capped, emerges (standard)."""
AFTER_NEW_BEES = 21
SLACK = 0.5
"""Bees in every comparison with a floor."""
NEVER = 10**6
HATCHES = {"raise own": (12.0, 17.0), "ripe cell": (1.0, 3.0), "own cells": (0.0, 13.0)}
"""Days after the splitting day on which the young queen emerges, earliest and latest."""
LAYS = {"mated": (4.0, 7.0), "parent's": (0.0, 2.0)}
FIRST_FLIGHT = 5.0


@dataclass
class Colony:
    """Bees in the house and flying, cells by age, the day of the first egg, and cells that brood may fill."""

    house: float
    flying: float
    brood: list[float]
    lays_from: int
    room: float


@dataclass(frozen=True)
class Frames:
    """Frames of bees and combs full of one kind."""

    bees: float
    capped: float
    open: float
    food: float


def floors(case: Case) -> Iterator[Violation]:
    """R16: splits and donors keep their floors where the settings say that floors must hold."""
    settings = case.operation.settings
    if settings.floors.act != "hold":
        return
    for split in case.splits.values():
        colony = split_colony(case, split)
        if colony is None:
            continue
        low, day = lowest(colony, settings)
        yield from _under(f"split {split.id}", low, day, settings.floors.split_bees, (split.id,))
    for key in case.gives:
        yield from _donor(case, key)


def split_colony(case: Case, split: Split) -> Colony | None:
    """A split on the evening of the day, as it was made; None where its kit is not known."""
    kit, settings = case.kits.get(split.kit), case.operation.settings
    if kit is None:
        return None
    what, lays = _of_split(case, split.id), first_egg(split.queen, settings)
    return colony_of(what, settings.forecast.foragers_on_frames, split.frame, kit.combs, lays, settings)


def _under(who: str, low: float, day: int, floor: float, names: tuple[str, ...]) -> Iterator[Violation]:
    if low < floor - SLACK:
        text = f"{who} comes down to {low:.0f} bees on day {day}, its floor is {floor:.0f}"
        yield Violation("R16", text, floor - low, "bees", names)


def _donor(case: Case, key: Key) -> Iterator[Violation]:
    found = lowest_of_donor(case.operation, case.hives[key], case.gives[key], case.own_right.get(key))
    if found is not None:
        low, day, floor = found
        yield from _under(named(key), low, day, floor, key)


def keeps_floor(case: Case, key: Key, give: Counter[str]) -> bool:
    """Whether a hive that gives so much keeps its floor, or floors need not hold."""
    if case.operation.settings.floors.act != "hold":
        return True
    found = lowest_of_donor(case.operation, case.hives[key], give, case.own_right.get(key))
    return found is None or found[0] >= found[2] - SLACK


def lowest_of_donor(
    operation: Operation, hive: Hive, give: Counter[str], own: Order | None
) -> tuple[float, int, float] | None:
    """Fewest bees of a hive that gives so much, the day of it, and its floor.

    `own`: the order by which it is split in its own right. None where its bees or brood are not known, or
    where nothing need stay or stays behind of a hive split in its own right.
    """
    settings, now = operation.settings, on_the_day(hive, operation.day)
    if now.bees is None or now.capped is None or now.open is None:
        return None
    out = content(give, give, settings)
    left = Frames(
        max(0.0, now.bees - out.bees),
        max(0.0, now.capped - out.capped),
        max(0.0, now.open - out.open),
        max(0.0, (now.food or 0.0) - out.food),
    )
    if own and (own.break_up or left.bees <= 0):
        return None
    gone = give["queen"] > 0
    lays = 0 if is_laying(hive) and not gone else NEVER
    if gone or (own and lays):
        cells = own is not None and hive.count.queen_cells == "charged"
        lays = first_egg("own cells" if cells else "raise own", settings)
    flying = _resting_share(settings) * now.bees - settings.forecast.foragers_on_frames * out.bees
    share = min(1.0, max(0.0, flying) / left.bees) if left.bees > 0 else 0.0
    combs = hive.boxes * settings.strength.combs_per_box
    low, day = lowest(colony_of(left, share, hive.frame, combs, lays, settings), settings)
    return low, day, settings.floors.split_bees if lays else settings.floors.donor_bees


def _of_split(case: Case, split: str) -> Frames:
    with_bees: Counter[str] = Counter()
    for _, _, take in case.takes():
        if take.split == split and take.bees:
            with_bees[take.kind] += take.frames
    return content(case.received[split], with_bees, case.operation.settings)


def content(frames: Counter[str], with_bees: Counter[str], settings: Settings) -> Frames:
    """What is on frames and in shakes: real combs are mixed, so much of each is another kind."""
    bees, food_too = settings.bees, min(1.0, settings.mixed.food_with_brood)
    whole = 1.0 - food_too
    open_too = min(whole, settings.mixed.open_with_capped)
    riding = sum(with_bees[kind] for kind in ("capped", "open", "eggs", "mixed"))
    brood = sum(frames[kind] for kind in ("capped", "open", "eggs", "mixed"))
    unsealed = frames["open"] + frames["eggs"]
    return Frames(
        riding * bees.per_brood_frame
        + with_bees["food"] * bees.per_food_frame
        + with_bees["shake"] * bees.per_shake,
        frames["capped"] * (whole - open_too) + frames["mixed"] * whole / 2,
        frames["capped"] * open_too + unsealed * whole + frames["mixed"] * whole / 2,
        frames["food"] + brood * food_too,
    )


def first_egg(way: str, settings: Settings) -> int:
    """The day of the first egg: the middle of its range, rounded up."""
    if way in LAYS:
        return ceil(sum(LAYS[way]) / 2)
    first, last = HATCHES[way]
    mean, spread = settings.queens.eggs_days, settings.queens.eggs_spread_days
    return ceil((first + max(FIRST_FLIGHT, mean - spread) + last + mean + spread) / 2)


def _resting_share(settings: Settings) -> float:
    """The part of all bees that fly out where as many emerge as die."""
    a, s = settings.forecast.recruit_per_day, settings.forecast.recruit_less
    middle = (a + s) / (2 * s)
    return middle - sqrt(middle * middle - (a - 1 / settings.forecast.life_days) / s)


def _side_cm2(frame: str) -> float:
    size = frame_size(frame)
    return (size.length_mm - 20) / 10 * (size.depth_mm - 28) / 10


def bees_on_frame(frame: str, settings: Settings) -> float:
    """Bees that cover both sides of a comb."""
    return 2 * _side_cm2(frame) * settings.strength.bees_per_cm2


def cells_on_frame(frame: str, settings: Settings) -> float:
    """Cells of brood on both sides of a comb."""
    strength = settings.strength
    return 2 * _side_cm2(frame) * 200 / (sqrt(3) * strength.cell_width_mm**2) * strength.brood_fill


def colony_of(
    what: Frames, share: float, frame: str, combs: float, lays_from: int, settings: Settings
) -> Colony:
    """Frames in bees and cells, each stage spread evenly over its days."""
    cells = cells_on_frame(frame, settings)
    bees = what.bees * bees_on_frame(frame, settings)
    brood = [what.open * cells / OPEN] * OPEN + [what.capped * cells / (GROWN - OPEN)] * (GROWN - OPEN)
    room = max(0.0, combs - what.food) * cells
    return Colony(bees * (1 - share), bees * share, brood, lays_from, room)


def lowest(colony: Colony, settings: Settings) -> tuple[float, int]:
    """Fewest bees and the day of it, until three weeks after new bees are due, fed all they need."""
    last = min(settings.forecast.days, max(1, colony.lays_from) + GROWN + AFTER_NEW_BEES)
    low, when = colony.house + colony.flying, 0
    for day in range(1, last + 1):
        live_a_day(colony, day, settings)
        bees = colony.house + colony.flying
        if bees < low:
            low, when = bees, day
    return low, when


def live_a_day(colony: Colony, day: int, settings: Settings) -> None:
    """Brood grows older, bees emerge, turn to flying and die, the queen lays."""
    assumed, brood = settings.forecast, colony.brood
    emerging = brood[-1] * assumed.capped_survival
    for age in range(GROWN - 1, 0, -1):
        brood[age] = brood[age - 1]
    brood[0] = 0.0
    brood[EGG] *= assumed.egg_survival
    brood[OPEN] *= assumed.larva_survival
    dying = 1 / (assumed.life_days * _resting_share(settings))
    for _ in range(2):
        _half_a_day(colony, emerging, dying, settings)
    bees = colony.house + colony.flying
    brood[0] = min(
        _queens_pace(colony.lays_from, day, settings),
        assumed.care_per_day * bees / (assumed.care_half_bees + bees),
        max(0.0, colony.room - sum(brood)),
    )


def _queens_pace(lays_from: int, day: int, settings: Settings) -> float:
    assumed = settings.forecast
    if day < lays_from:
        return 0.0
    if lays_from <= 0:
        return assumed.laying_per_day
    return assumed.laying_per_day * min(1.0, (day - lays_from + 1) / max(1.0, assumed.young_queen_days))


def _half_a_day(colony: Colony, emerging: float, dying: float, settings: Settings) -> None:
    """One step of the classic Runge-Kutta rule."""
    step = 0.5

    def change(house: float, flying: float) -> tuple[float, float]:
        bees = house + flying
        share = flying / bees if bees > 0 else 0.0
        turning = house * (settings.forecast.recruit_per_day - settings.forecast.recruit_less * share)
        return emerging - turning, turning - dying * flying

    h, f = colony.house, colony.flying
    a = change(h, f)
    b = change(h + step / 2 * a[0], f + step / 2 * a[1])
    c = change(h + step / 2 * b[0], f + step / 2 * b[1])
    d = change(h + step * c[0], f + step * c[1])
    colony.house = h + step * (a[0] + 2 * b[0] + 2 * c[0] + d[0]) / 6
    colony.flying = f + step * (a[1] + 2 * b[1] + 2 * c[1] + d[1]) / 6
