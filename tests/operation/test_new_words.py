"""What the tables say of queens, cells, bears, flows, grades and money reaches the operation as written."""

from datetime import date
from pathlib import Path

import pytest

from routeplan.operation.read import read_operation
from routeplan.operation.settings import Costs, Grade, KeepBack, Later, Sure, Swaps
from routeplan.operation.world import Operation, Order, Stock
from tests.operation.new_words import FAULTS_OF_NEW_WORDS, HIVES, NEW, SETTINGS, SPLITS, STOCK, YARDS, new
from tests.operation.sound import read_changed, write_operation

DAY = date(2027, 5, 15)


@pytest.fixture
def operation(tmp_path: Path) -> Operation:
    return _read(tmp_path, NEW)


def _read(folder: Path, tables: dict[str, str]) -> Operation:
    operation, findings = read_changed(folder, tables)
    assert operation is not None, [f.sentence() for f in findings]
    assert findings == []
    return operation


def test_yards(operation: Operation) -> None:
    alder, birch, cedar = operation.yards
    assert [y.due for y in operation.yards] == [True, False, False]
    assert [y.looked_after for y in operation.yards] == [False, True, False]
    assert (birch.flow_from, birch.flow_until) == (date(2027, 5, 10), date(2027, 5, 30))
    assert [(y.bear, y.fence) for y in operation.yards] == [(False, None), (True, False), (True, True)]
    assert [y.has_flow(DAY, dearth=True) for y in (alder, birch, cedar)] == [False, True, False]
    assert [y.has_flow(DAY, dearth=False) for y in (alder, birch, cedar)] == [True, True, False]


def test_hives(operation: Operation) -> None:
    hives = {hive.id: hive for hive in operation.hives}
    assert [(hives[i].excluder, hives[i].due) for i in ("007", "NA", "1E5")] == [
        (True, True),
        (False, False),
        (False, False),
    ]
    assert [hives[i].grade for i in ("007", "NA", "1E5")] == ["", "", "strong"]


def test_splits(operation: Operation) -> None:
    own, parent, *_ = operation.orders
    assert own == Order("A", 2, "three-frame", "own cells", from_yard="Alder", hive="NA")
    assert (parent.queen, parent.from_yard, parent.hive) == ("parent's", None, None)


@pytest.mark.parametrize("word", ["parent's", "Parent’s", "own cell", "Own Cells"])
def test_ways_to_a_queen_as_people_write_them(word: str, tmp_path: Path) -> None:
    order = SPLITS.splitlines()[1].replace("own cells", word).replace("A,2", "A,1")
    operation, _ = read_changed(tmp_path, NEW | {"splits.csv": SPLITS.splitlines()[0] + "\n" + order})
    assert operation is not None
    assert operation.orders[0].queen == ("parent's" if "arent" in word else "own cells")


def test_stock(operation: Operation) -> None:
    assert Stock("food comb", "deep", 2) in operation.stock, "the setting `frame` where it is blank"
    assert Stock("feeder", "", 3) in operation.stock, "a feeder fits every format"
    assert Stock("mated queen", "", 2, date(2027, 5, 14), date(2027, 5, 15)) in operation.stock
    assert operation.counted("ripe cell", on=date(2027, 5, 16)) == 2
    assert operation.counted("ripe cell", on=DAY) == 9
    assert operation.counted("fence kit") == 1


def test_what_is_not_listed_is_not_known(tmp_path: Path) -> None:
    stock = "\n".join(line for line in STOCK.splitlines() if "queen" not in line) + "\n"
    assert _read(tmp_path, NEW | {"stock.csv": stock}).counted("mated queen", on=DAY) is None


def test_settings(operation: Operation) -> None:
    settings = operation.settings
    assert (settings.objective, settings.dearth, settings.stay_put) == ("money", True, True)
    assert settings.parted == KeepBack(7, 2, 1, 2)
    assert settings.sure == Sure(look=False)
    assert settings.swaps == Swaps(True, True, True, 12)
    assert settings.later == Later(trips=4)
    assert settings.costs == Costs("£", 0.4, 15)
    assert settings.grades == (("strong", Grade(bees=14, brood=8, food=3.5)),)
    assert hash(settings) == hash(settings)


