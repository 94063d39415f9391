"""Days with a box of two yards, broken in one thing; a twin is as in broken_queens."""

from dataclasses import replace

from routeplan.plan import Plan, Take
from tests.audit.broken_queens import Twin
from tests.audit.edit import with_crew, with_settings, with_split, with_stop
from tests.audit.retell import standing_by, taking
from tests.audit.sound import OP, PLAN, added_up
from tests.audit.sound_pooled import brood_first, food_first, food_without_bees, near, queen_first


def two_yards() -> list[Twin]:
    """Every rule asked of both yards: settings, distance, minutes shut in, truck, fixed parents."""
    operation, plan = food_first()
    eggs = next(o for o in operation.orders if o.id == "eggs")
    fixed = tuple(replace(o, from_yard="Borehole") if o == eggs else o for o in operation.orders)
    hurried = with_settings(operation, "shut_in", screened_min=(360.0, 4980 / 60, 120.0, 45.0))
    near_by = with_split(plan, "S3", begun_m=4000)
    unloaded = added_up(with_stop(plan, 1, make_s=360))
    return [
        (
            "one yard a split",
            with_settings(operation, "limits", yards_per_split=1),
            plan,
            [("R3", 1, "split S3 has frames of two yards, the settings allow one")],
        ),
        (
            "too near to where it was begun",
            replace(operation, pairs=near()),
            near_by,
            [("R5", 828.032, "split S3 from Acacia stands at Cedar, 4.00 km away")],
        ),
        ("shut in since Acacia", hurried, plan, [("R9", 6, "from Acacia to Cedar; at most 1 h 23 min")]),
        (
            "a begun box is aboard",
            with_crew(operation, places=2),
            plan,
            [("R7", 1, "leaving stop 1 at Acacia")],
        ),
        (
            "parents are fixed",
            replace(operation, orders=fixed),
            plan,
            [("R6", 1, "split S3 is begun at Acacia, order eggs asks for Borehole")],
        ),
        ("not loaded", operation, unloaded, [("R13", 60, "stop 1 at Acacia: making up splits")]),
    ]


def told_otherwise() -> list[Twin]:
    """The list of splits and the stops tell of begun boxes alike, and a begun box can be one."""
    operation, plan = food_first()
    listed = (
        ("another stop", "begun_at", 2, "the stop that begins it is given as 2, the stops say 1"),
        ("another yard", "begun_yard", "Dam", "the yard where it is begun is given as Dam"),
        ("another donor", "begun_donors", ("A2",), "its donors there is given as A2, the stops say A1"),
    )
    rows: list[Twin] = [
        (what, operation, with_split(plan, "S3", **{key: value}), [("form", 1, words)])
        for what, key, value, words in listed
    ]
    metres = with_split(plan, "S3", begun_m=12255)
    twice = with_split(added_up(with_stop(plan, 2, begins=("S3",), make_s=240)), "S3", donors=("B1",))
    twice = with_split(twice, "S3", begun_donors=("A1",))
    nothing = added_up(taking(with_stop(plan, 2, hive_s=720), 2, Take("B1", "food", 1, "S3")))
    nothing = taking(with_stop(nothing, 1, hive_s=1350), 1, less=(("A1", "food"),))
    return [
        *rows,
        ("metres", operation, metres, [("R13", 10, "split S3: the distance from where it is begun")]),
        ("begun twice", operation, twice, [("form", 1, "begun 2 times")]),
        (
            "nothing of Acacia",
            operation,
            standing_by(added_up(_food_at_acacia(nothing)), "Acacia", "food", ("A1", 1)),
            [("form", 1, "split S3 is begun at Acacia with nothing of its hives")],
        ),
        (
            "in one yard",
            *_at_once(),
            [
                ("form", 1, "split S3 is begun at stop 2 and completed at stop 2, not after it"),
                ("form", 1, "split S3 is begun and completed at Borehole"),
            ],
        ),
        (
            "later",
            *_later(),
            [("form", 2, "split S3 is begun at stop 2 and completed at stop 1, not after it")],
        ),
    ]


def _food_at_acacia(plan: Plan) -> Plan:
    """S1 gets A1's food again; S3's bees are all from Borehole."""
    return taking(plan, 1, Take("A1", "food", 1, "S1"))


def _at_once() -> tuple:  # type: ignore[type-arg]
    """S3 said to be begun where and when it is made."""
    plan = added_up(with_stop(PLAN, 2, begins=("S3",), make_s=240))
    plan = with_split(plan, "S3", begun_at=2, begun_yard="Borehole", begun_m=5566)
    plan = with_split(plan, "S3", begun_donors=("B1",), donors=())
    return with_settings(OP, "limits", yards_per_split=2), plan


def _later() -> tuple:  # type: ignore[type-arg]
    """S3 made at Acacia of what the day begins there with, and begun at Borehole."""
    operation, plan = food_first()
    plan = with_stop(with_stop(plan, 1, begins=(), makes=("S1", "S2", "S3")), 2, begins=("S3",), makes=())
    plan = with_stop(with_stop(plan, 1, make_s=540), 2, make_s=60)
    plan = with_split(plan, "S3", made_at=1, from_yard="Acacia", begun_at=2, begun_yard="Borehole")
    plan = with_split(plan, "S3", flying_m=12245, begun_m=5566)
    return operation, added_up(plan)


def without_bees() -> list[Twin]:
    """Frames free of bees: frames only, for boxes of two yards; brood not long, not cold; bees enough."""
    food_of, food = food_without_bees()
    brood_of, brood = brood_first()
    queen_of, queen = queen_first(bees=False)
    shaken = tuple(
        replace(t, bees=False) if t.split == "S1" and t.kind == "food" else t for t in food.stops[0].takes
    )
    bees = tuple(replace(t, bees=False) if t.kind == "shake" else t for t in food.stops[1].takes)
    fewer = with_settings(food_of, "limits", own_queen_bees=2.0)
    return [
        (
            "too few to raise a queen",
            with_settings(food_of, "limits", own_queen_bees=4.0),
            food,
            [("R2", 0.4, "split S3 has 3.60 frames of bees with 1 frame bare")],
        ),
        (
            "a box of one yard",
            food_of,
            with_stop(food, 1, takes=shaken),
            [("R2", 1, "a frame for split S1 of hive A1 cannot leave without bees")],
        ),
        (
            "bees without bees",
            fewer,
            with_stop(food, 2, takes=bees),
            [("R2", 2, "shake of hive B1 cannot leave")],
        ),
        (
            "brood bare too long",
            with_settings(brood_of, "limits", bare_brood_min=31.0),
            brood,
            [("R9", 41, "split S3: brood of Acacia is without bees for 31 min 41 s, at most 31 min")],
        ),
        (
            "brood bare in the cold",
            with_settings(brood_of, "limits", bare_brood_from_c=25.0),
            brood,
            [("R9", 3, "rides without bees at 22 °C, at least 25 °C is asked")],
        ),
        (
            "a queen alone",
            queen_of,
            queen,
            [("R12", 1, "split S3 has the queen of a hive at Acacia and no bees")],
        ),
    ]
