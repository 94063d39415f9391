"""Orders whose splits come down to too few bees, or cover too few frames for a sale, with what would help."""

from collections.abc import Iterator
from dataclasses import replace

from routeplan.colony.floors import HALF_A_BEE, holds
from routeplan.colony.held_kits import frames_covered, held_kit, split_troughs
from routeplan.operation.findings import Finding
from routeplan.operation.settings import Settings
from routeplan.operation.world import Kit, Operation, Order

MORE = (
    ("capped", "frame of capped brood"),
    ("shakes", "shake of bees"),
    ("open", "frame of eggs and young larvae"),
)
MOST_MORE = 4


def cure(kit: Kit, way: str, frame: str, settings: Settings) -> str:
    """Say the least that lets a split hold ("With one shake of bees more it holds."); "" if nothing does."""
    for n in range(1, MOST_MORE + 1):
        kits = [replace(kit, **{kind: getattr(kit, kind) + n}) for kind, _ in MORE]
        low, _ = split_troughs(kits, way, frame, settings)
        for (_, words), bees in zip(MORE, low, strict=True):
            if bees >= settings.floors.split_bees - HALF_A_BEE:
                number = "one" if n == 1 else str(n)
                return f"With {number} {_plural(words, n)} more it holds."
    return ""


def _plural(words: str, n: int) -> str:
    head, _, tail = words.partition(" ")
    return words if n == 1 else f"{head}s {tail}"


def weak_orders(operation: Operation) -> list[Finding]:
    """Return a warning for each order, and frame format, whose splits fall below the floor."""
    frames = sorted({h.frame for h in operation.hives})
    return [
        found
        for order in operation.orders
        for frame in frames
        if operation.kit(order.kit).frame in (None, frame) and _gives_to(operation, order, frame)
        for found in _weak(operation, order, frame)
    ]


def _gives_to(operation: Operation, order: Order, frame: str) -> bool:
    return any(
        h.frame == frame and order.from_yard in (None, h.yard) and order.hive in (None, h.id)
        for h in operation.hives
    )


def _weak(operation: Operation, order: Order, frame: str) -> Iterator[Finding]:
    settings, kit = operation.settings, operation.kit(order.kit)
    days = None if order.ready_by is None else (order.ready_by - operation.day).days
    used = held_kit(kit, order.queen, frame, settings, ready_days=days)
    low, day = split_troughs([used or kit], order.queen, frame, settings)
    if low[0] >= settings.floors.split_bees - HALF_A_BEE:
        yield from _weak_for_sale(order, used or kit, frame, settings, days)
        return
    message = f"Order “{order.id}” on {frame} frames: {under_words(low[0], int(day[0]), settings)}"
    if holds(settings):
        message += " No kit within its range holds, so none is made."
    help_ = cure(kit, order.queen, frame, settings) or "Bring a queen or a cell, or lower the floor."
    yield Finding("warning", "splits", order.row or None, "kit", order.kit, message, help_)


def under_words(bees: float, day: int, settings: Settings) -> str:
    """Say how low a split comes and when."""
    when = "on the day it is made" if day == 0 else f"about day {day}"
    return (
        f"a split comes down to some {round(bees, -2):,.0f} bees {when}, "
        f"under the floor of {settings.floors.split_bees:,.0f}."
    )


def _weak_for_sale(
    order: Order, kit: Kit, frame: str, settings: Settings, days: int | None
) -> Iterator[Finding]:
    if days is None or days < 0:
        return
    covered = frames_covered([kit], order.queen, frame, settings, days)[0]
    half = int(2 * covered) / 2
    if covered < settings.floors.sale_frames:
        message = (
            f"Order “{order.id}” on {frame} frames: a split covers some {half:g} frames "
            f"on {order.ready_by}, {settings.floors.sale_frames:g} are asked for a sale."
        )
        cure = "Make the kit stronger, bring a cell or a laying queen, or sell later."
        yield Finding("warning", "splits", order.row or None, "ready_by", str(order.ready_by), message, cure)
