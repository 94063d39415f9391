"""The colonies a plan leaves behind: every split and every hive that gave, as they stand on the evening."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from routeplan.colony.counts import count_on
from routeplan.colony.halves import Half, Taken, content_of, donor_half, split_half, what_stays
from routeplan.colony.outlook import Outlook, outlook
from routeplan.colony.queen_chance import chance
from routeplan.operation.settings import Settings
from routeplan.operation.world import Hive
from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.output.sure import own_right_boxes
from routeplan.plan import Split, Take


@dataclass(frozen=True)
class Named:
    """One colony of a plan, or splits alike: its name on the page, how it stands on the evening.

    `splits` are the ids of the splits, none for a hive that gave; `yard` is where it stands. `way` is how
    it gets a queen, "" where its own stays; `chance` (0 to 1) that she lays without further help, None
    where its own stays. `before_bees` is what a hive that gave had, in frames of bees, before anything was
    taken; 0 for a split. `hive` and `supers` are that hive's name and its honey supers.
    """

    name: str
    splits: tuple[str, ...]
    yard: str
    half: Half
    way: str
    chance: float | None
    before_bees: float = 0.0
    hive: str = ""
    supers: int = 0

    @property
    def is_split(self) -> bool:
        """Whether it is a new colony, not one that gave."""
        return bool(self.splits)


def colonies(day: Day) -> tuple[Named, ...]:
    """Return the splits in the order of their boxes, those alike together, then hives in working order."""
    alike: dict[tuple[str, str, Half], list[str]] = {}
    for split in day.splits():
        alike.setdefault((split.to_yard, split.queen, _half(day, split)), []).append(split.id)
    queens = day.operation.settings.queens
    splits = [
        Named(day.box_words(ids), tuple(ids), yard, half, way, chance(way, queens))
        for (yard, way, half), ids in alike.items()
    ]
    return (*splits, *_donors(day))


def look_ahead(day: Day, named: Iterable[Named]) -> Outlook:
    """Work out how these colonies fare, in the same order."""
    ones = list(named)
    return outlook(
        [one.half for one in ones], [one.way for one in ones], day.operation.settings, day.plan.day
    )


def taken(takes: Iterable[Take]) -> Taken:
    """Add up takes; those with eggs count as open."""
    frames: Counter[str] = Counter()
    for take in takes:
        frames[take.kind] += take.frames
    open_ = frames["open"] + frames["eggs"]
    return Taken(frames["capped"], open_, frames["food"], frames["shake"], frames["mixed"])


def _half(day: Day, split: Split) -> Half:
    settings, kit = day.operation.settings, day.operation.kit(split.kit)
    takes = [t for stop in day.plan.stops for t in stop.takes if t.split == split.id]
    yard = day.operation.yard(split.to_yard)
    near = _near(day, split)
    half = split_half(taken(takes), split.queen, split.frame, kit.combs, yard, settings, near)
    stay = 1 - settings.forecast.lost_if_near if near else 1
    rode, shaken = half.content.bees - stay * _shaken_off(takes, settings), _shaken_in(day, split)
    food = half.content.food + (kit.food if split.swap == "food comb" else 0)
    flying = half.foragers * rode / (rode + shaken) if shaken else half.foragers
    return replace(half, foragers=flying, content=replace(half.content, bees=rode + shaken, food=food))


def _shaken_in(day: Day, split: Split) -> float:
    """Frames of bees left in a hive that is broken up: they are shaken into its boxes, shared evenly.

    Its field bees are not among them: they come back to an empty stand and stray to the hives beside it.
    """
    order = next((o for o in day.operation.orders if o.id == split.order and o.break_up), None)
    hive = next((h for h in day.operation.hives if order and h.key == (order.from_yard, order.hive)), None)
    if hive is None:
        return 0.0
    there = np.array([count_on(hive, day.plan.day).bees or 0.0, 0.0, 0.0, 0.0])
    gone = np.array([_riding(_takes_of(day, hive), day.operation.settings), 0.0, 0.0, 0.0])
    stays, flying = what_stays(there, gone, day.operation.settings)
    return float(stays[0] * (1 - flying)) / len(own_right_boxes(day, hive))


def _takes_of(day: Day, hive: Hive) -> list[Take]:
    return [t for stop in day.plan.stops if stop.yard == hive.yard for t in stop.takes if t.hive == hive.id]


def _riding(takes: Iterable[Take], settings: Settings) -> float:
    """Frames of bees that leave with takes."""
    ones = list(takes)
    return content_of(taken(ones), settings).bees - _shaken_off(ones, settings)


def _near(day: Day, split: Split) -> bool:
    """Whether it stands so near its old yard that bees fly home; whole metres may lose half a metre."""
    return split.flying_m + 0.5 < day.operation.settings.minimum_distance_m


def _flown_home(day: Day, hive: Hive, takes: Iterable[Take]) -> float:
    """Frames of bees that come back to a hive from splits placed too near."""
    settings = day.operation.settings
    near = {s.id for s in day.plan.splits if s.from_yard == hive.yard and _near(day, s)}
    return settings.forecast.lost_if_near * _riding((t for t in takes if t.split in near), settings)


def _shaken_off(takes: Iterable[Take], settings: Settings) -> float:
    """Frames of bees that would ride on frames which leave shaken free of bees."""
    return content_of(taken(t for t in takes if not t.bees), settings).bees


def _donors(day: Day) -> list[Named]:
    hives = {hive.key: hive for hive in day.operation.hives}
    opened = dict.fromkeys((stop.yard, hive) for stop in day.plan.stops for hive in stop.opens)
    gone = day.operation.broken_up
    return [_donor(day, hives[key]) for key in opened if key in hives and key not in gone]


def _donor(day: Day, hive: Hive) -> Named:
    settings, count = day.operation.settings, count_on(hive, day.plan.day)
    takes = _takes_of(day, hive)
    raises = hive.queen == "queenless" or any(t.kind == "queen" for t in takes)
    way, known = "raise own" if raises else "", replace(count, food=count.food or 0.0)
    yard, home = day.operation.yard(hive.yard), _flown_home(day, hive, takes)
    half = donor_half(hive, known, [taken(takes)], yard, settings, raises, home)
    stayed = half.content.bees + _shaken_off(takes, settings)
    return Named(
        name=f"{measures.hives([hive.id])} at {hive.yard}",
        splits=(),
        yard=hive.yard,
        half=replace(half, content=replace(half.content, bees=stayed)),
        way=way,
        chance=chance(way, settings.queens) if way else None,
        before_bees=count.bees or 0.0,
        hive=hive.id,
        supers=hive.supers,
    )
