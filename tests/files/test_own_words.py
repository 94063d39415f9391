"""A beekeeper's own headers and codes, as settings.toml says them; what it does not say is asked about."""

import tomllib
from pathlib import Path

import pytest

from routeplan.operation.synonyms import COLUMN_WORDS, TABLE_WORDS, column_named, table_named
from routeplan.operation.toml_settings import settings_from
from tests.files.bring import hives_of, places, read_hives, said

DAY = 'day = "2026-05-06"\n'
HEAD = "Volk,Stand,Hf brood,Kisten,Stores,Mood,Q,health\n"
OWN = (
    DAY
    + """
[headers.hives]
Volk = "hive"
"stand" = "yard"
"Hf brood" = { column = "brood", each = 0.5 }
Q = "queen"
Kisten = { column = "bees", each = 10 }

[codes.hives.temper]
10 = "calm"
5 = "normal"
1 = "bad"

[codes.hives.queen]
UMQ = "unmarked"
"♛" = "marked"

[codes.hives.brood]
x = 0
"""
)


def test_half_frames_boxes_temper_scales_and_queen_shorthand(tmp_path: Path) -> None:
    rows = "1,Creek,15,1½,4,10,umq,ok\n2,Creek,X,1,4,1,♛,ok\n"
    hives = hives_of(read_hives(tmp_path, HEAD + rows, settings=OWN))
    assert [(h.count.brood, h.count.bees, h.temper, h.queen) for h in hives.values()] == [
        (7.5, 15, "calm", "unmarked"),
        (0, 10, "bad", "marked"),
    ]


def test_codes_that_are_not_said_are_listed_with_their_rows_and_never_guessed(tmp_path: Path) -> None:
    rows = "".join(f"{i},Creek,15,1,4,{temper},UMQ,ok\n" for i, temper in enumerate((9, 9, 10, 3)))
    read = read_hives(tmp_path, HEAD + rows, settings=OWN)
    assert places(read, "error") == [("hives.csv", 2, "Mood"), ("hives.csv", 5, "Mood")]
    assert "“9” is not one of the words used here (also row 3)." in said(read, "error")
    assert "[codes.hives.temper]" in said(read, "error")


def test_a_header_that_is_not_said_is_named_with_the_way_to_say_it(tmp_path: Path) -> None:
    read = read_hives(tmp_path, "hive,yard,Wabengassen\n1,Creek,12\n")
    assert ("hives.csv", None, "Wabengassen") in places(read, "warning")
    assert "[headers.hives] in settings.toml" in said(read)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("headers = 1", "headers"),
        ("[headers]\nhives = 1", "headers.hives"),
        ('[headers.bees]\na = "hive"', "headers.bees"),
        ('[headers.hives]\nVolk = "colony"', "headers.hives.Volk"),
        ('[headers.hives]\nVolk = { column = "hive", each = 2 }', "headers.hives.Volk"),
        ('[headers.hives]\nHf = { column = "brood", each = 0 }', "headers.hives.Hf"),
        ('[headers.hives]\nHf = { column = "brood", per = 2 }', "headers.hives.Hf"),
        ('[codes.hives]\ntemper = "calm"', "codes.hives.temper"),
        ('[codes.hives.temper]\n1 = "wild"', "codes.hives.temper.1"),
        ("[codes.hives.temper]\n1 = []", "codes.hives.temper.1"),
        ('[codes.hives.tempr]\n1 = "calm"', "codes.hives.tempr"),
        ('[codes.hives.inspected]\nx = "5/4/26"', "codes.hives.inspected.x"),
    ],
)
def test_own_words_that_cannot_be(text: str, key: str) -> None:
    _, findings = settings_from(tomllib.loads(text), text)
    assert [(f.level, f.column) for f in findings] == [("error", key)]
    assert all(f.message.endswith(".") for f in findings)


def test_no_word_of_the_trade_stands_for_two_columns_of_a_table() -> None:
    for table, columns in COLUMN_WORDS.items():
        words = [word for others in columns.values() for word in others]
        assert len(words) == len(set(words)), table
        assert {word: column_named(table, word.upper()) for word in words} == {
            word: name for name, others in columns.items() for word in others
        }
    names = [word for words in TABLE_WORDS.values() for word in words]
    assert len(names) == len(set(names))
    assert [table_named(word.title()) for words in TABLE_WORDS.values() for word in words] == [
        table for table, words in TABLE_WORDS.items() for _ in words
    ]


def test_a_list_in_another_language_with_a_title_and_decimal_commas(tmp_path: Path) -> None:
    """Nothing in it is known before the settings say it: rows of one width tell what parts its cells."""
    settings = DAY + '[headers.hives]\nVolk = "hive"\nStand = "yard"\nBrut = "brood"\nBienen = "bees"\n'
    text = "Völker, Frühjahr, 2026\n\nVolk;Stand;Brut;Bienen\n1;Creek;7,5;12,25\n2;Creek;6,5;10,5\n"
    read = read_hives(tmp_path, text, settings=settings)
    assert [(h.count.brood, h.count.bees) for h in hives_of(read).values()] == [(7.5, 12.25), (6.5, 10.5)]
