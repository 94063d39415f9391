"""What is said at each hive: how to be sure where its queen is, and what is special about it."""

from collections.abc import Sequence

from routeplan.operation.world import Hive
from routeplan.output import card_words as say
from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.plan import Stop, Take

QUEENS_TRIED = 2
"""Hives named for the next search: nobody looks for more queens in a row."""


def own_right_boxes(day: Day, hive: Hive) -> list[str]:
    """Return the splits of an order that names this hive: it is split in its own right."""
    orders = {o.id for o in day.operation.orders if o.hive == hive.id and o.from_yard == hive.yard}
    return [s.id for s in day.splits() if s.order in orders]


def queen_box(takes: Sequence[Take]) -> str | None:
    """Return the split this hive's queen goes into, if she leaves."""
    return next((t.split for t in takes if t.kind == "queen"), None)


def is_mother(day: Day, takes: Sequence[Take]) -> bool:
    """Whether a queen is raised from these takes: eggs, or a mixed frame for a split that raises its own."""
    raising = {s.id for s in day.plan.splits if s.queen == "raise own"}
    return any(t.kind == "eggs" or (t.kind == "mixed" and t.split in raising) for t in takes)


def sure(day: Day, stop: Stop, hive: Hive, takes: Sequence[Take]) -> tuple[str, ...]:
    """Say how to be sure of the queen at one hive, in the way the plan has chosen for it."""
    way = dict(stop.ways).get(hive.id, "look")
    if hive.queen == "queenless":
        return (say.NO_QUEEN,)
    if way == "supers":
        return (say.SUPERS,)
    seen = say.QUEEN_SEEN.get(hive.queen, hive.queen)
    if way == "hunt":
        return _hunt(day, hive, seen, queen_box(takes))
    if all(t.kind == "shake" for t in takes):
        return (say.LOOK_SHAKEN.format(queen=seen),)
    lines = [say.LOOK.format(queen=seen)]
    lines += [say.DOUBT] if hive.queen != "marked" else []
    lines += [say.SHAKE_LOOKED] if any(t.kind == "shake" for t in takes) else []
    return (" ".join(lines),)


def _hunt(day: Day, hive: Hive, seen: str, box: str | None) -> tuple[str, ...]:
    settings = day.operation.settings
    give_up = say.GIVE_UP.format(minutes=measures.number(settings.minutes.hunt_give_up))
    if box is None:
        whole = bool(own_right_boxes(day, hive)) and settings.sure.look
        instead = say.GIVE_UP_LOOK if whole else say.GIVE_UP_NEXT
        return (say.HUNT.format(queen=seen), f"{give_up} {instead}")
    into = day.box_words([box])
    waiting = [
        name
        for row in day.plan.standbys
        if row.yard == hive.yard and row.kind == "queen"
        for name, _ in row.hives
    ]
    if hive.key in day.operation.broken_up:
        instead = say.GIVE_UP_WHOLE.format(boxes=day.box_words(own_right_boxes(day, hive)))
    elif waiting and not own_right_boxes(day, hive):
        instead = say.GIVE_UP_QUEEN.format(hives=", then ".join(waiting[:QUEENS_TRIED]))
    else:
        instead = say.GIVE_UP_NO_QUEEN.format(box=into)
    return (say.HUNT_LEAVES.format(queen=seen, box=into), f"{give_up} {instead}")


def special(day: Day, hive: Hive, takes: Sequence[Take]) -> tuple[str, ...]:
    """Say what to know before opening: bad temper, boxes of its own, queen cells, mixed frames."""
    own = own_right_boxes(day, hive)
    said = (
        (hive.temper == "bad", say.BAD),
        (bool(own), say.OWN_RIGHT.format(boxes=day.box_words(own)) if own else ""),
        (hive.count.queen_cells == "charged", say.CELLS),
        (any(t.kind == "mixed" for t in takes), say.MIXED),
    )
    return tuple(line for there, line in said if there)


def stays(day: Day, hive: Hive, takes: Sequence[Take]) -> tuple[str, ...]:
    """Say what must stay in a hive that loses its queen or is split in its own right."""
    leaves = queen_box(takes) is not None
    if not leaves and not own_right_boxes(day, hive):
        return ()
    if hive.key in day.operation.broken_up:
        return (say.BROKEN_UP,)
    keep = day.operation.settings.parted
    left = {kind: measures.number(getattr(keep, kind)) for kind in ("bees", "brood", "open", "food")}
    return (*((say.QUEEN_GONE,) if leaves else ()), say.PARTED.format(**left))


def check(stop: Stop, hive: Hive) -> str:
    """Return the tick on health: brood is looked at wherever it is reached."""
    known = {"supers": say.CHECK_SUPERS, "excluder": say.CHECK_SECOND}
    return known.get(dict(stop.ways).get(hive.id, ""), say.CHECK)


def flags(day: Day, hive: Hive, takes: Sequence[Take]) -> tuple[str, ...]:
    """Return the few words that stand beside a hive's name."""
    own = bool(own_right_boxes(day, hive))
    mother = not own and is_mother(day, takes)
    due = hive.due or day.operation.yard(hive.yard).due
    supers = say.FLAG["supers"].format(supers=measures.counted(hive.supers, "super"))
    marked = (
        (own, say.FLAG["own"]),
        (mother, say.FLAG["mother"]),
        (hive.temper == "bad", say.FLAG["bad"]),
        (hive.supers > 0, supers),
        (due, say.FLAG["due"]),
    )
    return tuple(words for there, words in marked if there)
