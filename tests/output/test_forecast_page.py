"""The page of how colonies fare: its drawings, and that it needs nothing from outside."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from routeplan.colony.strength import frame_holds
from routeplan.output.chart import DAYS, Lines, chart, charts, lines_of
from routeplan.output.forecast_page import forecast_page
from routeplan.output.told import told
from tests.output import rich, sample
from tests.output.many import many_splits
from tests.output.sample import BAD, HOSTILE, hostile

TOLD = told(sample.OPERATION, sample.plan_of())
RICH = told(rich.OPERATION, rich.rich_plan())
PAGE = forecast_page(TOLD)


def test_every_colony_has_a_drawing_and_its_facts() -> None:
    assert PAGE.count('<svg class="chart"') == len(TOLD.fares)
    for fare in TOLD.fares:
        assert f"<h3>{fare.colony.name} " in PAGE
    for words in (
        "Weakest",
        "Laying queen",
        "Ready to sell",
        "As strong as before",
        "Swarming in three weeks",
    ):
        assert words in PAGE


def test_nothing_comes_from_outside_and_nothing_runs() -> None:
    assert "<script" not in PAGE
    assert not re.search(r"(src|href)\s*=", PAGE)
    assert "url(" not in PAGE
    assert "default-src 'none'" in PAGE


def test_drawings_are_sound_svg() -> None:
    for text in re.findall(r"<svg.*?</svg>", PAGE + forecast_page(RICH), re.S):
        drawn = ET.fromstring(text)
        for line in (*drawn.iter("polyline"), *drawn.iter("polygon")):
            points = [tuple(map(float, p.split(","))) for p in line.get("points", "").split()]
            assert all(0 <= x <= 360 for x, _ in points)


def test_the_lines_are_the_forecast() -> None:
    """Points read back off the drawing are the bees of the forecast, in frames."""
    fare = TOLD.fares[0]
    drawn = charts(TOLD.day, TOLD.fares, TOLD.ahead)[0]
    top = max(int(text) for _, text in drawn.frames)
    bees = frame_holds(fare.colony.half.frame, sample.OPERATION.settings.strength).bees
    points = [tuple(map(float, p.split(","))) for p in drawn.bees.split()]
    assert len(points) == DAYS // 2 + 1  # every second day
    for n in (0, 20, 48, 84):
        frames = top * (1 - (points[n // 2][1] - 16) / 150)
        assert frames == pytest.approx(TOLD.ahead.fed.adults[0, n] / bees, abs=top / 1000)
    assert drawn.weakest.words == "weakest 2½"
    assert [bar.words.split(":")[0] for bar in drawn.bars] == [
        "cells capped",
        "queen hatches",
        "flies to mate",
        "old brood all out",
        "first eggs",
        "last chance to mate",
        "own first bees",
    ]


def test_the_range_holds_the_line() -> None:
    for told_ in (TOLD, RICH):
        for i, fare in enumerate(told_.fares):
            lines = lines_of(told_.day, fare, told_.ahead, i)
            assert (lines.low <= lines.bees + 1e-9).all()
            assert (lines.bees <= lines.high + 1e-9).all()


def test_a_strong_and_a_dying_colony_are_drawn() -> None:
    fare = TOLD.fares[0]
    for most in (0.0, 0.4, 3.0, 39.0, 400.0):
        frames = np.linspace(most, 0.0, 121)
        drawn = chart(
            TOLD.day, replace(fare, weakest=0.0, weakest_day=120), Lines(frames, frames, frames, frames)
        )
        assert int(drawn.frames[-1][1]) >= most
        assert len(drawn.frames) <= 21
        assert drawn.weakest.anchor == "end"


def test_own_queens_have_no_events() -> None:
    donor = next(i for i, fare in enumerate(TOLD.fares) if not fare.colony.is_split)
    assert charts(TOLD.day, TOLD.fares, TOLD.ahead)[donor].bars == ()


def test_what_moves_the_weakest_day_is_told() -> None:
    assert len(TOLD.moves) == 3
    for line in TOLD.moves:
        assert re.search(r": \d+\.\d or \d+\.\d frames of bees on the weakest day", line)
        assert line in PAGE


def test_texts_of_the_tables_are_never_markup() -> None:
    page = forecast_page(told(*hostile()))
    assert BAD not in page
    assert HOSTILE[3] not in page
    assert "a&lt;/script&gt;&lt;b&gt;x" in page


def test_a_day_without_a_plan_has_a_page() -> None:
    page = forecast_page(told(sample.OPERATION, sample.no_plan()))
    assert "How the colonies fare" in page
    assert "<article>" not in page


@pytest.mark.long
def test_a_page_of_three_hundred_splits_is_light_enough_for_a_phone() -> None:
    told_ = told(*many_splits(300, 900))
    assert sum(len(fare.colony.splits) for fare in told_.fares) >= 300
    assert len(forecast_page(told_).encode()) < 3_000_000
