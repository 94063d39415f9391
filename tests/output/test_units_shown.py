"""The page and the workbook show one kind of unit: the operation's own."""

import re
from dataclasses import replace

import pytest

from routeplan.audit.violation import far, warm
from routeplan.operation.settings import Costs
from routeplan.operation.world import Operation
from routeplan.output.day import day_of
from routeplan.output.money import money
from routeplan.output.page import day_page
from routeplan.plan import Cost
from tests.output import rich

PLAN = replace(rich.rich_plan(), notes=(), changes=())
"""Sentences of the plan were written when it was made."""

METRIC, OTHER = r"\d\s*(?:km/h|km|°C|kg)\b", r"\d\s*(?:mph|mi|°F|lb)\b"
CASES = [("km", "celsius", "kg", METRIC, OTHER), ("mi", "fahrenheit", "lb", OTHER, METRIC)]


def shown(units: str, temperature: str, weight: str) -> Operation:
    costs = Costs("EUR", 1.0, 20.0, sugar_kg=2.0)
    settings = replace(
        rich.OPERATION.settings, units=units, temperature=temperature, weight=weight, costs=costs
    )
    return replace(rich.OPERATION, settings=settings)


@pytest.mark.parametrize(("units", "temperature", "weight", "own", "foreign"), CASES)
def test_the_page_shows_the_operation_s_units_alone(
    units: str, temperature: str, weight: str, own: str, foreign: str
) -> None:
    page = day_page(shown(units, temperature, weight), PLAN)
    text = re.sub(r"(?s)<(script|style|svg).*?</\1>|<[^>]+>", " ", page)
    assert re.search(own, text)
    assert not re.search(foreign, text), re.findall(f".{{30}}{foreign}", text)


def test_sugar_says_how_much_it_is() -> None:
    cost = Cost("EUR", 1.0, 0.0, 0.0, 0.0, 0.0, 16.0, 17.0, 17.0, 0.0, ())
    for case, said in zip(CASES, ("8 kg", "17.6 lb"), strict=True):
        told = money(day_of(shown(*case[:3]), replace(PLAN, cost=cost)))
        assert told is not None
        assert told.rows[-1][0].replace("\u00a0", " ") == f"Sugar where there is no flow, {said}"


def test_the_audit_says_the_unit_too() -> None:
    assert [far(4828.032, u) for u in ("km", "mi")] == ["4.83 km", "3.00 mi"]
    # 1 ft = 0.3048 m exactly, and 5,280 ft are a mile
    assert [far(60.96, u) for u in ("km", "mi")] == ["61 m", "200 ft"]
    assert [far(5280 * 0.3048 - 1, u) for u in ("km", "mi")] == ["1.61 km", "1.00 mi"]
    assert [far(-0.1524, u) for u in ("km", "mi")] == ["-0.152 m", "-0.500 ft"]
    assert [warm(30.0, u) for u in ("celsius", "fahrenheit")] == ["30 °C", "86 °F"]
