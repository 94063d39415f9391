"""Frames looked at one by one count where hives would give alike, and never cost anything."""

from dataclasses import replace

import pytest

from routeplan.audit import audit
from routeplan.operation.world import FrameLook, Operation, Order
from routeplan.planning.solve import plan_day
from tests.planning.make import ONE, hive, operation, yard

HIVES = ("H1", "H2", "H3")


def with_frames(*frames: FrameLook, queen: str = "mated") -> Operation:
    """Three hives alike, one split."""
    hives = tuple(hive(name, queen_mother=True) for name in HIVES)
    order = (Order("A", 1, ONE.name, queen),)
    return operation((yard("Y", 3.0), yard("Z", 12.0)), hives, order, frames=frames)


def giver(one: Operation) -> str:
    plan = plan_day(one, seconds=10.0)
    assert audit(one, plan) == []
    assert plan.proof.status == "optimal"
    assert plan.totals.counted_s == plan_day(replace(one, frames=()), seconds=10.0).totals.counted_s
    (split,) = plan.splits
    (donor,) = split.donors
    return donor


@pytest.mark.parametrize("name", HIVES)
def test_a_hive_with_an_emerging_frame_gives(name: str) -> None:
    capped = (FrameLook("Y", other, 3, capped=18.0) for other in HIVES if other != name)
    assert giver(with_frames(FrameLook("Y", name, 4, capped=14.0, emerging=True), *capped)) == name


@pytest.mark.parametrize("name", HIVES)
@pytest.mark.parametrize("queen", ["mated", "raise own"])
def test_a_hive_with_a_frame_of_mostly_eggs_gives(name: str, queen: str) -> None:
    assert giver(with_frames(FrameLook("Y", name, 4, open=14.0, eggs=True), queen=queen)) == name


def test_more_such_frames_go_before_fewer() -> None:
    eggs = FrameLook("Y", "H2", 5, open=14.0, eggs=True)
    both = (FrameLook("Y", "H2", 4, capped=14.0, emerging=True), eggs)
    assert giver(with_frames(replace(eggs, hive="H1"), *both, replace(eggs, hive="H3"))) == "H2"
