"""What odd counts tell before anything is planned."""

from dataclasses import replace

from routeplan.colony.odd_counts import odd_counts
from tests.planning.make import hive, operation, yard
from tests.tiny import tiny_operation


def said(*hives) -> list[str]:  # type: ignore[no-untyped-def]
    return [f.message for f in odd_counts(operation((yard("Y", 3.0),), hives))]


def test_even_brood_says_nothing() -> None:
    assert odd_counts(tiny_operation()) == []
    assert said(hive("H", capped=4.0, open=3.0)) == []


def test_brood_off_one_two_four_is_told_by_hive() -> None:
    rising, falling = hive("1", capped=2.0, open=4.0), hive("2", capped=8.0, open=2.0)
    assert said(rising, falling) == [
        "Hive “1” at Y: much more open than capped brood: laying is rising.",
        "Hive “2” at Y: much more capped than open brood: laying is falling.",
    ]
    assert said(*(replace(rising, id=str(n)) for n in range(7))) == [
        "Hives “0” at Y, “1” at Y, “2” at Y, “3” at Y, “4” at Y and 2 more: "
        "much more open than capped brood: laying is rising."
    ]


def test_a_hive_known_to_be_queenless_is_passed_over() -> None:
    assert "look for the queen" in said(hive("H", capped=4.0, open=0.0))[0]
    assert said(hive("H", capped=4.0, open=0.0, queen="queenless")) == []


def test_frames_of_no_known_size_are_named() -> None:
    (message,) = said(hive("H", capped=4.0, open=3.0, frame="my own"))
    assert "“my own”" in message