def test_the_season_leaves_what_stays_of_a_parted_hive(tmp_path: Path) -> None:
    late = _read(tmp_path, NEW | {"settings.toml": 'season = "late season"\n' + SETTINGS}).settings
    assert late.parted == KeepBack(7, 2, 1, 2)
    assert late.keep_back.bees == 10


def test_a_grade_fills_what_was_not_counted(operation: Operation) -> None:
    count = next(h for h in operation.hives if h.id == "1E5").count
    assert count.bees == 9, "what was counted stands"
    assert (count.brood, count.food) == (8, 3.5)
    assert (count.capped, count.open, count.eggs_seen) == (None, None, None)


@pytest.mark.parametrize(("capped", "open_"), [("3", ""), ("", "2"), ("0", "0")])
def test_a_grade_adds_no_brood_where_some_was_counted(capped: str, open_: str, tmp_path: Path) -> None:
    tables = new("hives.csv", "strong,2027-05-12,9,,,,,", f"strong,2027-05-12,,{capped},{open_},,,")
    count = next(h for h in _read(tmp_path, tables).hives if h.id == "1E5").count
    assert (count.bees, count.brood, count.food) == (14, None, 3.5)
    assert (count.capped, count.open) == tuple(float(n) if n else None for n in (capped, open_))


def test_a_newer_look_without_a_grade_is_not_graded(tmp_path: Path) -> None:
    """An older word for the strength is as old as the counts beside it."""
    newer = "1E5,Alder,unknown,ok,0,,,,2027-05-13,,,,,,\n"
    hives = HIVES.replace("strong,2027-05-12,9", "strong,2027-05-02,9").replace(
        ",0,,,strong", ",0,,yes,strong"
    )
    hive = next(h for h in _read(tmp_path, NEW | {"hives.csv": hives + newer}).hives if h.id == "1E5")
    assert (hive.grade, hive.count.bees, hive.count.brood, hive.due) == ("", None, None, False)


def test_an_excluder_lasts_until_another_word(tmp_path: Path) -> None:
    newer = "007,Alder,marked,ok,1,,,,2027-05-13,14,5,3,4,yes,none\n"
    hive = next(h for h in _read(tmp_path, NEW | {"hives.csv": HIVES + newer}).hives if h.id == "007")
    assert hive.excluder


@pytest.mark.parametrize(
    "change",
    [
        ("NA,Alder,unmarked,ok", "NA,Alder,unmarked,suspected"),
        ("NA,Alder,unmarked,ok", "NA,Alder,laying workers,ok"),
    ],
)
def test_a_charged_hive_that_must_not_be_parted_is_not_asked_for(
    change: tuple[str, str], tmp_path: Path
) -> None:
    tables = new("hives.csv", *change) | {"splits.csv": SPLITS.replace(SPLITS.splitlines()[1] + "\n", "")}
    _read(tmp_path, tables)


def test_a_charged_hive_of_a_suspected_yard_is_not_asked_for(tmp_path: Path) -> None:
    tables = NEW | {
        "yards.csv": YARDS.replace("2,no,ok", "2,no,suspected"),
        "splits.csv": SPLITS.replace(SPLITS.splitlines()[1] + "\n", ""),
    }
    _read(tmp_path, tables)


def test_cells_seen_nine_days_before_the_day_still_serve(tmp_path: Path) -> None:
    _read(tmp_path, new("hives.csv", "2027-05-12,13", "2027-05-06,13"))


def test_each_fault_is_one_change_of_a_sound_operation(tmp_path: Path) -> None:
    operation, findings = read_operation(write_operation(tmp_path, NEW))
    assert operation is not None
    assert findings == []
    assert len(FAULTS_OF_NEW_WORDS) > 30
