"""A day small enough to work out by hand: four yards, six hives, three splits that can be made.

All yards lie on the equator, where one degree of longitude on WGS-84 is 6 378 137 m x pi / 180 =
111 319.4908 m, so every distance is a multiplication. One crew of two: the minutes of a pair apply as they
stand (pace 2 / 2 = 1). The invented place names stand for nobody's yards.

    36.00     36.06      36.09      36.12       36.17
    home ---- Acacia --- Dam ------ Borehole -- Cedar
              4 hives   no hives   2 hives     no hives
              takes no  too near    room 2      carry 1 min,
              splits    to both                 room 4

What can be made
----------------
All counts are 3 days old and all queens lay: capped x (1 - 3/12) + open / 9 x 3. A count of 4 capped and
3 open stays 3 + 1 = 4 capped and 3 open, brood 7. A three-frame kit is 1 capped, 1 open, 1 food, 2 shakes:
it carries 1 + 1 + 0.5 + 2 x 0.8 = 4.1 frames of bees. A1, A2 and B1 each give exactly one such kit:
  brood  7 - 2 = 5, keep-back 5 (exactly); 2 of 7 is under a third; at most 2 from one donor
  open   3 - 1 - 0.2 x 1 = 1.8, keep-back 1;   food  4 - 1 - 0.1 x 2 = 2.8, keep-back 2
  bees   A1 13 - 4.1 = 8.9, A2 12.1 - 4.1 = 8.0 (keep-back 8 exactly), B1 14 - 4.1 = 9.9; cover 5 + 1 = 6
A3 (4.92 brood) is below the keep-back of 5 brood, A4 may not give, B2 has charged queen cells. So Acacia
makes at most 2 three-frame splits and Borehole at most 1; the raise-own split needs eggs of a queen mother
(only B1 is flagged; eggs seen 3 days ago, 4 are allowed), so it is made at Borehole from B1. The five-frame
split asked for last would need three brood frames more: 3 of the 4 splits can be placed.

The shortest day
----------------
Both donor yards must be visited and the split from Borehole placed after that. Acacia takes no splits and
Dam is 3.34 km from both donor yards (at least 4.83 is asked), so it goes to Cedar, and Cedar comes
after Borehole. Orders of three visits: Acacia, Borehole, Cedar or Borehole, Acacia, Cedar (there all three
splits go to Cedar). A fourth visit adds at least 300 s of setting up and saves no drive, as drives are
shortest already. Drives: 180 s + 1.3 x km / 60 x 3600 s = 180 + 78 x km:
  home - Acacia      6.679169 km     700.98 ->  701 s       8 682.92 m of road
  Acacia - Borehole  6.679169 km     700.98 ->  701 s       8 682.92 m
  Borehole - Cedar   5.565975 km: known to take 25 min = 1500 s (bad track); round by Dam it is
     Borehole - Dam 3.339585 km      440.49 ->  440 s, Dam - Cedar 8.905559 km 874.63 -> 875 s: 1315 s
     and 1.3 x 12 245.144 m = 15 918.69 m
  Cedar - home      18.924313 km    1656.10 -> 1656 s      24 601.61 m
  Acacia, Borehole, Cedar: 701 + 701 + 1315 + 1656 = 4373 s
  Borehole, Acacia, Cedar: home - Borehole 1222, 701, Acacia - Cedar 1135, 1656 = 4714 s: longer, and two
  more splits would be carried at Cedar (+ 240 s).
Seconds of work:
  Acacia    set up 600; open A1 60 x (4 + 1) = 300, A2 (two boxes) 60 x (4 + 1.5 + 1) = 390; 6 frames x 90 =
            540; 4 shakes x 30 = 120: hives 1350; make 2 x 60 x (2 + 1) = 360; clear up 300 -> 2610 s
  Borehole  set up 600; place 2 mated 2 x 60 x (3 + 1 + 1) = 600; open B1 (one super) 390, 3 frames 270,
            2 shakes 60: hives 720; make 180; clear up 300 -> 2400 s
  Cedar     set up 300; place 1 x 60 x (3 + 1 + 2 x 1 carry) = 360 -> 660 s
Opening the hives, making and placing is the least these splits need: A1, A2 and B1 must be opened, nothing
is opened twice, S1 and S2 stand where nothing is carried. Nobody waits: hives may be opened from 10:00, so
the crew sets up at Acacia from 09:50. Paid: 4373 + 2610 + 2400 + 660 = 10 043 s, the least possible.
Counted beside the day: somebody comes by Borehole every week anyway. Cedar costs three trips there and back
of 2 x 1656 + 300 = 3612 s, 10 836 s; its one split is three fewer than four, a minute each: 180 s. The
split from Borehole must go to Cedar, so these trips cannot be saved; the two others there too would cost
240 s more to carry and save 120 s. Counted in all: 10 043 + 10 836 + 180 = 21 059 s.
Making of the splits alone: S1, S2 each make 180 + place 300 + 3 x 90 + 2 x 30 = 810, S3 180 + 360 + 330 =
870: 2490 s.
"""

