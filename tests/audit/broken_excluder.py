"""The day with two passes broken in one thing of them: twins as in broken_queens."""

from routeplan.plan import SetAbove
from tests.audit.broken_queens import Twin
from tests.audit.edit import with_hive, with_settings, with_split, with_stop, with_totals, with_way
from tests.audit.sound import added_up, her_hive_only, in_stock
from tests.audit.sound_excluder import OP, READY, WAIT_S, changed, due_in_two_passes, two_passes


def two_passes_broken() -> list[Twin]:
    """Both passes of a hive (R15, R8), the wait between them (R15), their time (R13)."""
    operation, plan = two_passes()
    due_of, due_plan = due_in_two_passes()
    a2 = "hive A2 at Acacia"
    # collected at the third stop, at Borehole: there is no second pass then, and A2's came from nowhere
    astray = with_stop(plan, 1, sets=(SetAbove("A2", 5, 3, READY),))
    # nothing was set above: A2's first pass is 390 s less at stop 1
    nothing_set = changed(with_stop(plan, 2, wait_s=WAIT_S + 390), 1, sets=(), hive_s=630)
    # set above and then looked over at stop 2: 390 + 270 + 60 = 720 s
    looked_over = changed(with_way(plan, 2, "A2", "look"), 2, hive_s=720)
    later = SetAbove("A2", 5, 2, READY + 390)
    twice = changed(with_stop(plan, 2, wait_s=WAIT_S), 1, sets=(later, later), hive_s=1410)
    # A1 too is set above at the stop where it gives: 300 s more, and an excluder too few
    both = (SetAbove("A2", 5, 2, READY + 300), SetAbove("A1", 5, 2, READY + 300))
    gives_there = changed(plan, 1, sets=both, hive_s=1320)
    # A1 too gives at stop 2 only: nothing is opened at stop 1 but A2 for its first pass
    bare = {"opens": (), "ways": (), "takes": (), "puts_back": (), "makes": (), "make_s": 0, "hive_s": 390}
    only_set = with_split(with_stop(plan, 1, **bare), "S1", made_at=2)
    one, two = plan.stops[:2]
    only_set = with_stop(
        only_set,
        2,
        opens=("A1", "A2"),
        ways=(*one.ways, *two.ways),
        takes=one.takes + two.takes,
        puts_back=one.puts_back + two.puts_back,
        makes=("S1", "S2"),
        make_s=360,
        hive_s=354 + 630,
    )
    return [
        ("no excluder", OP, plan, [("R15", 1, "1 excluder needed, 0 at home")]),
        (
            "two passes are not allowed",
            with_settings(operation, "excluder", allowed=False),
            plan,
            [("R8", 1, f"{a2}: two passes are not allowed")],
        ),
        (
            "too early",
            operation,
            changed(plan, 2, wait_s=WAIT_S - 1),
            [("R15", 1, "1 s too early for bees to come up")],
        ),
        # from 10:00 to 11:06:30 are 66.5 min
        (
            "too late",
            with_settings(operation, "excluder", most_wait_min=66.0),
            plan,
            [("R15", 30, "30 s too late")],
        ),
        (
            "said too late",
            operation,
            with_stop(plan, 1, sets=(SetAbove("A2", 5, 2, READY + 60),)),
            [("R15", 60, f"combs of {a2} are said to be collected from 11:07:30: 1 min too late")],
        ),
        (
            "a comb too few",
            operation,
            with_stop(plan, 1, sets=(SetAbove("A2", 4, 2, READY),)),
            [("R15", 1, f"combs of {a2} are set above an excluder: 4, 5 are needed")],
        ),
        (
            "collected elsewhere",
            operation,
            astray,
            [
                ("R15", 1, f"combs of {a2} are set above an excluder and not collected at stop 3"),
                ("R15", 1, f"combs of {a2} were set above an excluder 0 times before"),
            ],
        ),
        (
            "never set above",
            operation,
            nothing_set,
            [("R15", 1, f"combs of {a2} were set above an excluder 0 times before")],
        ),
        (
            "set above for nothing",
            operation,
            looked_over,
            [("R15", 1, f"combs of {a2} are set above an excluder and not collected at stop 2")],
        ),
        (
            "set above twice",
            in_stock(OP, "excluder", 2),
            changed(twice, 2, wait_s=WAIT_S),
            [("R15", 1, f"combs of {a2} were set above an excluder 2 times before")],
        ),
        (
            "set above where it gives",
            in_stock(OP, "excluder", 2),
            changed(gives_there, 2, wait_s=WAIT_S),
            [
                (
                    "R15",
                    1,
                    "combs of hive A1 at Acacia are set above an excluder and not collected at stop 2",
                ),
                ("R15", 1, "combs of hive A1 at Acacia are set above an excluder where it gives already"),
            ],
        ),
        (
            "no combs",
            operation,
            with_stop(plan, 1, sets=(SetAbove("A2", 0, 2, READY),)),
            [("form", 1, f"0 combs of {a2}"), ("R15", 5, "0, 5 are needed")],
        ),
        (
            "a hive that is not there",
            operation,
            with_stop(plan, 1, sets=(*plan.stops[0].sets, SetAbove("A9", 5, 2, READY))),
            [
                ("form", 1, "there is no hive A9 at Acacia"),
                ("R15", 1, "hive A9 at Acacia are set above an excluder and not collected"),
                ("R15", 1, "2 excluders needed, 1 at home"),
            ],
        ),
        # one box more to lift at the first pass only: 90 s there, and those 90 s too early at the second
        (
            "a box more",
            with_hive(operation, "A2", boxes=3),
            plan,
            [
                ("R13", 90, "stop 1 at Acacia: work on hives"),
                ("R15", 90, "from 11:06:30: 1 min 30 s too early"),
                ("R15", 90, "1 min 30 s too early for bees"),
            ],
        ),
        # a super more to lift at both
        (
            "a super more",
            with_hive(operation, "A2", supers=1),
            plan,
            [
                ("R13", 90, "stop 1 at Acacia: work on hives"),
                ("R13", 90, "stop 2 at Acacia: work on hives"),
                ("R15", 90, "from 11:06:30: 1 min 30 s too early"),
                ("R15", 90, "1 min 30 s too early for bees"),
            ],
        ),
        (
            "counted as if it were looked over",
            operation,
            changed(plan, 2, hive_s=354 + 126),
            [("R13", 126, "stop 2 at Acacia: work on hives")],
        ),
        (
            "set up as for placing",
            operation,
            changed(with_stop(only_set, 1, set_up_s=300, wait_s=300), 2, wait_s=WAIT_S + 630 + 180),
            [("R13", 300, "stop 1 at Acacia: setting up")],
        ),
        (
            "taken off for both passes",
            due_of,
            added_up(with_totals(due_plan, due_s=570)),
            [("R13", 180, "hives that are due anyway")],
        ),
    ]


def queen_from_above() -> list[Twin]:
    """A queen cannot come from above the excluder, and A3's combs were never set there."""
    operation, plan = her_hive_only("excluder", 180)
    said = [
        ("R8", 1, "hive A3 at Acacia: its queen cannot come from above the excluder"),
        ("R15", 1, "combs of hive A3 at Acacia were set above an excluder 0 times before"),
    ]
    return [("she leaves", operation, plan, said)]
