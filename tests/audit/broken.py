"""For every rule, the day worked out by hand broken in that rule only, and by how much.

Each twin is (what is wrong, operation, plan, amounts of the violations in order).
"""

from dataclasses import replace
from datetime import date

from routeplan.operation.world import Operation
from routeplan.plan import Plan, PutBack, Unplaced
from tests.audit.edit import (
    nothing,
    retold,
    settled,
    with_count,
    with_crew,
    with_hive,
    with_line,
    with_settings,
    with_split,
    with_stock,
    with_stop,
    with_yard,
)
from tests.tiny import BOREHOLE, DAY, tiny_operation, tiny_plan

Twin = tuple[str, Operation, Plan, list[float]]
OP, PLAN = tiny_operation(), tiny_plan()
WHOLE = 5.0
"""What A1, A2 and B1 each give: 3 frames and 2 shakes."""


def keep_back() -> list[Twin]:
    """R1. A1 gives 1 capped, 1 open, 1 food, 2 shakes: 4.1 frames of bees ride on them."""
    a1 = nothing(PLAN, "A1")
    return [
        # A2 keeps exactly 8 frames of bees
        ("bees", with_count(OP, "A2", bees=12.0), PLAN, [0.1]),
        # 3.6 capped: 2.7 + 1 = 3.7 on the day, brood 6.7 - 2 = 4.7; one capped alone leaves 5.7
        ("brood", with_count(OP, "A1", capped=3.6), with_line(PLAN, "A1", capped=1, open=1), [0.3]),
        # counted on the day: open 2 - 1 - 0.2 = 0.8; open alone leaves 1, capped 2 leaves 1.6
        ("open", with_count(OP, "A1", inspected=DAY, capped=5, open=2), with_line(PLAN, "A1", open=1), [0.2]),
        # 3.1 - 1 - 0.2 = 1.9 of food
        ("food", with_count(OP, "A1", food=3.1), with_line(PLAN, "A1", food=1), [0.1]),
        # brood 9.9 - 2 + 1 = 8.9 bees needed, 12.9 - 4.1 = 8.8 there
        ("cover", with_count(OP, "A1", inspected=DAY, bees=12.9, capped=5, open=4.9), PLAN, [0.1]),
        # 0.9 of capped brood is no whole frame
        (
            "whole frames",
            with_count(OP, "A1", inspected=DAY, capped=0.9, open=6.5),
            with_line(PLAN, "A1", capped=0),
            [1],
        ),
        ("may not give", with_hive(OP, "A1", may_give=False), a1, [WHOLE]),
        ("drone layer", with_hive(OP, "A1", queen="drone layer"), a1, [WHOLE]),
        ("charged cells", with_count(OP, "A1", queen_cells="charged"), a1, [WHOLE]),
        ("bees unknown", with_count(OP, "A1", bees=None), a1, [WHOLE]),
        ("brood unknown", with_count(OP, "A1", capped=None, open=None), a1, [WHOLE]),
        ("food unknown", with_count(OP, "A1", food=None), a1, [WHOLE]),
        ("old count", with_count(OP, "A1", inspected=date(2027, 4, 30)), a1, [WHOLE]),
    ]


def kit_met() -> list[Twin]:
    """R2. The kit is 1 capped, 1 open (eggs for a split that raises its queen), 1 food, 2 shakes."""
    takes = PLAN.stops[0].takes
    one_shake = tuple(replace(t, frames=1) if (t.hive, t.kind) == ("A1", "shake") else t for t in takes)
    short = settled(with_stop(PLAN, 1, takes=one_shake, hive_s=1320, wait_s=30), making_s=2460)
    short = _gives(short, "A1", shake=1)
    as_open = tuple(replace(t, kind="open") if t.kind == "eggs" else t for t in BOREHOLE.takes)
    shallow = tuple(replace(k, frame="shallow") if k.name == "three-frame" else k for k in OP.kits)
    first = replace(OP.orders[0], kit="four-frame")
    return [
        ("a shake short", OP, short, [1]),
        ("open for eggs", OP, retold(with_stop(PLAN, 2, takes=as_open)), [1, 1]),
        (
            "no queen mother",
            with_hive(with_hive(OP, "B1", queen_mother=False), "A3", queen_mother=True),
            PLAN,
            [1],
        ),
        ("old eggs", with_settings(OP, "limits", eggs_days=2), PLAN, [1]),
        ("another format", with_hive(OP, "A1", frame="shallow"), PLAN, [1]),
        ("a kit for another format", replace(OP, kits=shallow), PLAN, [1, 1, 1]),
        ("another kit than ordered", replace(OP, orders=(first, *OP.orders[1:])), PLAN, [1, 1]),
    ]


def _gives(plan: Plan, hive_id: str, **kinds: int) -> Plan:
    lines = (
        replace(h, gives=tuple((dict(h.gives) | kinds).items())) if h.hive == hive_id else h
        for h in plan.hives
    )
    return replace(plan, hives=tuple(lines))