from datetime import date

from routeplan.operation.settings import Later, Settings
from routeplan.operation.world import (
    TRADE_KITS,
    Count,
    Crew,
    Hive,
    Operation,
    Order,
    Pair,
    Place,
    Stock,
    Weather,
    Yard,
)
from routeplan.plan import (
    After,
    HiveLine,
    Plan,
    Proof,
    PutBack,
    Skip,
    Split,
    Standby,
    Stop,
    Take,
    TakeRule,
    Totals,
    Unplaced,
)

DAY = date(2027, 5, 15)  # a Saturday
COUNTED = date(2027, 5, 12)
KEEPS = (("bees", 8.0), ("brood", 5.0), ("open", 1.0), ("food", 2.0))


def _count(bees: float, capped: float, unsealed: float, eggs: bool = True, cells: str = "none") -> Count:
    return Count(
        inspected=COUNTED,
        bees=bees,
        capped=capped,
        open=unsealed,
        food=4.0,
        eggs_seen=eggs,
        queen_cells=cells,
    )


def tiny_operation() -> Operation:
    """Return the operation, as reading tests/data/tiny gives it."""
    yards = (
        Yard("Acacia", Place(0.0, 36.06), room=2, takes_splits=False, health="clear", row=2),
        Yard(
            "Borehole", Place(0.0, 36.12), room=2, closed_days=(7,), health="clear", looked_after=True, row=3
        ),
        Yard(
            "Cedar",
            Place(0.0, 36.17),
            room=4,
            carry_min=1.0,
            opens_min=8 * 60,
            closes_min=18 * 60,
            health="clear",
            row=4,
        ),
        Yard("Dam", Place(0.0, 36.09), room=5, health="clear", row=5),
    )
    hives = (
        Hive("A1", "Acacia", "deep", _count(13.0, 4.0, 3.0), "marked", health="clear", row=2),
        Hive("A2", "Acacia", "deep", _count(12.1, 4.0, 3.0), "unmarked", health="clear", boxes=2, row=3),
        Hive("A3", "Acacia", "deep", _count(10.0, 3.0, 2.0), "marked", health="clear", row=4),
        Hive("A4", "Acacia", "deep", _count(15.0, 6.0, 4.0), health="clear", may_give=False, row=5),
        Hive(
            "B1",
            "Borehole",
            "deep",
            _count(14.0, 4.0, 3.0),
            "marked",
            temper="calm",
            health="clear",
            queen_mother=True,
            supers=1,
            row=6,
        ),
        Hive("B2", "Borehole", "deep", _count(16.0, 6.0, 5.0, cells="charged"), health="clear", row=7),
    )
    orders = (
        Order("caged", 2, "three-frame", "mated", priority=1, row=2),
        Order("eggs", 1, "three-frame", "raise own", priority=2, row=3),
        Order("later", 1, "five-frame", "mated", priority=3, row=4),
    )
    return Operation(
        day=DAY,
        yards=yards,
        hives=hives,
        orders=orders,
        kits=tuple(sorted(TRADE_KITS, key=lambda k: k.name)),
        crew=Crew("pair", Place(0.0, 36.0), people=2, places=3),
        stock=(
            Stock("drawn comb", "deep", 6, row=2),
            Stock("foundation", "deep", 9, row=3),
            Stock("nuc box", "deep", 3, row=4),
        ),
        weather=(Weather(DAY, None, 22.0),),
        pairs=(Pair("Borehole", "Cedar", drive_min=25.0),),
        settings=Settings(title="A day on the equator", day="2027-05-15", later=Later(few_min=1.0)),
    )


def _kit_from(hive: str, split: str, unsealed: str) -> tuple[Take, ...]:
    """One three-frame kit out of one hive."""
    return (
        Take(hive, "capped", 1, split),
        Take(hive, unsealed, 1, split),
        Take(hive, "food", 1, split),
        Take(hive, "shake", 2, split),
    )


