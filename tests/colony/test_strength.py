"""Frames to cells, bees and stores, against printed figures; what odd brood tells."""

import numpy as np
import pytest

from routeplan.colony.formats import cells_per_cm2, comb_cm2, is_known
from routeplan.colony.strength import (
    amounts,
    bees_of_kg,
    brood_flag,
    frame_holds,
    frame_of_bees,
    tenths_of_sides,
)
from routeplan.operation.colony_settings import Strength
from routeplan.operation.frame_sizes import FRAME_SIZES

USUAL = Strength()


def test_cells_from_their_width() -> None:
    # drone comb of 6.5 mm has 2.73 cells a cm²: Seeley, The Lives of Bees (2019), note to p. 159
    assert cells_per_cm2(6.5) == pytest.approx(2.73, abs=0.005)
    # 400 cells a dm² of one side, the Liebefeld rule (from memory); "about 4 cells/cm²" on a club's page
    assert cells_per_cm2(USUAL.cell_width_mm) == pytest.approx(4.0, abs=0.01)
    # hexagon geometry: 5.2, 5.3 and 5.4 mm
    assert [round(cells_per_cm2(d), 2) for d in (5.2, 5.3, 5.4)] == [4.27, 4.11, 3.96]


def test_comb_of_a_deep_frame() -> None:
    # a ten-frame body has 2,700 square inches of comb (printed grading rule): 871 cm² a side
    assert comb_cm2("deep") == pytest.approx(2700 * 2.54**2 / 20, rel=0.005)


@pytest.mark.parametrize(
    ("name", "printed"),
    # brood cells per box over its frames, as printed in a beekeeping association's exam notes; other pages
    # print 4,534 for National and 6,372 for deep, so the figures themselves differ by a tenth
    [("national", 5000), ("14x12", 7300), ("commercial", 6420), ("deep", 6100), ("dadant", 7727)],
)
def test_cells_of_a_whole_frame_lie_near_print(name: str, printed: int) -> None:
    cells = 2 * comb_cm2(name) * cells_per_cm2(USUAL.cell_width_mm)
    assert printed * 0.99 < cells < printed * 1.15


def test_deeper_frames_of_a_length_hold_more() -> None:
    for shallow, deep in (
        ("shallow", "medium"),
        ("medium", "deep"),
        ("deep", "dadant"),
        ("national", "14x12"),
    ):
        assert comb_cm2(shallow) < comb_cm2(deep)


def test_an_unknown_format_is_taken_as_deep() -> None:
    assert not is_known("my own")
    assert comb_cm2("my own") == comb_cm2("deep")


def test_a_frame_of_bees_is_said_what_it_is() -> None:
    # a single layer on both sides of a deep comb: 1,900 (Kauffeld, in Burgett and Burikam 1985)
    assert frame_holds("deep", USUAL).bees == pytest.approx(1900, rel=0.01)
    assert "1,890 on deep frames" in frame_of_bees("deep", USUAL)
    assert "single layer" in frame_of_bees("deep", USUAL)


def test_honey_of_a_full_deep_frame() -> None:
    # 6 to 8 lb, common practice
    assert 6 * 453.6 < frame_holds("deep", USUAL).honey_g < 8 * 453.6


def test_a_frame_of_capped_brood_becomes_three_frames_of_bees() -> None:
    # common practice
    for name in FRAME_SIZES:
        holds = frame_holds(name, USUAL)
        assert 2.8 < holds.brood_cells * 0.985 / holds.bees < 3.3


def test_frames_become_amounts_of_any_shape() -> None:
    holds = frame_holds("deep", USUAL)
    one = amounts(8.0, 4.0, 3.0, 2.0, holds, 0.25)
    many = amounts(
        np.full((2, 3), 8.0), np.full((2, 3), 4.0), np.full((2, 3), 3.0), np.full((2, 3), 2.0), holds, 0.25
    )
    for name in ("bees", "eggs", "larvae", "capped", "honey_g", "pollen_g"):
        assert getattr(many, name).shape == (2, 3)
        assert np.all(getattr(many, name) == getattr(one, name))
    assert one.eggs * 4 == pytest.approx(one.capped)
    assert one.larvae * 2 == pytest.approx(one.capped)
    assert one.honey_g / holds.honey_g + one.pollen_g / holds.pollen_g == pytest.approx(2.0)


def test_tenths_of_both_sides_make_a_frame() -> None:
    assert tenths_of_sides([[10, 10], [5, 0]]).tolist() == [1.0, 0.25]


def test_bees_by_weight() -> None:
    # Mitchell 1970, Am Bee J 110, as quoted: newly emerged bees weigh 102 mg, mature 88, full of honey 130
    for state, mg in (("newly emerged", 102), ("mature", 88.0), ("full of honey", 130)):
        assert bees_of_kg(1.0, state) == pytest.approx(1e6 / mg, rel=0.001)
    # the trade's package rule, 3,500 bees to the pound, lies between them
    assert bees_of_kg(0.4536, "full of honey") < 3500 < bees_of_kg(0.4536)


@pytest.mark.parametrize(
    ("brood", "words"),
    [
        ((1, 2, 4), ""),
        ((3, 6, 12), ""),
        ((1, 2, 7.9), ""),
        ((1, 2, 8.1), "falling"),
        ((1, 2, 2.1), ""),
        ((1, 2, 1.9), "rising"),
        ((0, 2, 4), "no eggs"),
        ((0, 0, 4), "only capped"),
        ((0, 0, 0), "no brood"),
    ],
)
def test_brood_far_off_one_two_four_is_named(brood: tuple[float, float, float], words: str) -> None:
    said = brood_flag(*brood)
    assert (said == "") == (words == "")
    assert words in said
