"""What a yard can make, against every choice of hives and every give tried out."""

from itertools import combinations, product
from random import Random

import numpy as np
import pytest

from routeplan.colony.surplus import surplus_of
from routeplan.operation.world import Hive, Kit, Operation, Order
from routeplan.planning import yields
from routeplan.planning.demand import KINDS, Demand, demand_of
from routeplan.planning.yields import INF, YardYield, donors_of, priced_yields, yields_of
from tests.oracle import meanings
from tests.planning.make import hive, operation, yard

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


def made_at(one: Operation) -> tuple[Demand, tuple[YardYield, ...]]:
    """The demand, and the yields of the yard that has hives."""
    demand = demand_of(one)
    of_yard, nothing = yields_of(one, demand, donors_of(one, surplus_of(one)))
    assert nothing == ()
    return demand, of_yard


def supplies(one: Operation, hives: tuple[Hive, ...]) -> set[tuple[int, ...]]:
    """What these hives can give together: capped, all open, open of mothers, food, shakes."""
    mothers = meanings.egg_givers(one)
    sums = {(0, 0, 0, 0, 0)}
    for each in hives:
        own = {(c, o, o if each.key in mothers else 0, f, s) for c, o, f, s in meanings.gives(one, each)}
        sums = {tuple(min(a + b, 9) for a, b in zip(x, y, strict=True)) for x in sums for y in own}
    return sums


def tried(one: Operation, demand: Demand, frame: str, mixes: list[dict[int, int]]) -> list[int]:
    """Least opening seconds for each mix (splits by line), INF where no choice of hives is enough."""
    hives = [h for h in one.hives if h.frame == frame]
    least = [INF] * len(mixes)
    for n in range(len(hives) + 1):
        for chosen in combinations(hives, n):
            spent, there = sum(meanings.open_s(one, h) for h in chosen), supplies(one, chosen)
            for i, mix in enumerate(mixes):
                if spent < least[i]:
                    need = [sum(demand.of(k).need[kind] * q for k, q in mix.items()) for kind in range(5)]
                    capped, unsealed, eggs, food, shake = need
                    if any(
                        s[0] >= capped
                        and s[1] >= unsealed + eggs
                        and s[2] >= eggs
                        and s[3] >= food
                        and s[4] >= shake
                        for s in there
                    ):
                        least[i] = spent
    return least


def every_mix(demand: Demand, lines: tuple[int, ...]) -> list[dict[int, int]]:
    """All counts of the lines within what is asked for."""
    caps = [range(demand.cap(demand.lines[k].batch) + 1) for k in lines]
    return [dict(zip(lines, counts, strict=True)) for counts in product(*caps)]


def fixed_s(one: Operation, demand: Demand, k: int) -> int:
    """Seconds of filling, making and (at the yard where that is quickest) placing one split of a line."""
    batch, home = demand.of(k), one.yards[0]
    box = meanings.Box(0, batch.kit, batch.queen, None, None, batch.priority)
    quickest = min(meanings.place_s(one, y, box) for y in one.yards)
    return meanings.take_s(one, box) + meanings.make_s(one, home) + quickest


def test_kinds_are_in_the_order_used_here() -> None:
    assert KINDS == ("capped", "open", "eggs", "food", "shake")


@pytest.mark.parametrize("seed", SEEDS)
def test_as_every_choice_of_hives_tried(seed: int) -> None:
    one = random_yard(seed)
    demand, of_yard = made_at(one)
    for frame in sorted({h.frame for h in one.hives}):
        lines = tuple(k for k, line in enumerate(demand.lines) if line.frame == frame)
        mixes = every_mix(demand, lines)
        expected = {
            tuple(mix.values()): opening
            for mix, opening in zip(mixes, tried(one, demand, frame, mixes), strict=True)
            if opening < INF
        }
        mine = [y for y in of_yard if demand.lines[y.lines[0]].frame == frame]
        if len(expected) < 2:
            assert mine == []
            continue
        (found,) = mine
        assert (found.lines, found.exact, found.merged) == (lines, True, False)
        assert dict(zip(map(tuple, found.mixes.tolist()), found.opening.tolist(), strict=True)) == expected
        for mix, opening, seconds in zip(found.mixes, found.opening, found.seconds, strict=True):
            rest = sum(int(n) * fixed_s(one, demand, k) for k, n in zip(lines, mix, strict=True))
            assert seconds == opening + rest


def test_the_random_yards_are_worth_trying() -> None:
    """Several lines, two formats, eggs: each is met often among the random yards."""
    all_of = [(made_at(random_yard(seed)), random_yard(seed)) for seed in SEEDS]
    assert sum(len(of_yard) == 2 for (_, of_yard), _ in all_of) >= 3
    assert (
        sum(any(len(y.lines) >= 2 and len(y.mixes) > 4 for y in of_yard) for (_, of_yard), _ in all_of) >= 10
    )
    with_eggs = [
        any(demand.of(k).need[2] and y.mixes[:, i].any() for y in of_yard for i, k in enumerate(y.lines))
        for (demand, of_yard), _ in all_of
    ]
    assert sum(with_eggs) >= 5


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("prices", [0, 900, -400], ids=["no price", "a price", "below nothing"])
def test_table_with_prices_is_the_least_over_the_mixes(seed: int, prices: int) -> None:
    one = random_yard(seed)
    demand, of_yard = made_at(one)
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
    for seed, (demand, of_yard) in zip(SEEDS, exact, strict=True):
        _, relaxed = made_at(random_yard(seed))
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
    demand, of_yard = made_at(one)
    (found,) = of_yard
    assert [demand.of(k).orders for k in found.lines] == [(("B", 1),)]


def test_hives_that_give_and_cost_alike_are_one_kind() -> None:
    one = operation((yard("Y", 0.0),), (hive("1"), hive("2"), hive("3", supers=1), hive("4", frame="medium")))
    kinds = donors_of(one, surplus_of(one))["Y"]
    assert [(d.frame, d.open_s, [h.id for h in d.hives]) for d in kinds] == [
        ("deep", 300, ["1", "2"]),
        ("deep", 390, ["3"]),
        ("medium", 300, ["4"]),
    ]
