"""Days and times as people write them: proved by their column, or asked about; never turned round."""

from datetime import date
from pathlib import Path

import pytest

from routeplan.operation.dates import DAY_FIRST, MONTH_FIRST, Order, day_of, order_of
from routeplan.operation.unreadable import UnreadableError
from tests.files.bring import hives_of, places, read_hives, said

HEAD = "hive,yard,inspected,bees,brood,food,health\n"


def looks(*days: str, head: str = HEAD) -> str:
    return head + "".join(f'{i},Creek,"{day}",12,7,4,ok\n' for i, day in enumerate(days, 1))


def days_of(folder: Path, *days: str, head: str = HEAD, settings: str = "") -> list[str]:
    more = {"settings": f'day = "2026-05-20"\n{settings}'}
    return [
        str(hive.count.inspected)
        for hive in hives_of(read_hives(folder, looks(*days, head=head), **more)).values()
    ]


def test_one_date_proves_the_order_of_its_column_whichever_row_it_is_in(tmp_path: Path) -> None:
    day_first = ("04/05/2026", "13/05/2026")
    assert days_of(tmp_path / "a", *day_first) == ["2026-05-04", "2026-05-13"]
    assert days_of(tmp_path / "b", *day_first[::-1]) == ["2026-05-13", "2026-05-04"]
    assert days_of(tmp_path / "c", "5/4/26", "5/13/26") == ["2026-05-04", "2026-05-13"], "month first"
    assert days_of(tmp_path / "d", "04.05.2026", "13.05.2026") == ["2026-05-04", "2026-05-13"]
    assert days_of(tmp_path / "e", "4-5-26", "13/05/2026") == ["2026-05-04", "2026-05-13"]


def test_what_no_row_settles_is_asked_about_and_never_guessed(tmp_path: Path) -> None:
    read = read_hives(tmp_path, looks("04/05/2026", "05/06/2026"))
    assert places(read, "error") == [("hives.csv", 2, "inspected"), ("hives.csv", 3, "inspected")]
    assert "could be 2026-04-05 or 2026-05-04: no date of this column tells" in said(read, "error")
    assert 'date_order = "day first"' in said(read, "error")


def test_the_setting_or_the_header_settles_it(tmp_path: Path) -> None:
    for place, setting, head, day in (
        ("a", 'date_order = "day first"', HEAD, "2026-05-04"),
        ("b", 'date_order = "month first"', HEAD, "2026-04-05"),
        ("c", "", HEAD.replace("inspected", "Inspected (dd/mm/yyyy)"), "2026-05-04"),
        ("d", "", HEAD.replace("inspected", "Date (m/d/y)"), "2026-04-05"),
    ):
        assert days_of(tmp_path / place, "04/05/2026", head=head, settings=setting + "\n") == [day]


def test_what_a_column_proves_goes_before_the_setting_and_is_said(tmp_path: Path) -> None:
    settings = 'day = "2026-05-20"\ndate_order = "month first"\n'
    read = read_hives(tmp_path, looks("04/05/2026", "13/05/2026"), settings=settings)
    assert str(hives_of(read)["1"].count.inspected) == "2026-05-04"
    assert "“13/05/2026” can only be day first" in said(read)


def test_two_orders_in_one_column_are_a_fault(tmp_path: Path) -> None:
    read = read_hives(tmp_path, looks("13/05/2026", "05/13/2026", "04/05/2026", "2026-05-01"))
    assert [row for _, row, _ in places(read, "error")] == [2, 3, 4]
    assert "“13/05/2026” in this column is day first, “05/13/2026” month first" in said(read, "error")


def test_year_month_day_is_never_turned_round(tmp_path: Path) -> None:
    """ISO 8601: the order is in the writing, whatever the rest of the column proves."""
    settings = 'date_order = "month first"\n'
    days = ("2026-05-04", "2026-04-05", "2026/5/4", "2026.05.04", "20260504", "2026-05-04 10:30")
    right = ["2026-05-04", "2026-04-05", *["2026-05-04"] * 4]
    assert days_of(tmp_path, *days, settings=settings) == right
    assert days_of(tmp_path / "mixed", "2026-05-04", "13/05/2026", "4/5/26")[::2] == ["2026-05-04"] * 2


def test_a_time_behind_a_date_leaves_the_day_alone(tmp_path: Path) -> None:
    days = ("5/13/2026 10:30 AM", "5/4/26, 22:15:00", "2026-05-04T23:59:59.999", "4 May 2026 7:05 p.m.")
    assert days_of(tmp_path, *days) == ["2026-05-13", *["2026-05-04"] * 3]
    for text in ("2026-05-04T23:30:00Z", "2026-05-04 23:30-0400", "10:30", "4/5 10:30"):
        read = read_hives(tmp_path / text[-5:].replace(":", ""), looks(text))
        assert places(read, "error") == [("hives.csv", 2, "inspected")], "another zone may have another day"


