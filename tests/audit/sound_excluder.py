"""The day worked out by hand with A2 worked in two passes, Acacia visited twice in a row.

A2 has two boxes: opening it for the first pass takes 5 + 1.5 min = 390 s; its three frames and two shakes
need five combs set above. A1 is looked over meanwhile (630 s, S1). The second pass takes 3 min = 180 s, and
3 x 48 + 2 x 15 s for what leaves: 354 s (S2). Work on hives at stop 1 begins at 10:00, the first pass ends at
10:06:30, so the second may begin at 11:06:30. Stop 1 ends at 10:00 + 1020 + 180 + 300 s = 10:25; 600 s of
set-up leave 1890 s to wait. All minutes are defaults: common practice, the wait from memory.
"""

from dataclasses import replace

from routeplan.operation.world import Operation
from routeplan.plan import Plan, SetAbove
from tests.audit.edit import with_split, with_stop
from tests.audit.sound import OP, PLAN, added_up, in_stock

WAIT_S = 1890
READY = 39990  # 11:06:30


def two_passes() -> tuple[Operation, Plan]:
    """Return the tables with one excluder in stock, and the day."""
    acacia, borehole, cedar = PLAN.stops
    first = replace(
        acacia,
        hive_s=1020,
        make_s=180,
        makes=("S1",),
        opens=("A1",),
        ways=(("A1", "look"),),
        sets=(SetAbove("A2", 5, 2, READY),),
        takes=tuple(t for t in acacia.takes if t.hive == "A1"),
        puts_back=tuple(p for p in acacia.puts_back if p.hive == "A1"),
    )
    second = replace(
        acacia,
        drive_m=0,
        drive_s=0,
        wait_s=WAIT_S,
        hive_s=354,
        make_s=180,
        makes=("S2",),
        opens=("A2",),
        ways=(("A2", "excluder"),),
        takes=tuple(t for t in acacia.takes if t.hive == "A2"),
        puts_back=tuple(p for p in acacia.puts_back if p.hive == "A2"),
    )
    plan = replace(PLAN, stops=(first, second, borehole, cedar))
    plan = with_split(plan, "S1", made_at=1, placed_at=3)
    plan = with_split(plan, "S2", made_at=2, placed_at=3)
    plan = with_split(plan, "S3", made_at=3, placed_at=4)
    return in_stock(OP, "excluder", 1), added_up(plan)


def due_in_two_passes() -> tuple[Operation, Plan]:
    """A2 is due for a look anyway: the 390 s of its opening do not count."""
    operation, plan = two_passes()
    hives = tuple(replace(h, due=h.id == "A2") for h in operation.hives)
    plan = added_up(replace(plan, totals=replace(plan.totals, due_s=390)))
    return replace(operation, hives=hives), plan


def changed(plan: Plan, number: int, **changes: object) -> Plan:
    """Change one stop and add the day up again."""
    return added_up(with_stop(plan, number, **changes))


SOUND_EXCLUDER = {
    "a hive worked in two passes": two_passes,
    "a hive that is due, in two passes": due_in_two_passes,
}
