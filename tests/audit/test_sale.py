"""Broken twins of R16 for days of sale, and the same frames as planning's forecast."""

from dataclasses import replace
from datetime import timedelta

import pytest

from routeplan.audit import audit
from routeplan.audit.sale import _colony, covered, most_covered
from routeplan.colony.held_kits import frames_covered, held_kit, kits_in_range
from routeplan.operation.colony_settings import Floors
from routeplan.operation.settings import Settings
from routeplan.operation.world import QUEEN_WAYS, Kit, Operation
from tests.audit.edit import with_settings
from tests.tiny import tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()
HOLD = Settings(floors=Floors("hold"))
RANGE = Kit("range", capped=1, open=1, food=1, shakes=2, fill=2, capped_most=3, shakes_most=4)


def selling(frames: float, days: int = 30, more: int = 1) -> Operation:
    """The day by hand with a day of sale for all orders, kits with a range, floors that nothing breaks."""
    base = with_settings(OP, "floors", act="hold", split_bees=1.0, donor_bees=1.0, sale_frames=frames)
    orders = tuple(replace(o, ready_by=OP.day + timedelta(days)) for o in base.orders)
    kits = tuple(replace(k, shakes_most=k.shakes + more) for k in base.kits)
    return replace(base, orders=orders, kits=kits)


def broken(one: Operation) -> dict[str, float]:
    return {v.where[0]: v.amount for v in audit(one, PLAN) if v.rule == "R16"}


def test_enough_for_the_sale_or_as_strong_as_can_be_breaks_nothing() -> None:
    assert audit(selling(0.1), PLAN) == []
    assert audit(selling(99.0, more=0), PLAN) == []
    warned = with_settings(selling(99.0), "floors", act="warn")
    assert audit(warned, PLAN) == []


def test_a_split_that_could_be_stronger_for_its_sale_is_named_with_what_is_missing() -> None:
    found, more = broken(selling(99.0)), broken(selling(99.0, more=2))
    assert set(found) == {s.id for s in PLAN.splits}
    assert all(0 < found[split] < more[split] for split in found)
    earlier = broken(selling(99.0, days=2))
    assert set(earlier) == set(found)
    assert earlier != found
    split = PLAN.splits[0]
    short = found[split.id]
    kit = next(k for k in selling(99.0).kits if k.name == split.kit)
    can = most_covered(kit, split.queen, split.frame, True, 30, selling(99.0).settings)
    assert broken(selling(can - short + 0.01))[split.id] == pytest.approx(0.01)
    assert split.id not in broken(selling(can - short - 0.001))


@pytest.mark.parametrize("way", QUEEN_WAYS)
@pytest.mark.parametrize("frame", ["deep", "national"])
def test_frames_as_planning_foresees_them(way: str, frame: str) -> None:
    kits = list(kits_in_range(RANGE))
    for days in (0, 25, 60, 500):
        theirs = frames_covered(kits, way, frame, HOLD, days)
        ours = [covered(_colony(k, 0, way, frame, True, HOLD), frame, days, HOLD) for k in kits]
        assert ours == pytest.approx(theirs.tolist(), abs=1e-6)
        held = held_kit(RANGE, way, frame, HOLD, ready_days=days)
        if held is not None:
            asked = min(HOLD.floors.sale_frames, most_covered(RANGE, way, frame, True, days, HOLD))
            assert covered(_colony(held, 0, way, frame, True, HOLD), frame, days, HOLD) >= asked - 1e-6