ACACIA = Stop(
    yard="Acacia",
    drive_m=8683,
    drive_s=701,
    arrive=35400,  # 09:50:00
    early_s=0,
    set_up_s=600,
    fence_s=0,
    place_s=0,
    wait_s=0,  # 10:00:00, when hives may be opened
    hive_s=1350,
    make_s=360,
    leave_s=300,
    depart=38010,  # 10:33:30
    opened=None,
    full=2,  # 2 full and 1 empty box in 3 places: the truck is full
    empty=1,
    places=(),
    makes=("S1", "S2"),
    opens=("A1", "A2"),
    ways=(("A1", "look"), ("A2", "look")),
    sets=(),
    takes=_kit_from("A1", "S1", "open") + _kit_from("A2", "S2", "open"),
    puts_back=(PutBack("A1", 3), PutBack("A2", 3)),
)
BOREHOLE = Stop(
    yard="Borehole",
    drive_m=8683,
    drive_s=701,
    arrive=38711,  # 10:45:11
    early_s=0,
    set_up_s=600,
    fence_s=0,
    place_s=600,
    wait_s=0,
    hive_s=720,
    make_s=180,
    leave_s=300,
    depart=41111,  # 11:25:11
    opened=39911,  # 11:05:11
    full=1,
    empty=0,
    places=("S1", "S2"),
    makes=("S3",),
    opens=("B1",),
    ways=(("B1", "look"),),
    sets=(),
    takes=_kit_from("B1", "S3", "eggs"),
    puts_back=(PutBack("B1", 3),),
)
CEDAR = Stop(
    yard="Cedar",
    drive_m=15919,
    drive_s=1315,
    arrive=42426,  # 11:47:06
    early_s=0,
    set_up_s=300,
    fence_s=0,
    place_s=360,
    wait_s=0,
    hive_s=0,
    make_s=0,
    leave_s=0,
    depart=43086,  # 11:58:06
    opened=43086,
    full=0,
    empty=0,
    places=("S3",),
    makes=(),
    opens=(),
    ways=(),
    sets=(),
    takes=(),
    puts_back=(),
)


def tiny_plan() -> Plan:
    """Return the best plan of the day, every number as worked out above."""
    kit, five = "three-frame", "no more brood can leave Acacia or Borehole: three frames are missing"
    could = (("capped", 2), ("open", 2), ("food", 2), ("shake", 2))
    nothing = (("capped", 0), ("open", 0), ("food", 0), ("shake", 0))
    gives = (("capped", 1), ("open", 1), ("food", 1), ("shake", 2))
    return Plan(
        title="A day on the equator",
        day=DAY,
        crew="pair",
        people=2,
        stops=(ACACIA, BOREHOLE, CEDAR),
        splits=(
            # shut in from 10:33:30 to 11:05:11 = 1901 s, and from 11:25:11 to 11:58:06 = 1975 s
            Split("S1", "caged", kit, "mated", "deep", 1, 2, "Acacia", "Borehole", 6679, 1901, ("A1",), ""),
            Split("S2", "caged", kit, "mated", "deep", 1, 2, "Acacia", "Borehole", 6679, 1901, ("A2",), ""),
            Split("S3", "eggs", kit, "raise own", "deep", 2, 3, "Borehole", "Cedar", 5566, 1975, ("B1",), ""),
        ),
        unplaced=(Unplaced("later", 1, "R1", five),),
        hives=(
            HiveLine("Acacia", "A1", could, gives, "gives one kit"),
            HiveLine("Acacia", "A2", could, gives, "gives one kit"),
            HiveLine("Acacia", "A3", nothing, nothing, "at its keep-back of brood"),
            HiveLine("Acacia", "A4", nothing, nothing, "may not give"),
            HiveLine("Borehole", "B1", could, gives, "gives one kit and the eggs"),
            HiveLine("Borehole", "B2", nothing, nothing, "has charged queen cells"),
        ),
        totals=Totals(
            asked=4,
            placed=3,
            leave_home=34699,  # 09:38:19
            back_home=44742,  # 12:25:42
            home_drive_m=24602,
            home_drive_s=1656,
            paid_s=10043,
            drive_s=4373,
            drive_m=57887,
            yard_s=2100,  # 900 + 900 + 300
            hive_s=2070,
            make_s=540,
            place_s=960,
            wait_s=0,
            hives_opened=3,
            frames_taken=9,
            later_s=10836,
            against_s=180,
            due_s=0,
            road_s=0,
            stuff_s=0,
            counted_s=21059,
        ),
        proof=Proof("optimal", "optimal", 3, 21059, 21059, 2490),
        after=(
            After("Borehole", 2, 0, 0, 0, 2 * 1222 + 300, 34732, 0, 0),
            After("Cedar", 1, 3, 0, 0, 2 * 1656 + 300, 49204, 180, 0),
        ),
        take_rules=(
            TakeRule(
                "Acacia", (("capped", 2), ("open", 2), ("food", 2), ("shake", 4)), 2, 3, KEEPS, ("A1", "A2")
            ),
            TakeRule(
                "Borehole", (("capped", 1), ("eggs", 1), ("food", 1), ("shake", 2)), 2, 3, KEEPS, ("B1",)
            ),
        ),
        standbys=tuple(
            Standby(yard, kind, ())
            for yard, kinds in (
                ("Acacia", ("capped", "open", "food", "shake")),
                ("Borehole", ("capped", "eggs", "food", "shake")),
            )
            for kind in kinds
        ),
        skips=(
            # without Borehole its two boxes go on to Cedar: 12.2 km off, room for 4, opened 11:58:06, 85
            # minutes after Acacia was left; Cedar then has something to do
            Skip(1, ("S1", "S2"), (), (), ()),
            Skip(2, ("S3",), ("S1", "S2"), (("S1", 3), ("S2", 3)), ()),
            Skip(3, (), ("S3",), (), ()),
        ),
    )
