"""What a yard can make, against all that may leave each of its hives tried out."""

from dataclasses import replace
from itertools import product
from random import Random

import numpy as np
import pytest

from routeplan.colony.surplus import surplus_of
from routeplan.operation.settings import Sure
from routeplan.operation.world import Kit, Operation, Order
from routeplan.planning import yields
from routeplan.planning.case import Case, case_of
from routeplan.planning.demand import KINDS, demand_of
from routeplan.planning.openings import INF
from routeplan.planning.yields import donors_of, priced_yields
from tests.planning.make import DAY_ALONE, hive, operation, yard
from tests.planning.tried import every_mix, fixed_s, least_hive_s, needed

KITS = (
    Kit("small", capped=1, food=1, shakes=1, drawn=1),
    Kit("mixed", capped=1, open=1, food=1, shakes=2, fill=2),
    Kit("large", capped=2, open=1, food=1, shakes=1, drawn=1),
    Kit("medium only", capped=1, open=1, food=1, frame="medium"),
)
SEEDS = range(30)


def random_yard(seed: int) -> Operation:
    """A donor yard of 1 to 4 hives in one or two formats; two or three rows of 1 to 3 splits asked for."""
    rng = Random(f"yard/{seed}")
    frames = ("deep", "medium") if seed % 3 == 0 else ("deep",)
    hives = tuple(
        hive(
            f"H{i}",
            days=rng.randint(0, 4),
            frame=rng.choice(frames),
            bees=round(rng.uniform(12, 19), 1),
            capped=round(rng.uniform(3.5, 6.5), 1),
            open=round(rng.uniform(2.5, 4.5), 1),
            food=round(rng.uniform(2.5, 5), 1),
            boxes=rng.randint(1, 2),
            supers=rng.randint(0, 2),
            queen_mother=rng.random() < 0.5,
        )
        for i in range(rng.randint(1, 4))
    )
    orders = tuple(
        Order(
            name,
            rng.randint(1, 3),
            rng.choice(KITS if len(frames) > 1 else KITS[:3]).name,
            rng.choice(("raise own", "mated")),
            priority=rng.randint(1, 2),
        )
        for name in "ABC"[: rng.randint(2, 3)]
    )
    yards = (yard("Y", 0.0, carry_min=rng.choice((0.0, 1.0))), yard("Z", 9.0))
    return operation(yards, hives, orders, KITS)


def made_at(one: Operation) -> Case:
    """The case; only its first yard has hives."""
    case = case_of(one)
    assert case.yields[1:] == ((),)
    return case


def test_kinds_are_in_the_order_used_here() -> None:
    assert KINDS == ("capped", "open", "eggs", "food", "shake", "queen")


@pytest.mark.parametrize("seed", SEEDS)
def test_as_all_that_may_leave_the_hives_tried(seed: int) -> None:
    """No queen is found quickly enough here to be worth it, so the seconds are exact."""
    one = random_yard(seed)
    case = made_at(one)
    demand = case.demand
    for frame in sorted({h.frame for h in one.hives}):
        lines = tuple(k for k, line in enumerate(demand.lines) if line.frame == frame)
        tried = least_hive_s(one, demand, 0, frame)
        expected = {
            mix: tried[need]
            for mix in every_mix(demand, lines)
            if (need := needed(demand, lines, mix)) in tried
        }
        mine = [y for y in case.yields[0] if demand.lines[y.lines[0]].frame == frame]
        if len(expected) < 2:
            assert mine == []
            continue
        (found,) = mine
        assert (found.lines, found.exact, found.merged) == (lines, True, False)
        fill = found.mixes @ case.fill_s[list(lines)]
        hives_s = dict(zip(map(tuple, found.mixes.tolist()), (found.opening + fill).tolist(), strict=True))
        assert hives_s == expected
        for mix, seconds in zip(found.mixes, found.seconds, strict=True):
            rest = sum(int(n) * fixed_s(one, demand, k) for k, n in zip(lines, mix, strict=True))
            assert seconds == expected[tuple(mix.tolist())] + rest


