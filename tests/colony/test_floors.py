"""Floors: the least kit that holds, donors that keep theirs, the same as a plain loop, words that help."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from importlib import import_module
from random import Random

import numpy as np
import pytest

from routeplan.colony.counts import count_on
from routeplan.colony.floors import donors_hold, parts_hold, troughs
from routeplan.colony.halves import Taken, donor_half
from routeplan.colony.held_kits import (
    frames_covered,
    held_kit,
    held_kits,
    holds_with_bare,
    kits_in_range,
    split_troughs,
)
from routeplan.colony.own_right import cannot_part
from routeplan.colony.surplus import Give, surplus_of
from routeplan.colony.weak_orders import cure, weak_orders
from routeplan.operation.colony_settings import Floors
from routeplan.operation.settings import KeepBack, Settings
from routeplan.operation.world import QUEEN_WAYS, TRADE_KITS, Kit, Order
from tests.planning.make import DAY, hive, operation, yard

loop = import_module("routeplan.audit.floors")
USUAL = Settings()
HOLD = replace(USUAL, floors=Floors("hold"))
RANGE = Kit("range", capped=1, open=1, food=1, shakes=1, fill=2, capped_most=3, shakes_most=4)


def lowest(kit: Kit, way: str, frame: str, settings: Settings) -> tuple[float, int]:
    """The same by the audit's plain loop."""
    got = Counter(capped=kit.capped, eggs=kit.open, food=kit.food, shake=kit.shakes)
    what, share = loop.content(got, got, settings), settings.forecast.foragers_on_frames
    found = loop.lowest(
        loop.colony_of(what, share, frame, kit.combs, loop.first_egg(way, settings), settings), settings
    )
    return float(found[0]), int(found[1])


@pytest.mark.parametrize("way", QUEEN_WAYS)
@pytest.mark.parametrize("frame", ["deep", "national", "shallow"])
def test_splits_by_a_plain_loop(way: str, frame: str) -> None:
    low, days = split_troughs(TRADE_KITS, way, frame, USUAL)
    for i, kit in enumerate(TRADE_KITS):
        assert (low[i], days[i]) == pytest.approx(lowest(kit, way, frame, USUAL), abs=1e-6)


def test_donors_by_a_plain_loop() -> None:
    rng = Random(5)
    one = operation((yard("Y", 3.0),), ())
    for _ in range(50):
        own = hive(
            "H",
            days=rng.randint(0, 9),
            bees=rng.uniform(6, 30),
            capped=rng.uniform(2, 9),
            open=rng.uniform(1, 7),
            food=rng.choice((None, 3.0, 6.0)),
            boxes=rng.choice((1, 2)),
            frame=rng.choice(("deep", "national")),
            eggs_seen=rng.choice((True, None, False)),
        )
        give = Counter(capped=rng.randint(0, 2), open=rng.randint(0, 2), mixed=rng.randint(0, 1))
        give += Counter(food=rng.randint(0, 2), shake=rng.randint(0, 2), queen=rng.randint(0, 1))
        taken = Taken(give["capped"], give["open"], give["food"], give["shake"], give["mixed"])
        half = donor_half(own, count_on(own, DAY), [taken], None, USUAL, give["queen"] > 0)
        low, day = troughs([half], USUAL)
        found = loop.lowest_of_donor(one, own, give, None)
        assert (low[0], day[0]) == pytest.approx(found[:2], abs=1e-6)
        assert found[2] == (9000 if half.laying_from == 0 else 4500)


def test_the_kit_as_written_unless_floors_hold() -> None:
    assert held_kit(RANGE, "raise own", "national", USUAL) is RANGE


def test_a_stronger_kit_where_a_queen_is_raised_a_weaker_one_with_a_laying_queen() -> None:
    own, cell, mated = (held_kit(RANGE, way, "deep", HOLD) for way in ("raise own", "ripe cell", "mated"))
    assert own is not None
    assert (own.capped, own.open, own.shakes) == (1, 1, 3)
    assert (cell, mated) == (RANGE, RANGE)
    # smaller frames, more of them
    small = held_kit(RANGE, "raise own", "national", HOLD)
    assert small is not None
    assert small.combs == RANGE.combs
    assert (small.frames, small.fill) > (own.frames, 0)


def test_the_kit_is_the_least_that_holds() -> None:
    work = USUAL.minutes
    for way in QUEEN_WAYS:
        for frame in ("deep", "national"):
            held = held_kit(RANGE, way, frame, HOLD)
            good = [k for k in kits_in_range(RANGE) if lowest(k, way, frame, HOLD)[0] >= 4500 - 0.5]
            if held is None:
                assert not good
                continue
            least = min(work.frame * k.frames + work.shake * k.shakes for k in good)
            assert work.frame * held.frames + work.shake * held.shakes == least
            assert held in good


