"""What each way to work a hive takes, by hand.

One strong hive in one box: open 60 x (4 + 1) = 300 s. A frame looked over takes 90 s, a shake 30; with the
queen found 30 and 15. To find a marked queen takes 240 s, another one 600, in two boxes 900.
"""

from dataclasses import replace
from typing import Any

import pytest

from routeplan.operation.settings import Limits, Settings, Sure, Swaps, WorkMinutes
from routeplan.operation.world import Kit, Order
from routeplan.planning.boxes import LEAST, Within, fill_boxes
from routeplan.planning.case import case_of
from routeplan.planning.demand import KINDS
from routeplan.planning.yields import Option
from tests.planning.make import DAY_ALONE, ONE, hive, operation, yard

CAPPED, OPEN, SHAKE, QUEEN = (KINDS.index(k) for k in ("capped", "open", "shake", "queen"))
WAYS = {"look": Sure(hunt=False, supers=False), "hunt": Sure(look=False, supers=False), "both": Sure()}


def options(settings: Settings, way: str = "mated", **of_hive: Any) -> tuple[Option, ...]:
    """All options of one hive of a yard."""
    orders = (Order("A", 3, ONE.name, way),)
    one = operation((yard("Y", 0.0), yard("Z", 9.0)), (hive("H", **of_hive),), orders, settings=settings)
    (donors,) = case_of(one).donors[0]
    return donors.options


def with_sure(sure: Sure, **more: Any) -> Settings:
    """Settings with these ways to be sure of the queen."""
    return replace(DAY_ALONE, sure=sure, minutes=WorkMinutes(frame_queen_found=0.5), **more)


def test_looking_over_takes_the_opening_alone() -> None:
    assert {(o.way, o.open_s, o.found) for o in options(with_sure(WAYS["look"]))} == {("look", 300, False)}


@pytest.mark.parametrize(("of_hive", "hunt_s"), [({"queen": "marked"}, 240), ({}, 600), ({"boxes": 2}, 900)])
def test_where_looking_over_is_forbidden_the_queen_is_found(of_hive: dict[str, Any], hunt_s: int) -> None:
    opening = 300 + 90 * (of_hive.get("boxes", 1) - 1)
    found = options(with_sure(WAYS["hunt"]), **of_hive)
    assert {(o.way, o.open_s, o.found) for o in found} == {("hunt", opening + hunt_s, False)}


def test_the_queen_is_looked_for_only_where_all_that_leaves_saves_more() -> None:
    """Three brood frames, two of food and two shakes save 5 x 60 + 2 x 15 = 330 s, two frames less 210."""
    found = options(with_sure(WAYS["both"]), queen="marked")
    assert {(sum(o.give[:4]), o.open_s, o.found) for o in found if o.way == "hunt"} == {(5, 540, True)}
    assert {o.way for o in options(with_sure(WAYS["both"]))} == {"look"}  # 600 s to find one without a mark
    few = replace(DAY_ALONE.limits, food_per_donor=0)
    assert {o.way for o in options(with_sure(WAYS["both"], limits=few), queen="marked")} == {"look"}


def test_bees_shaken_from_supers_leave_the_brood_alone() -> None:
    found = options(with_sure(Sure()), supers=2, excluder=True)
    assert [(o.give[SHAKE], o.open_s) for o in found if o.way == "supers"] == [(2, 240)]
    assert {o.open_s for o in found if o.way == "look"} == {300 + 2 * 90}
    for without in ({"supers": 2}, {"excluder": True}):
        assert {o.way for o in options(with_sure(Sure()), **without)} == {"look"}
    assert {o.way for o in options(with_sure(Sure(supers=False)), supers=2, excluder=True)} == {"look"}


def test_shakes_from_supers_where_the_queen_is_usually_found() -> None:
    """Bees above an excluder are shaken as ever, 15 s a shake longer than with the queen found."""
    found = options(with_sure(Sure(look=False)), supers=1, excluder=True)
    assert [(o.give[SHAKE], o.open_s) for o in found if o.way == "supers"] == [(1, 255), (2, 270)]


@pytest.mark.parametrize(
    ("due", "off_s"), [(False, {("look", 0), ("supers", 0)}), (True, {("look", 390), ("supers", 240)})]
)
def test_opening_hives_that_are_due_anyway_does_not_count(due: bool, off_s: set[tuple[str, int]]) -> None:
    found = options(with_sure(Sure()), supers=1, excluder=True, due=due)
    assert {(o.way, o.off_s) for o in found} == off_s
    assert {o.open_s for o in found if o.way == "look"} == {390}  # on the clock all the same


def test_a_yard_that_is_due_makes_all_its_hives_due() -> None:
    one = operation((yard("Y", 0.0, due=True), yard("Z", 9.0)), (hive("H"), hive("I", due=True)))
    (donors,) = case_of(one).donors[0]
    assert [h.id for h in donors.hives] == ["H", "I"]
    assert {o.off_s for o in donors.options} == {300}