def test_the_random_yards_are_worth_trying() -> None:
    """Several lines, two formats, eggs: each is met often among the random yards."""
    cases = [made_at(random_yard(seed)) for seed in SEEDS]
    assert sum(len(case.yields[0]) == 2 for case in cases) >= 3
    assert sum(any(len(y.lines) >= 2 and len(y.mixes) > 4 for y in c.yields[0]) for c in cases) >= 10
    with_eggs = [
        any(
            case.demand.need(k)[2] and y.mixes[:, i].any()
            for y in case.yields[0]
            for i, k in enumerate(y.lines)
        )
        for case in cases
    ]
    assert sum(with_eggs) >= 5


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("prices", [0, 900, -400], ids=["no price", "a price", "below nothing"])
def test_table_with_prices_is_the_least_over_the_mixes(seed: int, prices: int) -> None:
    case = made_at(random_yard(seed))
    of_yard, demand = case.yields[0], case.demand
    price = np.array([prices * (1 + k) // 2 for k in range(len(demand.lines))], dtype=np.int64)
    table = priced_yields((of_yard,), price, demand.size)[0]
    least = [INF] * (demand.size + 1)
    formats = [[dict(zip(y.lines, mix, strict=True)) for mix in y.mixes.tolist()] for y in of_yard]
    spent = [y.seconds.tolist() for y in of_yard]
    for chosen in product(*(range(len(mixes)) for mixes in formats)):
        mixes = [formats[f][i] for f, i in enumerate(chosen)]
        n = sum(sum(mix.values()) for mix in mixes)
        worth = sum(int(price[k]) * q for mix in mixes for k, q in mix.items())
        if n <= demand.size:
            least[n] = min(least[n], sum(spent[f][i] for f, i in enumerate(chosen)) - worth)
    assert table.tolist() == least


@pytest.mark.parametrize(("name", "value"), [("MAX_STATES", 24), ("MAX_MIXES", 2)])
def test_fewer_states_or_mixes_never_say_more(name: str, value: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a table would be too large the seconds are a lower limit, and marked so."""
    exact = [made_at(random_yard(seed)) for seed in SEEDS]
    monkeypatch.setattr(yields, name, value)
    coarser = 0
    for seed, case in zip(SEEDS, exact, strict=True):
        demand, of_yard = case.demand, case.yields[0]
        relaxed = made_at(random_yard(seed)).yields[0]
        for prices in (0, 500):
            price = np.arange(len(demand.lines), dtype=np.int64) * prices
            low = priced_yields((relaxed,), price, demand.size)
            assert (low <= priced_yields((of_yard,), price, demand.size)).all()
        for mine in of_yard:
            (other,) = (y for y in relaxed if y.lines[0] == mine.lines[0])
            if not other.merged:
                low_of = dict(zip(map(tuple, other.mixes.tolist()), other.opening.tolist(), strict=True))
                assert all(
                    low_of[tuple(mix)] <= opening
                    for mix, opening in zip(mine.mixes.tolist(), mine.opening.tolist(), strict=True)
                )
            coarser += not other.exact
    assert coarser >= 5


def test_a_row_fixed_to_another_yard_is_not_made_here() -> None:
    one = operation(
        (yard("Y", 0.0), yard("Z", 9.0)),
        (hive("H"), hive("I")),
        (Order("A", 1, "small", "mated", from_yard="Z"), Order("B", 1, "small", "mated")),
        KITS,
    )
    case = made_at(one)
    (found,) = case.yields[0]
    assert [case.demand.of(k).orders for k in found.lines] == [(("B", 1),)]


def test_hives_that_give_and_cost_alike_are_one_kind() -> None:
    one = operation(
        (yard("Y", 0.0),),
        (hive("1"), hive("2"), hive("3", supers=1), hive("4", frame="medium")),
        settings=replace(DAY_ALONE, sure=Sure(hunt=False)),
    )
    kinds = donors_of(one, demand_of(one), surplus_of(one))["Y"]
    assert [(d.frame, {o.open_s for o in d.options}, [h.id for h in d.hives]) for d in kinds] == [
        ("deep", {300}, ["1", "2"]),
        ("deep", {390}, ["3"]),
        ("medium", {300}, ["4"]),
    ]


def test_of_mixes_that_differ_in_kits_only_the_quickest_and_those_that_count_less_beside_are_of_use() -> None:
    lines, alike = (0, 1, 2), (0, 0, 2)
    mixes = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [1, 0, 1], [0, 1, 1], [0, 0, 1]])
    beside = np.array([0, 9, 0, 0, 0, 0])
    none = np.zeros(len(mixes), dtype=np.int64)
    one = yields.YardYield(lines, alike, mixes, none, beside, none, True, False, False)
    fill_s, opening = np.array([100, 130, 100]), np.array([0, 50, 60, 90, 50, 40])
    # 1 of line 0 takes 150 and counts 9 beside, 1 of line 1 takes 190; with line 2: 290 and 280
    assert one.least_kits(opening, fill_s).tolist() == [True, True, True, False, True, True]
    even = replace(one, beside=none)
    assert even.least_kits(opening, fill_s).tolist() == [True, True, False, False, True, True]
    assert replace(one, alike=lines).least_kits(opening, fill_s).all()
