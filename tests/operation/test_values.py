"""Each reader of a cell on short strings, both sides of its edges."""

from datetime import date

import pytest

from routeplan.operation import values
from routeplan.operation.columns import TABLES
from routeplan.operation.unreadable import UnreadableError


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("4", 4),
        ("4.5", 4.5),
        ("4½", 4.5),
        ("4 ½", 4.5),
        ("½", 0.5),
        ("4 1/2", 4.5),
        ("3/4", 0.75),
        ("4,5", 4.5),
        ("45,1000", 45.1),
        ("007", 7),
        ("−2", -2),
    ],
)
def test_numbers(text: str, value: float) -> None:
    assert values.number(text) == value


@pytest.mark.parametrize(
    "text",
    [
        "4,500",
        "4,5,6",
        "2027-02-01",
        "1e5",
        "nan",
        "inf",
        "4..5",
        "½4",
        "5/4",
        "1/0",
        "four",
        "4 frames",
        "٤",
        "0x4",
    ],
)
def test_what_is_no_number_is_never_guessed(text: str) -> None:
    with pytest.raises(UnreadableError):
        values.number(text)


def test_a_comma_is_a_decimal_mark_only_where_it_can_be() -> None:
    assert values.number("4,500", decimal_comma=True) == 4.5
    with pytest.raises(UnreadableError):
        values.number("1,200.5", decimal_comma=True)


def test_whole_numbers() -> None:
    assert values.whole("4.0") == 4
    for text in ("4.5", "4½", "many"):
        with pytest.raises(UnreadableError):
            values.whole(text)


def test_yes_and_no() -> None:
    assert [values.yes_no(t) for t in ("yes", "Y", "TRUE", "1", "no", "N", "False", "0")] == [True] * 4 + [
        False
    ] * 4
    with pytest.raises(UnreadableError):
        values.yes_no("?")


def test_dates() -> None:
    assert values.iso_date("2027-05-15") == date(2027, 5, 15)
    for text in ("15.05.2027", "5/15/2027", "20270515", "2027-02-29", "2027-W19-6", "2027-5-15"):
        with pytest.raises(UnreadableError):
            values.iso_date(text)


def test_times() -> None:
    assert [values.clock(t) for t in ("00:00", "8:30", "08:30", "08:30:00", "24:00")] == [
        0,
        510,
        510,
        510,
        1440,
    ]
    # a clock of twelve hours has no 00 and no 13: 12 am is midnight, 12 pm noon (common practice)
    same = ("0830", "8:30 am", "8:30AM", "8h30", "8 h 30", "0.354166666666667", "0,35417")
    assert {values.clock(t) for t in same} == {510}
    assert [values.clock(t) for t in ("12 am", "12:30 a.m.", "12 pm", "8:30 pm", "7pm")] == [
        0,
        30,
        720,
        1230,
        1140,
    ]
    for text in ("24:01", "26:00", "08:60", "8.30", "8", "830", "13:30 pm", "0:30 am", "08:30:30", "0.3333"):
        with pytest.raises(UnreadableError):
            values.clock(text)


def test_weekdays_are_counted_from_monday_as_in_iso_8601() -> None:
    assert values.weekdays("Sun") == (7,)
    assert values.weekdays("Sundays and saturday, Mon") == (1, 6, 7)
    with pytest.raises(UnreadableError, match="dom"):
        values.weekdays("Mon dom")


def test_distances_have_a_unit() -> None:
    assert values.distance_m("3 mi") == pytest.approx(4828.032)  # 1 international mile = 1,609.344 m exactly
    assert (values.distance_m("5 km"), values.distance_m("900 m")) == (5000, 900)
    for text in ("5", "5 leagues", "-3 mi", "km"):
        with pytest.raises(UnreadableError):
            values.distance_m(text)


def test_names_stay_as_written() -> None:
    assert [values.identity(t) for t in ("007", "NA", "1E5", "None", "A\u00a01", "12.0")] == [
        "007",
        "NA",
        "1E5",
        "None",
        "A 1",
        "12.0",
    ]


def test_choices() -> None:
    assert values.choice("Drawn  Combs", ("drawn comb", "nuc box")) == "drawn comb"
    assert values.choice("nuc boxes", ("drawn comb", "nuc box")) == "nuc box"
    assert values.choice("parent’s", ("parent's",)) == "parent's"
    with pytest.raises(UnreadableError, match="words used"):
        values.choice("comb", ("drawn comb",))


def test_every_kind_of_column_has_a_reader_and_a_readable_example() -> None:
    for columns in TABLES.values():
        for column in columns:
            assert column.kind in values.PARSERS or column.kind == "choice"
            if column.kind == "choice":
                assert values.choice(column.example, column.options) in column.options
            elif not column.instead_of:  # the same in another unit: an example of it would be a second value
                assert values.PARSERS[column.kind](column.example, False) is not None
