"""What to load, in three parts, counted; the numbers a split or a yard needs are common practice."""

from dataclasses import replace

from routeplan.operation.world import Operation
from routeplan.output.day import day_of
from routeplan.output.load import Item, load
from routeplan.plan import Plan, Split, Stop, Take
from tests.output import rich, sample


def parts(operation: Operation, plan: Plan) -> dict[str, dict[str, Item]]:
    return {part.name: {i.what: i for i in part.items} for part in load(day_of(operation, plan))}


RICH = parts(rich.OPERATION, rich.rich_plan())
PLAIN = parts(sample.OPERATION, sample.plan_of())
SPLITS = "Per split and hive that gives"


def test_three_parts() -> None:
    assert list(RICH) == ["Always", "Per yard", SPLITS]
    assert all(i.count is None for i in RICH["Always"].values())
    assert all(i.count is not None for name in ("Per yard", SPLITS) for i in RICH[name].values())


def test_three_yards_four_splits_two_donors() -> None:
    """Case A25: 3 bellows covers, 4 boxes, 4 lids, 4 entrance closers, 8 straps at 2 each."""
    plan = sample.plan_of()
    splits: tuple[Split, ...] = plan.splits[:4]
    kept = {s.id for s in splits}

    def fewer(stop: Stop) -> Stop:
        takes = tuple(t for t in stop.takes if t.split in kept)
        return replace(stop, takes=takes, makes=tuple(m for m in stop.makes if m in kept))

    donors = (Take("A1", "capped", 1, "s1"), Take("A2", "capped", 1, "s1"))
    first, second, third = (fewer(s) for s in plan.stops[:3])
    stops = (replace(first, opens=("A1", "A2"), takes=donors), replace(second, opens=(), takes=()), third)
    listed = parts(sample.OPERATION, replace(plan, splits=splits, stops=stops))
    assert listed["Per yard"]["Clean bellows cover for the smoker"].count == 3
    counts = {what: item.count for what, item in listed[SPLITS].items()}
    assert counts["Nuc box with floor, deep"] == 4
    assert counts["Lid"] == counts["Entrance closer, screened"] == 4
    assert counts["Strap"] == 8
    assert counts["Mark for the lid of a hive that gave"] == 2


def test_combs_add_up() -> None:
    """A box leaves home with five combs."""
    items = {what: item.count or 0 for what, item in PLAIN[SPLITS].items()}
    assert items["Nuc box with floor, deep"] == 5
    assert items["Drawn comb, deep"] + items["Drawn comb or foundation, deep"] == 25
    assert items["Drawn comb, deep"] == 2


def test_swapped_food_needs_fewer_combs_and_its_own_things() -> None:
    """Eight boxes of five combs, two of them with their food from elsewhere."""
    items = RICH[SPLITS]
    combs = items["Drawn comb, deep"].count, items["Drawn comb or foundation, deep"].count
    assert combs == (2, 8 * 5 - 2 - 2)
    assert items["Comb of food, deep"] == Item(
        1, "Comb of food, deep", "instead of food frames: box 6; closed, no robber gets at it"
    )
    assert items["Feeder, filled"].remark == "one a split; without food frames and so fed first: box 7"


def test_one_spare_queen_in_eight() -> None:
    """One spare per eight, 20 to 30 degrees, shade: common practice."""
    queens = RICH[SPLITS]["Mated queen, caged"]
    assert (queens.count, queens.remark.split(";")[0]) == (3, "2 needed, 1 spare")
    assert "20 to 30\u00a0°C, shade" in queens.remark
    plan = rich.rich_plan()
    nine = tuple(replace(plan.splits[5], id=f"q{n}") for n in range(9))
    many = parts(rich.OPERATION, replace(plan, splits=nine))
    assert many[SPLITS]["Mated queen, caged"].count == 9 + 2


def test_cells_are_for_the_day_after() -> None:
    cell = RICH[SPLITS]["Ripe queen cell"]
    assert cell.count == 1
    assert cell.remark.startswith("not today: for the trip on Sun 10 May, to Heath")


def test_a_cage_for_each_queen_to_be_found() -> None:
    assert RICH[SPLITS]["Queen cage"].count == 3
    assert PLAIN[SPLITS]["Queen cage"].count == 1


def test_fence_kits_name_their_yards() -> None:
    """Case A19: the fence and its energiser are on the list."""
    fence = next(i for what, i in RICH["Per yard"].items() if what.startswith("Fence kit"))
    assert (fence.count, fence.remark) == (1, "for Gorse")
    assert "energiser" in fence.what


def test_a_plain_day_lists_nothing_it_does_not_need() -> None:
    said = {what for part in PLAIN.values() for what in part}
    for start in ("Fence", "Comb of food"):
        assert not [what for what in said if what.startswith(start)]
    none = replace(sample.plan_of(), splits=())
    assert load(day_of(sample.OPERATION, none)) == ()