def donors() -> list[Twin]:
    """R3. Each split has one donor; each donor gives 2 brood of 7, 1 food, 2 shakes."""
    mixed = tuple(
        replace(t, split="S2" if t.split == "S1" else "S1") if t.kind == "capped" else t
        for t in PLAN.stops[0].takes
    )
    two = with_stop(PLAN, 1, takes=mixed)
    for split_id in ("S1", "S2"):
        two = with_split(two, split_id, donors=("A1", "A2"))
    fewer = PLAN
    for hive in ("A1", "A2", "B1"):
        fewer = with_line(fewer, hive, capped=1, open=1)
    no_shake = PLAN
    for hive in ("A1", "A2", "B1"):
        no_shake = with_line(no_shake, hive, shake=1)
    return [
        ("two donors", with_settings(OP, "limits", donors_per_split=1), two, [1, 1]),
        ("brood", with_settings(OP, "limits", brood_per_donor=1), fewer, [1, 1, 1]),
        # a quarter of 7 is 1.75
        ("share", with_settings(OP, "limits", brood_share=0.25), fewer, [0.25, 0.25, 0.25]),
        ("shakes", with_settings(OP, "limits", shakes_per_donor=1), no_shake, [1, 1, 1]),
    ]


def health() -> list[Twin]:
    """R4."""
    treated = date(2027, 5, 15)
    return [
        ("hive", with_hive(OP, "A1", health="suspected"), nothing(PLAN, "A1"), [WHOLE]),
        ("unclear word", with_hive(OP, "A1", health="unclear"), nothing(PLAN, "A1"), [WHOLE]),
        (
            "yard that gives",
            with_yard(OP, "Acacia", health="confirmed"),
            nothing(PLAN, "A1", "A2"),
            [1, WHOLE, WHOLE],
        ),
        ("yard that receives", with_yard(OP, "Cedar", health="suspected"), PLAN, [1]),
        ("mites", with_count(OP, "A1", mites_per_100=3.5), with_line(PLAN, "A1", capped=0), [1]),
        ("treated", with_count(OP, "A1", treated_until=treated), with_line(PLAN, "A1", food=0), [1]),
    ]


def distance() -> list[Twin]:
    """R5. At least 4828.032 m; Borehole - Cedar is 5565.975 m, Borehole - Dam 3339.585 m."""
    short = (replace(OP.pairs[0], flying_m=4828.022),)
    near = with_split(with_stop(PLAN, 3, yard="Dam"), "S3", to_yard="Dam", flying_m=3340)
    # Borehole - Dam 440 s, 1.3 x 3339.585 m; Dam - home 180 + 78 x 10.018754 = 961.46 s; no carry: 240 s
    near = with_stop(near, 3, drive_s=440, drive_m=4341, place_s=240)
    near = replace(near, totals=replace(near.totals, home_drive_s=961, home_drive_m=13024))
    return [
        ("a centimetre", replace(OP, pairs=short), with_split(PLAN, "S3", flying_m=4828), [0.01]),
        ("too near", OP, settled(near, making_s=2370), [4828.032 - 3339.5847237982]),
        ("a wider rule", with_settings(OP, "", minimum_distance_m=6000.0), PLAN, [6000 - 5565.9745396637]),
    ]


def room() -> list[Twin]:
    """R6."""
    fixed = replace(OP.orders[1], to_yard="Dam")
    source = replace(OP.orders[1], from_yard="Acacia")
    return [
        ("room", with_yard(OP, "Borehole", room=1), PLAN, [1]),
        ("no room", with_yard(OP, "Cedar", room=0), PLAN, [1]),
        ("takes none", with_yard(OP, "Borehole", takes_splits=False), PLAN, [2]),
        ("fixed yard", replace(OP, orders=(OP.orders[0], fixed, OP.orders[2])), PLAN, [1]),
        ("fixed parents", replace(OP, orders=(OP.orders[0], source, OP.orders[2])), PLAN, [1]),
    ]


def load() -> list[Twin]:
    """R7. The truck leaves Acacia with 2 full and 1 empty box in 3 places."""
    # S3 is placed at Acacia, then made at Borehole; Borehole - home 180 + 78 x 13.358339 = 1221.95 s
    early = with_stop(PLAN, 1, places=("S3",), place_s=240)
    early = replace(
        with_split(early, "S3", placed_at=1, to_yard="Acacia", flying_m=6679), stops=early.stops[:2]
    )
    early = replace(early, totals=replace(early.totals, home_drive_s=1222, home_drive_m=17366))
    return [
        ("full", with_crew(OP, places=2), PLAN, [1]),
        # 3 empties in 1 place each leave home, 3 boxes leave Acacia, 1 leaves Borehole
        ("empties", with_crew(OP, places=2, empties_per_place=1), PLAN, [1, 1]),
        (
            "placed before it is made",
            with_yard(OP, "Acacia", takes_splits=True),
            settled(early, making_s=2370),
            [2],
        ),
    ]