def test_a_year_of_two_figures_that_may_stand_first_is_asked_about(tmp_path: Path) -> None:
    """26-05-04 is 26 May 2004 or 4 May 2026; 13-05-26 is near with the year last, and read so."""
    read = read_hives(tmp_path, looks("26-05-04", "26/05/03 09:00"))
    assert places(read, "error") == [("hives.csv", 2, "inspected"), ("hives.csv", 3, "inspected")]
    assert "could be 2004-05-26 or, with the year first, 2026-05-04" in said(read, "error")
    assert days_of(tmp_path / "last", "13-05-26", "04-05-26") == ["2026-05-13", "2026-05-04"]


def test_months_by_name(tmp_path: Path) -> None:
    days = (
        "4 May 2026",
        "4-May-26",
        "May 4, 2026",
        "4th May 2026",
        "Mon, 4 May 2026",
        "4. may 2026",
        "May-4-2026",
    )
    assert set(days_of(tmp_path, *days)) == {"2026-05-04"}


def test_a_spreadsheet_s_day_numbers_are_read_and_said(tmp_path: Path) -> None:
    # 46146 is 4 May 2026: 46023 is 1 January 2026 (from memory), and 123 days lie between
    assert (date(2026, 5, 4) - date(2026, 1, 1)).days == 46146 - 46023
    read = read_hives(tmp_path, looks("2026-05-04", "46146", "46146.4375"))
    assert [str(hive.count.inspected) for hive in hives_of(read).values()] == ["2026-05-04"] * 3
    assert "row 3, column inspected: “46146” is read as a spreadsheet's own number for 2026-05-04" in said(
        read
    )
    commas = looks("46146,4375").replace(",", ";").replace('"46146;4375"', "46146,4375")
    assert str(hives_of(read_hives(tmp_path / "commas", commas))["1"].count.inspected) == "2026-05-04"
    with_open = read_hives(tmp_path / "open", looks("2026-05-04", "46146", "4/5/26"))
    assert places(with_open, "error") == [("hives.csv", 4, "inspected")]
    for number in ("12", "19999", "80001", "1234567"):
        wrong = read_hives(tmp_path / number, looks("2026-05-04", number))
        assert places(wrong, "error") == [("hives.csv", 3, "inspected")]


def test_day_number_of_the_first_days_that_are_read() -> None:
    """Microsoft's own worked example: 39448 is 1 January 2008 (page of the DATE function; from memory)."""
    assert day_of("39448", Order()) == date(2008, 1, 1)
    assert day_of("37986", Order(), days_from_1904=True) == date(2008, 1, 1), "1462 days less (from memory)"


@pytest.mark.parametrize(
    "text",
    ["31/02/2026", "32/01/2026", "4/5", "May 2026", "4 Mai 2026", "2026-02-29", "2026-W19", "??", "4/5/026"],
)
def test_what_is_no_day(text: str) -> None:
    for order in (Order(), Order(DAY_FIRST), Order(MONTH_FIRST)):
        with pytest.raises(UnreadableError):
            day_of(text, order)


def test_the_order_does_not_hang_on_the_order_of_rows() -> None:
    texts = ["01/02/2026", "2026-05-01", "x", "13/02/2026", "46146"]
    assert order_of(texts) == order_of(texts[::-1]) == Order(DAY_FIRST, proof="13/02/2026")
    assert order_of(["4/4/2026"]).first == "", "the same day in both orders proves nothing"
    assert day_of("4/4/2026", Order()) == date(2026, 4, 4)


def test_a_look_long_ago_is_said_with_its_age(tmp_path: Path) -> None:
    settings = 'day = "2026-05-04"\n[limits]\ncount_warn_days = 21\ncount_last_days = 30\n'
    read = read_hives(tmp_path, looks("2026-04-12", "2026-04-13"), settings=settings)
    assert "22 days old" in said(read)
    assert [row for _, row, column in places(read, "warning") if column == "inspected"] == [2, 3]
    assert said(read).count("The count of hive") == 1


def test_times_of_day_in_every_form_of_one_column(tmp_path: Path) -> None:
    yards = "yard,lat,lon,health,opens\n" + "".join(
        f"Y{i},52.1{i}13,-2.7254,ok,{text}\n" for i, text in enumerate(("7:30", "0.3125", "7:30 am", "0730"))
    )
    hives = looks("2026-05-04").replace("Creek", "Y0")
    operation, findings = read_hives(tmp_path, hives, yards=yards)
    assert operation is not None, findings
    assert {yard.opens_min for yard in operation.yards} == {450}
    assert "“0.3125” is read as a spreadsheet's own number for 07:30" in said((operation, findings))
    wrong = read_hives(tmp_path / "wrong", hives, yards=yards.replace("0730", "26:00"))
    assert places(wrong, "error") == [("yards.csv", 5, "opens")]
    assert "is not a time of day" in said(wrong, "error")


def test_a_date_that_cannot_be_read_is_one_fault_and_not_two(tmp_path: Path) -> None:
    text = looks("2026-05-04").rstrip("\n") + "\n1,Creek,last week,12,7,4,ok\n"
    assert places(read_hives(tmp_path, text), "error") == [("hives.csv", 3, "inspected")]