def test_kits_of_which_none_needs_less_are_all_a_choice() -> None:
    kits = held_kits(RANGE, "raise own", "deep", HOLD)
    assert [(k.capped, k.open, k.shakes) for k in kits] == [(1, 1, 3), (2, 1, 1)]
    for way in QUEEN_WAYS:
        for frame in ("deep", "national", "medium"):
            good = {
                (k.capped, k.open, k.shakes)
                for k in kits_in_range(RANGE)
                if lowest(k, way, frame, HOLD)[0] >= 4500 - 0.5
            }
            least = {a for a in good if not any(b != a and all(map(int.__le__, b, a)) for b in good)}
            assert {(k.capped, k.open, k.shakes) for k in held_kits(RANGE, way, frame, HOLD)} == least
    assert held_kits(RANGE, "raise own", "deep", USUAL) == (RANGE,)


def test_frames_without_bees_may_bring_a_split_under_its_floor() -> None:
    kit = replace(RANGE, shakes=3)
    for bare in (Taken(), Taken(food=1), Taken(capped=1), Taken(capped=1, open=1)):
        got = Counter(capped=1, eggs=1, food=1, shake=3)
        with_bees = got - Counter(capped=int(bare.capped), eggs=int(bare.open), food=int(bare.food))
        what, share = loop.content(got, with_bees, HOLD), HOLD.forecast.foragers_on_frames
        start = loop.colony_of(what, share, "deep", kit.combs, loop.first_egg("raise own", HOLD), HOLD)
        enough = loop.lowest(start, HOLD)[0] >= 4500 - 0.5
        assert holds_with_bare(kit, "raise own", "deep", HOLD, bare) == enough
        assert holds_with_bare(kit, "raise own", "deep", USUAL, bare)
    assert holds_with_bare(kit, "raise own", "deep", HOLD, Taken())
    assert not holds_with_bare(kit, "raise own", "deep", HOLD, Taken(capped=1))


def test_a_stronger_kit_for_an_early_sale_and_no_stronger_for_a_late_one() -> None:
    wide = replace(RANGE, capped_most=2)
    early, late, far = (held_kit(wide, "mated", "deep", HOLD, ready_days=n) for n in (2, 30, 60))
    assert early is not None
    assert late is not None
    assert frames_covered([early], "mated", "deep", HOLD, 2)[0] >= 4
    assert (early.capped, early.shakes) > (late.capped, late.shakes)
    assert late == far == held_kit(wide, "mated", "deep", HOLD)
    # no kit is ready in time: the strongest that holds
    hopeless = held_kit(wide, "raise own", "national", HOLD, ready_days=46)
    assert hopeless is not None
    best = [k for k in kits_in_range(wide) if lowest(k, "raise own", "national", HOLD)[0] >= 4500 - 0.5]
    covered = frames_covered(best, "raise own", "national", HOLD, 46)
    assert covered.max() < 4
    assert hopeless == best[int(covered.argmax())]


def test_a_split_weak_on_its_day_of_sale_is_named() -> None:
    order = Order("A", 1, "five-frame", "raise own", ready_by=DAY + timedelta(days=45))
    one = operation((yard("Y", 3.0),), (hive("H", frame="national"),), (order,), TRADE_KITS)
    (found,) = weak_orders(replace(one, settings=USUAL))
    assert "covers some 3.5 frames on 2027-06-26, 4 are asked for a sale" in found.message
    later = replace(order, ready_by=DAY + timedelta(days=80))
    assert weak_orders(replace(one, settings=USUAL, orders=(later,))) == []


def test_no_kit_holds() -> None:
    weak = replace(RANGE, capped_most=None, shakes_most=None)
    assert held_kit(weak, "raise own", "national", HOLD) is None


def test_more_frames_take_the_place_of_fill_and_no_more() -> None:
    kits = list(kits_in_range(replace(RANGE, open_most=3)))
    assert {k.combs for k in kits} == {RANGE.combs}
    assert {(k.capped, k.open) for k in kits} == {(1, 1), (1, 2), (1, 3), (2, 1), (2, 2), (3, 1)}
    assert {k.shakes for k in kits} == {1, 2, 3, 4}


def test_the_cure_cures_and_nothing_less_does() -> None:
    kit = replace(RANGE, shakes=2)
    assert lowest(kit, "raise own", "deep", USUAL)[0] < 4500
    assert cure(kit, "raise own", "deep", USUAL) == "With one frame of capped brood more it holds."
    assert lowest(replace(kit, capped=2), "raise own", "deep", USUAL)[0] >= 4500
    poor = Kit("poor", capped=1, open=0, food=1, shakes=0, drawn=1, fill=2)
    assert "frames of capped brood" in cure(poor, "raise own", "national", USUAL)
    high = replace(USUAL, floors=Floors("warn", 90_000.0))
    assert cure(kit, "raise own", "deep", high) == ""