def test_mixed_frames_count_against_and_must_be_there_by_halves() -> None:
    """Brood 3 + 2.4, at least 3 of it and 1 open kept: one open frame leaves, or two mixed ones."""
    keep = replace(DAY_ALONE.keep_back, brood=3.0)
    mixing = with_sure(WAYS["look"], swaps=Swaps(mixed_open=True, minutes=7.0), keep_back=keep)
    mixing = replace(mixing, limits=Limits(brood_share=1.0))
    found = options(mixing, capped=3.0, open=2.4)
    most = {n: max(o.give[OPEN] for o in found if o.mixed == n) for n in {o.mixed for o in found}}
    assert (most[0], most[1], most[2], max(most.values())) == (1, 1, 2, 2)
    assert {(o.mixed, o.against_s) for o in found} == {(n, n * 420) for n in most}
    assert {o.mixed for o in options(mixing, capped=3.0, open=2.4, eggs_seen=None)} == {0}


def test_a_queen_that_leaves_is_found_and_less_stays_behind() -> None:
    """Brood 2.5 + 1.6 keeps 5 while she stays; 2, 1 of it open, when she leaves."""
    settings = with_sure(WAYS["look"], limits=Limits(brood_share=1.0))
    found = options(settings, "parent's", capped=2.5, open=1.6, queen="marked")
    assert {(o.way, o.open_s) for o in found if o.give[QUEEN]} == {("hunt", 300 + 240)}
    assert max(o.give[CAPPED] for o in found if o.give[QUEEN]) == 2
    assert all(o.give[QUEEN] for o in found)
    for stays in ({"eggs_seen": None}, {"days": 5}):
        assert not any(o.give[QUEEN] for o in options(settings, "parent's", **stays))
    assert not any(o.give[QUEEN] for o in options(settings, "mated"))


def test_what_one_hive_need_not_give_is_left_for_another() -> None:
    """Both are due. The first one's queen, found in 60 s, saves 3 x 60 + 2 x 15 s when all but the open frame
    is its own: 150 s less than nothing. The second could give food and bees too, but that would save less."""
    settings = with_sure(Sure())
    settings = replace(settings, minutes=replace(settings.minutes, hunt_marked=1.0))
    kit = Kit("four", capped=2, open=1, food=1, shakes=2)
    for first, second in (("1", "2"), ("2", "1")):
        found = hive(first, open=1.5, queen="marked", due=True)
        one = operation(
            (yard("Y", 0.0), yard("Z", 9.0)),
            (found, hive(second, due=True)),
            (Order("A", 1, kit.name, "mated"),),
            (kit,),
            settings=settings,
        )
        (made,) = case_of(one).yields[0]
        assert (made.opening + made.beside)[1] <= -150, first  # more of a found hive may count than is taken
        filled = fill_boxes(case_of(one), 0, ((1,),), Within((10**7,), 10**7), 20.0, LEAST)
        assert filled is not None
        assert filled.total_s == -150


@pytest.mark.parametrize(
    ("sure", "way", "expected"),
    [
        # three frames and a shake a part, 300 s each part as usual
        ("look", "raise own", {1: ("look", 300), 2: ("look", 300)}),
        # 240 s to find the marked queen saves 3 x 60 + 15 s a part
        ("both", "raise own", {1: ("look", 300), 2: ("hunt", 300 + 240 - 2 * 195)}),
        ("hunt", "raise own", {1: ("hunt", 540), 2: ("hunt", 540)}),
        ("look", "parent's", {1: ("hunt", 300 + 240 - 195)}),
    ],
)
def test_a_hive_split_in_its_own_right(sure: str, way: str, expected: dict[int, tuple[str, int]]) -> None:
    one = operation(
        (yard("Y", 0.0), yard("Z", 9.0)),
        (hive("H", queen="marked"),),
        (Order("A", 2, ONE.name, way, "Y", hive="H"),),
        settings=with_sure(WAYS[sure]),
    )
    (donors,) = case_of(one).donors[0]
    assert {o.give[-1]: (o.way, o.open_s) for o in donors.options} == expected
    assert not any(any(o.give[:-1]) for o in donors.options)


def test_one_part_takes_what_one_part_takes() -> None:
    """Two parts with the queen found take 150 s beyond the usual, one part looked over 300."""
    one = operation(
        (yard("Y", 0.0), yard("Z", 9.0)),
        (hive("H", queen="marked"),),
        (Order("A", 2, ONE.name, "mated", "Y", hive="H"),),
        settings=with_sure(Sure()),
    )
    case, anything = case_of(one), Within((10**7,), 10**7)
    (made,) = case.yields[0]
    assert (made.opening <= [0, 300, 150]).all()
    assert not made.exact or made.opening.tolist() == [0, 300, 150]
    for parts, seconds in ((1, 300), (2, 150)):
        filled = fill_boxes(case, 0, ((parts,),), anything, 20.0, LEAST)
        assert filled is not None
        assert filled.total_s == seconds


def test_a_hive_without_a_queen_needs_no_way_to_be_sure() -> None:
    one = operation(
        (yard("Y", 0.0), yard("Z", 9.0)),
        (hive("H", queen="queenless", queen_cells="charged"),),
        (Order("A", 1, ONE.name, "own cells", "Y", hive="H"),),
        settings=with_sure(WAYS["hunt"]),
    )
    (donors,) = case_of(one).donors[0]
    # frames looked over take 3 x 60 + 15 s longer than where queens are usually found
    assert [(o.way, o.open_s) for o in donors.options] == [("look", 300 + 195)]