def hours() -> list[Twin]:
    """R8. The clock of the day stands in the tables worked out by hand."""
    hurried = settled(with_stop(PLAN, 1, drive_s=699), leave_home=34701)
    home = settled(replace(PLAN, totals=replace(PLAN.totals, home_drive_s=1654)))
    return [
        ("leaves 09:38:19, day from 09:39", with_crew(OP, start_min=579), PLAN, [41]),
        ("back 12:25:42, day to 12:25", with_crew(OP, end_min=745), PLAN, [42]),
        ("hives from 10:01", with_crew(OP, hives_from_min=601), PLAN, [60]),
        ("ends at Borehole 11:20:11, hives to 11:20", with_crew(OP, hives_until_min=680), PLAN, [11]),
        ("at Cedar 11:47:06, opens 11:48", with_yard(OP, "Cedar", opens_min=708), PLAN, [54]),
        ("leaves Cedar 11:58:06, closes 11:58", with_yard(OP, "Cedar", closes_min=718), PLAN, [6]),
        ("closed on Saturdays", with_yard(OP, "Cedar", closed_days=(6, 7)), PLAN, [1]),
        ("open again on the 18th", with_yard(OP, "Cedar", closed_until=date(2027, 5, 18)), PLAN, [3]),
        ("a drive 2 s short", OP, hurried, [2]),
        ("the drive home 2 s short", OP, home, [2]),
    ]


def shut_in() -> list[Twin]:
    """R9. S1 and S2 are shut in 1901 s, S3 1975 s; it is 22 C."""

    def most(*minutes: float) -> Operation:
        return with_settings(OP, "shut_in", screened_min=minutes)

    hot = replace(OP, weather=(replace(OP.weather[0], max_c=35.0),))
    open_boxes = with_settings(OP, "shut_in", screened=False, screened_min=(360, 120, 120, 45))
    return [
        ("a second", most(360, 1974 / 60, 120, 45), PLAN, [1]),
        ("35 C: none may travel", hot, PLAN, [1901, 1901, 1975]),
        ("not screened: a quarter of 120 min", open_boxes, PLAN, [101, 101, 175]),
    ]


def accounted() -> list[Twin]:
    """R10. Of 4 splits asked for 3 are planned and 1 is listed."""
    more = replace(PLAN.unplaced[0], count=3)
    return [
        ("left out", OP, replace(PLAN, unplaced=()), [1]),
        ("too many", OP, replace(PLAN, unplaced=(more,)), [2]),
        ("no reason", OP, replace(PLAN, unplaced=(Unplaced("later", 1, "R1", " "),)), [1]),
        ("no rule", OP, replace(PLAN, unplaced=(Unplaced("later", 1, "", "brood"),)), [1]),
    ]


def put_back() -> list[Twin]:
    """R11. Three frames leave each donor; three boxes of five combs leave home."""
    fewer = with_stop(PLAN, 1, puts_back=(PutBack("A1", 1), PutBack("A2", 3)))
    elsewhere = with_stop(PLAN, 1, puts_back=(PutBack("A1", 3), PutBack("A2", 3), PutBack("A3", 1)))
    drawn = tuple(replace(k, drawn=2, fill=0) if k.name == "three-frame" else k for k in OP.kits)
    return [
        ("combs missing", OP, fewer, [2]),
        ("a comb too many", OP, elsewhere, [1]),
        ("foundation", with_stock(OP, "foundation", 8), PLAN, [1]),
        ("boxes", with_stock(OP, "nuc box", 1), PLAN, [2]),
        # 3 x 2 drawn combs, 4 there, and 13 combs for 15
        ("drawn", replace(with_stock(OP, "drawn comb", 5), kits=drawn), PLAN, [1, 1]),
    ]


def figures() -> list[Twin]:
    """R13. Every other number is tried one off in test_figures."""
    slow = settled(with_stop(PLAN, 2, hive_s=721), leave_home=PLAN.totals.leave_home)
    bound = replace(PLAN, proof=replace(PLAN.proof, bound_s=21066))
    unproved = replace(PLAN, proof=replace(PLAN.proof, bound_s=21016))
    most = replace(PLAN, proof=replace(PLAN.proof, most_splits=2))
    return [
        ("a second too much for hive work", OP, slow, [1]),
        ("a bound above the minutes", OP, bound, [7]),
        ("best possible without proof", OP, unproved, [43]),
        ("more splits than are possible", OP, most, [1]),
        ("a stated load", OP, with_stop(PLAN, 2, full=2), [1]),
    ]


def form() -> list[Twin]:
    """form: what does not fit together. More of it in test_form."""
    return [
        ("another crew", OP, replace(PLAN, crew="others"), [1]),
        ("another day", OP, replace(PLAN, day=date(2027, 5, 16)), [1]),
        ("another yard", OP, with_split(PLAN, "S3", to_yard="Dam"), [1]),
        ("another stop", OP, with_split(PLAN, "S3", made_at=1), [1]),
    ]


BROKEN = {
    "form": form,
    "R1": keep_back,
    "R2": kit_met,
    "R3": donors,
    "R4": health,
    "R5": distance,
    "R6": room,
    "R7": load,
    "R8": hours,
    "R9": shut_in,
    "R10": accounted,
    "R11": put_back,
    "R13": figures,
}
