"""Days with one newer thing in them hold; broken in one thing, exactly that is said, of whom and how much."""

import pytest

from routeplan.audit import audit
from routeplan.operation.world import Operation
from routeplan.plan import Plan
from tests.audit import broken_after, broken_excluder, broken_goods, broken_own, broken_pooled, broken_queens
from tests.audit.broken_queens import Said
from tests.audit.edit import skipping
from tests.audit.sound import SOUND
from tests.audit.sound_after import SOUND_AFTER
from tests.audit.sound_excluder import SOUND_EXCLUDER
from tests.audit.sound_pooled import SOUND_POOLED

DAYS = SOUND | SOUND_AFTER | SOUND_EXCLUDER | SOUND_POOLED
GROUPS = (
    broken_queens.ways,
    broken_queens.hives_due,
    broken_queens.queens_leave,
    broken_own.own_splits,
    broken_own.broken_up,
    broken_goods.swaps,
    broken_goods.mixed_frames,
    broken_goods.cells,
    broken_goods.fences,
    broken_after.weeks_after,
    broken_after.worth,
    broken_pooled.two_yards,
    broken_pooled.told_otherwise,
    broken_pooled.without_bees,
    broken_excluder.two_passes_broken,
    broken_excluder.queen_from_above,
)
TWINS = [pytest.param(*twin[1:], id=f"{group.__name__}: {twin[0]}") for group in GROUPS for twin in group()]


@pytest.mark.parametrize("what", DAYS)
def test_day_holds(what: str) -> None:
    operation, plan = DAYS[what]()
    assert [v.sentence() for v in audit(operation, skipping(operation, plan))] == []


@pytest.mark.parametrize(("operation", "plan", "said"), TWINS)
def test_only_what_is_broken_is_said(operation: Operation, plan: Plan, said: list[Said]) -> None:
    found = audit(operation, skipping(operation, plan))
    sentences = [v.sentence() for v in found]
    assert [v.rule for v in found] == [rule for rule, _, _ in said], sentences
    assert [v.amount for v in found] == pytest.approx([amount for _, amount, _ in said], abs=1e-6), sentences
    for sentence, (rule, _, words) in zip(sentences, said, strict=True):
        assert words in sentence
        assert sentence.startswith(f"{rule}: ")
