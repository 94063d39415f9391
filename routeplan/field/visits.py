"""The visits done, each with its clock: as written down, else as planned from the visit before."""

from dataclasses import replace

from routeplan.field.deeds import Deeds
from routeplan.field.log import Log
from routeplan.plan import Plan, PutBack, Stop, Take

FRAME_KINDS = ("capped", "open", "eggs", "mixed", "food")


def visits_of(plan: Plan, log: Log, deeds: Deeds, now_s: int | None) -> tuple[list[Stop], int]:
    """Return the visits done, and when the crew left home.

    Parameters
    ----------
    now_s : the time given, None for none.
    """
    stops: list[Stop] = []
    before, leave_home = plan.totals.leave_home, plan.totals.leave_home
    visits = _Visits(plan, log, deeds, now_s)
    for n, i in enumerate(deeds.done_of):
        if i < deeds.before and n == i:
            stops.append(plan.stops[i])
            before = stops[-1].depart
            continue
        stop = visits.timed(n, i, before, stops)
        if not stops:
            leave_home = stop.arrive - stop.drive_s
        stops.append(stop)
        before = stop.depart
    return stops, leave_home


class _Visits:
    def __init__(self, plan: Plan, log: Log, deeds: Deeds, now_s: int | None) -> None:
        self.plan, self.log, self.deeds, self.now_s = plan, log, deeds, now_s

    def timed(self, n: int, i: int, before: int, done: list[Stop]) -> Stop:
        """One visit with its clock: as noted, else as planned from the visit before."""
        plan, one = self.plan.stops[i], self.log.stops[i]
        came = self.plan.stops[i - 1].yard if i else None
        straight = (done[-1].yard if done else None) == came
        drive = plan.drive_s if straight or one.arrived_s is None else one.arrived_s - before
        arrive = one.arrived_s if one.arrived_s is not None else before + drive
        if one.first_s is not None:
            arrive = min(arrive, one.first_s)
        arrive = max(arrive, before)
        if n == 0:  # when the crew left home is not written down
            before = arrive - plan.drive_s
        span = plan.depart - plan.arrive
        last = n == len(self.deeds.done_of) - 1
        depart = max(arrive, one.last_s or 0)
        if one.left_s is not None:
            depart = one.left_s
        elif last and self.now_s is not None and not self.deeds.through:
            depart = max(depart, self.now_s)
        elif one.last_s is None and (not last or self.deeds.through or one.written):
            depart = arrive + (span if not last or self.deeds.through else 0)
        takes = tuple(self.deeds.takes[n])
        places = tuple(s for s, m in self.deeds.placed.items() if m == n + 1)
        makes = tuple(s for s, m in self.deeds.made.items() if m == n + 1)
        giving = dict.fromkeys(t.hive for t in takes)
        begins = tuple(s for s, m in self.deeds.begun.items() if m == n + 1)
        opens = (*(h for h in plan.opens if h in giving), *(h for h in giving if h not in plan.opens))
        noted = [t for t in (*one.placed.values(), one.opened_s) if t is not None]
        parts = _parts(plan, depart - arrive, bool(places), bool(opens or makes or begins), noted, arrive)
        back = {h: sum(t.frames for t in takes if t.hive == h and t.kind in FRAME_KINDS) for h in opens}
        back = {h: n for h, n in back.items() if h not in plan.broken_up}
        back |= {h: c for h, c in one.put_back.items() if h in giving}
        return replace(
            plan,
            drive_s=arrive - before,
            arrive=arrive,
            early_s=0,
            set_up_s=parts["set_up_s"],
            fence_s=parts["fence_s"],
            place_s=parts["place_s"],
            wait_s=parts["wait_s"],
            hive_s=parts["hive_s"],
            make_s=parts["make_s"],
            leave_s=parts["leave_s"],
            depart=depart,
            opened=arrive + parts["set_up_s"] + parts["fence_s"] + parts["place_s"] if places else None,
            full=len(self._filled_by(n)) - sum(1 for m in self.deeds.placed.values() if m <= n + 1),
            empty=0,
            places=places,
            makes=makes,
            begins=begins,
            opens=tuple(opens),
            ways=tuple((h, _way(plan, h, takes)) for h in opens),
            takes=takes,
            puts_back=tuple(PutBack(h, c) for h, c in back.items() if c),
        )

    def _filled_by(self, n: int) -> set[str]:
        """Boxes made or begun by then."""
        filled = (*self.deeds.made.items(), *self.deeds.begun.items())
        return {s for s, m in filled if m <= n + 1}


def _way(plan: Stop, hive: str, takes: tuple[Take, ...]) -> str:
    queen = any(t.hive == hive and t.kind == "queen" for t in takes)
    return "hunt" if queen else dict(plan.ways).get(hive, "look")


def _parts(plan: Stop, span: int, places: bool, opens: bool, noted: list[int], arrive: int) -> dict[str, int]:
    """Share the time spent at a stop over its work, in order, as planned; what is over to the main work."""
    names = ("set_up_s", "fence_s", "place_s", "wait_s", "hive_s", "make_s", "leave_s")
    wanted = {name: getattr(plan, name) for name in names}
    if not places:
        wanted["fence_s"] = wanted["place_s"] = 0
    if not opens:
        wanted["wait_s"] = wanted["hive_s"] = wanted["make_s"] = 0
    if places and noted:
        opened = max(0, min(max(noted) - arrive, span))
        wanted["set_up_s"] = min(wanted["set_up_s"], opened)
        wanted["fence_s"] = min(wanted["fence_s"], opened - wanted["set_up_s"])
        wanted["place_s"] = opened - wanted["set_up_s"] - wanted["fence_s"]
    parts, left = {}, span
    for name in names:
        parts[name] = min(wanted[name], left)
        left -= parts[name]
    parts["hive_s" if opens else "place_s" if places and not noted else "wait_s"] += left
    return parts