def test_orders_that_fall_below_are_named() -> None:
    one = operation(
        (yard("Y", 3.0),), (hive("H"),), (Order("A", 1, "range", "raise own"),), (replace(RANGE, shakes=2),)
    )
    (found,) = weak_orders(replace(one, settings=USUAL))
    assert "comes down to some 4,400 bees about day 49, under the floor of 4,500" in found.message
    assert found.cure == "With one frame of capped brood more it holds."
    assert weak_orders(replace(one, settings=HOLD)) == []
    fixed = replace(one.kits[0], capped_most=None, shakes_most=None)
    (held,) = weak_orders(replace(one, settings=HOLD, kits=(fixed,)))
    assert "none is made" in held.message


def test_a_hive_gives_no_more_than_leaves_it_above_its_floor() -> None:
    keep = replace(HOLD, keep_back=KeepBack(0, 0, 0, 0), minimum_distance_m=5000.0)
    strong = hive("H", bees=14.0, capped=5.0, open=4.0, food=4.0)
    alone = replace(operation((yard("Y", 3.0),), (strong,)), settings=keep)
    for floor in (9_000.0, 18_000.0, 22_000.0, 26_000.0):
        held = replace(alone, settings=replace(keep, floors=Floors("hold", 4500.0, floor)))
        own = surplus_of(held)[strong.key]
        free = surplus_of(replace(held, settings=replace(keep, floors=Floors("warn"))))[strong.key]
        for give in free.most:
            below = [Give(c, o, f, s) for c in range(give.capped + 1) for o in range(give.open + 1)
                     for f in range(give.food + 1) for s in range(give.shake + 1)]  # fmt: skip
            for g in below:
                amount = Counter(capped=g.capped, open=g.open, food=g.food, shake=g.shake)
                low, _, least = loop.lowest_of_donor(held, strong, amount, None)
                within = any(
                    g.capped <= m.capped and g.open <= m.open and g.food <= m.food and g.shake <= m.shake
                    for m in own.most
                )
                assert within == (low >= least - 0.5) or g == Give()
    assert "bees it must have at its lowest" in own.reason


def test_whatever_less_a_hive_gives_holds_too() -> None:
    gives = [Taken(c, o, 0, s) for c in range(3) for o in range(3) for s in range(3)]
    hives = [hive("H", bees=b, capped=5.0, open=4.0, boxes=2) for b in (8.0, 10.0, 12.0, 16.0)]
    counts = [count_on(h, DAY) for h in hives]
    asked = np.ones((4, len(gives)), dtype=bool)
    settings = replace(HOLD, floors=Floors("hold", 4500.0, 16_000.0))
    hold = donors_hold(hives, counts, gives, asked, settings, False)
    assert 0 < hold.sum() < hold.size
    for i in range(4):
        for j, g in enumerate(gives):
            if hold[i, j]:
                for k, less in enumerate(gives):
                    if less.capped <= g.capped and less.open <= g.open and less.shakes <= g.shakes:
                        assert hold[i, k]
    assert (hold[:-1].sum(axis=1) <= hold[1:].sum(axis=1)).all()


def test_a_hive_split_in_its_own_right_keeps_a_floor_unless_nothing_is_left() -> None:
    parted = replace(HOLD, parted=KeepBack(0, 0, 0, 0))
    own = hive("H", bees=11.0, capped=4.0, open=3.0, food=3.0, queen_cells="charged", queen="queenless")
    one = replace(operation((yard("Y", 3.0),), (own,)), settings=parted)
    part = Taken(2, 1, 1, 2)
    assert parts_hold(one, own, [part], "own cells")
    assert not parts_hold(one, own, [part, part], "own cells")
    assert parts_hold(one, own, [Taken(4, 3, 3, 5), Taken()], "own cells")  # broken up: no bee is left
    assert cannot_part(one, own, Give(2, 1, 1, 2), 1, "own cells") == ""
    assert "at its lowest" in cannot_part(
        replace(one, settings=replace(parted, bees=replace(parted.bees, cover_over_brood=-100.0))),
        own, Give(2, 1, 1, 2), 2, "own cells",
    )  # fmt: skip


def test_day_of_count_does_not_matter_for_splits() -> None:
    assert DAY + timedelta(days=1) > DAY
    assert held_kit(RANGE, "mated", "deep", HOLD) == held_kit(
        RANGE, "mated", "deep", replace(HOLD, day="2027-05-16")
    )
