"""Which frames to take: emerging brood, mostly eggs, each frame once."""

from routeplan.colony.which_frames import best_frames, which_frames
from routeplan.operation.world import FrameLook


def look(number: int, capped: float = 0, open_: float = 0, food: float = 0, **more: bool) -> FrameLook:
    return FrameLook("Y", "H", number, capped, open_, food, **more)


NEST = (
    look(1, food=18),
    look(2, food=12, open_=2),
    look(3, capped=18),
    look(4, capped=12, emerging=True),
    look(5, open_=16),
    look(6, open_=11, eggs=True),
    look(7, capped=8, open_=8),
    look(8, capped=4),
)


def test_emerging_brood_goes_before_more_brood() -> None:
    assert which_frames(NEST, {"capped": 1}) == {"capped": (4,)}
    assert which_frames(NEST, {"capped": 2}) == {"capped": (4, 3)}


def test_mostly_eggs_go_before_more_open_brood() -> None:
    assert which_frames(NEST, {"eggs": 1}) == {"eggs": (6,)}
    assert which_frames(NEST, {"open": 2}) == {"open": (6, 5)}


def test_each_frame_is_taken_once_and_eggs_choose_first() -> None:
    assert which_frames(NEST, {"open": 1, "eggs": 1}) == {"eggs": (6,), "open": (5,)}
    assert which_frames(NEST, {"mixed": 1, "capped": 3}) == {"mixed": (7,), "capped": (4, 3)}


def test_food_by_how_much_there_is() -> None:
    assert which_frames(NEST, {"food": 2, "shake": 2}) == {"food": (1, 2)}


def test_a_frame_with_little_of_it_does_not_serve() -> None:
    assert which_frames([look(8, capped=4)], {"capped": 1}) == {}
    assert which_frames([look(8, capped=6)], {"capped": 1}) == {"capped": (8,)}
    assert which_frames([look(9, capped=7, open_=9)], {"capped": 1}) == {}
    assert which_frames([], {"capped": 1}) == {}


def test_frames_that_suit_best_are_counted() -> None:
    assert best_frames(NEST) == (1, 1)
    assert best_frames([look(1, capped=4, emerging=True), look(2, open_=12)]) == (0, 0)
    assert best_frames([look(1, capped=6, open_=9, emerging=True, eggs=True)]) == (0, 1)
