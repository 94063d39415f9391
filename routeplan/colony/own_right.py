"""Hives split in their own right: why one cannot be, and which frames of a hive broken up go into which box.

A hive is broken up as a whole: all parts that are asked for are made, or none. The kits say what each part
has at least; what whole brood frames are left then are shared out, in place of combs that fill the boxes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor

from routeplan.colony.counts import DayCount, count_on
from routeplan.colony.floors import FLOOR_WORDS, holds, parts_hold
from routeplan.colony.held_kits import held_kit
from routeplan.colony.keeping import COVER_WORDS, EPS, RULES
from routeplan.colony.surplus import Give, barred, has_fresh_eggs, look_at, taken_of
from routeplan.operation.settings import KeepBack
from routeplan.operation.world import QUEENS_NOT_LAYING, Hive, Kit, Operation

NOTHING_STAYS = KeepBack(0.0, 0.0, 0.0, 0.0)
"""What a hive keeps that is broken up."""
LAYING = ("mated", "parent's")
"""Ways to a queen that lays within days: such a part does with less brood."""
BROOD_LEFT_WORDS = "brood that finds no place in its boxes"
NO_KIT_WORDS = "no kit of its parts has the bees it must have at its lowest"
IN_OWN_RIGHT = "{reason} (when it is split in its own right)"


@dataclass(frozen=True)
class Parts:
    """So many parts of one hive that are alike: what each is made of, and how it gets its queen."""

    kit: Kit
    number: int
    queen: str

    @property
    def give(self) -> Give:
        """Frames and shakes of all of them."""
        n, kit = self.number, self.kit
        return Give(n * kit.capped, n * kit.open, n * kit.food, n * kit.shakes)


def cannot_part(operation: Operation, hive: Hive, kit: Give, parts: int, queen: str) -> str:
    """Return why a hive cannot be split in its own right into so many parts that leave while the rest stays;
    "" when it can.

    Parameters
    ----------
    kit : frames and shakes of one part.
    queen : how the parts get their queen, a word of QUEEN_WAYS.
    """
    settings, count = operation.settings, count_on(hive, operation.day)
    if reason := _not_at_all(operation, hive, count, settings.parted):
        return reason
    if reason := _no_queen_for_it(operation, hive, count, queen):
        return reason
    if queen == "parent's":
        if parts > 1 or hive.queen in QUEENS_NOT_LAYING:
            return "it has no queen for that many parts"
        if not (has_fresh_eggs(operation, hive, count) or hive.count.queen_cells == "charged"):
            return "no fresh eggs or charged cells: it could raise no new queen"
    all_of_it = Give(kit.capped * parts, kit.open * parts, kit.food * parts, kit.shake * parts)
    if reason := _too_much(operation, hive, count, all_of_it, settings.parted, cover=True):
        return reason
    if holds(settings) and not parts_hold(operation, hive, [taken_of(kit)] * parts, queen):
        return IN_OWN_RIGHT.format(reason=FLOOR_WORDS)
    return ""


def cannot_break_up(operation: Operation, hive: Hive, parts: Sequence[Parts]) -> str:
    """Return why a hive cannot be broken up into all these parts; "" when it can."""
    count = count_on(hive, operation.day)
    if reason := _not_at_all(operation, hive, count, NOTHING_STAYS):
        return reason
    for one in parts:
        if reason := _no_queen_for_it(operation, hive, count, one.queen):
            return reason
    if sum(p.number for p in parts if p.queen == "parent's") != int(hive.queen not in QUEENS_NOT_LAYING):
        return "its queen must go with one part"
    kits = shared_out(count, parts)
    if kits is None:
        return IN_OWN_RIGHT.format(reason=BROOD_LEFT_WORDS)
    every = [k for of_one in kits for k in of_one]
    sums = (sum(getattr(k, kind) for k in every) for kind in ("capped", "open", "food", "shakes"))
    return _too_much(operation, hive, count, Give(*sums), NOTHING_STAYS, cover=False)


def why_not_whole(operation: Operation, hive: Hive) -> str:
    """Return why a hive cannot be broken up into all parts that the orders ask of it; "" when it can."""
    parts = parts_asked(operation, hive)
    return NO_KIT_WORDS if parts is None else cannot_break_up(operation, hive, parts)


def parts_asked(operation: Operation, hive: Hive) -> tuple[Parts, ...] | None:
    """Return the parts that the orders ask of a hive broken up; None where no kit of one holds its floor."""
    found = []
    for order in operation.orders:
        if order.break_up and (order.from_yard, order.hive) == hive.key:
            days = None if order.ready_by is None else (order.ready_by - operation.day).days
            kit = operation.kit(order.kit)
            held = held_kit(kit, order.queen, hive.frame, operation.settings, ready_days=days)
            if held is None:
                return None
            found.append(Parts(held, order.count, order.queen))
    return tuple(found)


def shared_out(count: DayCount, parts: Sequence[Parts]) -> tuple[tuple[Kit, ...], ...] | None:
    """Return the kit of every part, so that no whole frame of brood is left; None where there is no place.

    A frame that no kit asks for goes to the part with the fewest brood frames that has a comb to fill with
    less, of those alike to one that waits longer for new brood.
    """
    kits = [[p.kit] * p.number for p in parts]
    boxes = [(i, j) for i, p in enumerate(parts) for j in range(p.number)]
    for kind, there in (("capped", count.capped), ("open", count.open)):
        asked = sum(getattr(kits[i][j], kind) for i, j in boxes)
        for _ in range(floor((there or 0.0) + EPS) - asked):
            roomy = [(i, j) for i, j in boxes if kits[i][j].fill]
            if not roomy:
                return None
            i, j = min(roomy, key=lambda at: (_brood(kits[at[0]][at[1]]), parts[at[0]].queen in LAYING, at))
            kit = kits[i][j]
            more = {kind: getattr(kit, kind) + 1}
            kits[i][j] = replace(kit, fill=kit.fill - 1, **more)
    return tuple(tuple(of_one) for of_one in kits)


def _brood(kit: Kit) -> int:
    return kit.capped + kit.open


def _not_at_all(operation: Operation, hive: Hive, count: DayCount, keep: KeepBack) -> str:
    if reason := barred(operation.settings, hive, count, operation.yard(hive.yard).health, keep):
        return reason
    if hive.queen in ("drone layer", "laying workers"):
        return f"{hive.queen}: no frames leave"
    return ""


def _no_queen_for_it(operation: Operation, hive: Hive, count: DayCount, queen: str) -> str:
    charged = hive.count.queen_cells == "charged"
    if queen == "raise own" and not has_fresh_eggs(operation, hive, count):
        return "no fresh eggs seen to raise a queen from"
    if queen == "own cells" and not (charged and count.age_days <= operation.settings.limits.cells_days):
        return "no charged queen cells seen lately"
    return ""


def _too_much(
    operation: Operation, hive: Hive, count: DayCount, give: Give, keep: KeepBack, cover: bool
) -> str:
    """Which rule does not allow so much in all; those on most of one donor do not count."""
    look = look_at(operation, [hive], [count], ([give], [0]), keep)
    for words, rule in RULES:
        if words.startswith(("most ", "never ")) or (words == COVER_WORDS and not cover):
            continue
        if not rule(look).all():
            return IN_OWN_RIGHT.format(reason=words)
    return ""
