"""What two visits of a yard mean where combs may be set above an excluder, by hand."""

from dataclasses import replace

import numpy as np
import pytest

from routeplan.operation.settings import Excluder, Settings, Sure
from routeplan.operation.world import Hive, Operation, Order, Stock
from routeplan.planning.case import Case, case_of
from routeplan.planning.dominance import Dominance
from routeplan.planning.order import Visit, orderly
from tests.planning.make import DAY_ALONE, ONE, one_kit_hive, operation, yard

SETTINGS = replace(DAY_ALONE, sure=Sure(look=False))
FOUR = tuple(one_kit_hive(f"A{i}", "Y", queen="unmarked", boxes=2) for i in range(4))
Y, Z = 0, 1


def day(
    excluders: int = 4, hives: tuple[Hive, ...] = FOUR, room: int = 0, settings: Settings = SETTINGS
) -> Operation:
    """Y with these hives, Z for the splits; in all sixty minutes above."""
    yards = (yard("Y", 10.0, room=room), yard("Z", 20.0))
    orders = (Order("A", 4, ONE.name, "mated"),)
    stock = (Stock("excluder", "", excluders),)
    return operation(yards, hives, orders, settings=settings, stock=stock)


@pytest.fixture(scope="module")
def case() -> Case:
    return case_of(day())


def test_visits_in_a_row_only_where_hives_may_be_opened_at_both() -> None:
    both, place = (Visit(Y, True), Visit(Y, True)), (Visit(Y, True), Visit(Y, False))
    assert orderly(both, 2, frozenset({Y}))
    assert not orderly(both, 2, frozenset({Z}))
    assert not orderly(place, 2, frozenset({Y}))
    assert not orderly((*both, Visit(Z, False), Visit(Y, True)), 2, frozenset({Y}))


def test_the_table_takes_the_less_of_one_visit_and_two(case: Case) -> None:
    """By hand for n hives, beside what each takes anyway: found 21.5 n min; above excluders 9.5 n, in the
    table with the 15 min of a second set-up. Both for two: 43 and 34; three: 64.5 and 43.5."""
    ground = case.ground()
    assert ground.once is not None
    assert ground.both is not None
    saved = ground.once[Y] - ground.both[Y]
    assert saved.tolist() == [0, 720, 1440, 2160, 2880]
    assert (ground.once[Y] - ground.least[Y]).tolist() == [0, 0, 540, 1260, 1980]
    assert (ground.least[Z] == ground.once[Z]).all()


def test_where_splits_may_be_placed_the_second_visit_may_stand_for_placing(case: Case) -> None:
    """Then only what set-up for hives takes beyond set-up for placing is counted: 15 - 5 = 10 min."""
    with_room = case_of(day(room=2)).ground()
    assert with_room.again_s is not None
    assert with_room.again_s.tolist() == [600, 0]
    assert case.ground().again_s is not None
    assert case.ground().again_s.tolist() == [900, 0]  # type: ignore[union-attr]


def test_a_visit_with_hives_opened_may_make_nothing_and_bounds_stay_below(case: Case) -> None:
    """What one yard makes at two visits is never counted dearer than by one visit."""
    ground = case.ground()
    assert (ground.opened_twice <= ground.opened_once).all()
    assert (ground.least <= ground.opened_once).all()
    assert (ground.opened_twice <= ground.least).all()


@pytest.mark.parametrize(
    ("one", "twice"),
    [
        (day(), {Y}),
        (day(excluders=1), {Y}),  # 12 min saved at one hive, over the 10
        (day(hives=tuple(replace(h, queen="marked") for h in FOUR), excluders=1), set()),  # 4 - 3 = 1 min
        (day(hives=tuple(replace(h, queen="marked") for h in FOUR)), set()),  # 4 x 1 min
        (day(settings=replace(SETTINGS, sure=Sure())), set()),  # looked over: 3 x 0.7 + 0.25 min against 3
        (day(settings=replace(SETTINGS, excluder=Excluder(allowed=False))), set()),
        (day(settings=replace(SETTINGS, sure=Sure(look=False, hunt=False)), excluders=1), {Y}),
        (day(excluders=0), set()),
    ],
)
def test_yards_where_two_passes_are_weighed(one: Operation, twice: set[int]) -> None:
    assert case_of(one).twice_yards == twice


def test_orders_differ_by_the_visit_that_splits_leave_at(case: Case) -> None:
    """With N between, splits of the first visit may go to N, those of the second not."""
    ground = case.ground()
    far = np.array([[False, True, True], [True, False, True], [True, True, False]])
    three = replace(ground, far=far, room=np.array([0, 4, 4]), least=np.zeros((3, 5), dtype=np.int64))
    seen = Dominance(three)
    first = (Visit(0, True), Visit(0, True), Visit(1, False), Visit(2, False))
    between = (Visit(0, True), Visit(1, False), Visit(0, True), Visit(2, False))
    assert not seen.needless(between, 100)
    assert not seen.needless(first, 100), "both visits may send to the yard that comes between in the other"
    assert seen.needless(between, 100)
