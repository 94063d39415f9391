"""The page of how colonies fare in a browser with the network off: phone, desk and paper."""

from pathlib import Path
from typing import Any

import pytest

from routeplan.output.forecast_page import forecast_page
from routeplan.output.told import told
from tests.output import rich
from tests.output.browsing import DESK, PHONE, show

SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("forecast") / "forecast.html"
    made.write_text(forecast_page(told(rich.OPERATION, rich.rich_plan())), encoding="utf-8")
    return made


@pytest.mark.parametrize("kind", [PHONE, DESK])
def test_it_opens_quietly_and_fits(browser: Any, page: Path, kind: dict[str, Any]) -> None:
    seen = show(browser, page, **kind)
    assert seen.troubles == []
    assert seen.asked == []
    assert seen.page.evaluate(SIDEWAYS) <= 0
    widths = seen.page.evaluate(
        "[...document.querySelectorAll('svg.chart')].map(c => c.getBoundingClientRect().width)"
    )
    assert min(widths) >= 280


def test_texts_on_a_drawing_do_not_lie_over_each_other(browser: Any, page: Path) -> None:
    seen = show(browser, page, **PHONE)
    over = seen.page.evaluate(
        """() => {
        const bad = [];
        for (const chart of document.querySelectorAll('svg.chart')) {
            const boxes = [...chart.querySelectorAll('text.tick, text.event')].filter(t => t.textContent)
                .map(t => [t.textContent, t.getBoundingClientRect()]);
            boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
                if (p.left < q.right && q.left < p.right && p.top < q.bottom - 1 && q.top < p.bottom - 1)
                    bad.push([a, b]);
            }));
        }
        return bad; }"""
    )
    assert over == []


def test_no_card_is_torn_on_paper(browser: Any, page: Path) -> None:
    seen = show(browser, page, **DESK)
    seen.page.emulate_media(media="print")
    style = seen.page.evaluate("getComputedStyle(document.querySelector('article')).breakInside")
    assert style == "avoid"


@pytest.mark.parametrize("kind", [PHONE, DESK])
def test_no_serious_finding_on_access(browser: Any, page: Path, kind: dict[str, Any]) -> None:
    """axe-core, an independent checker of the rules of WCAG."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    seen = show(browser, page, **kind)
    found = axe.run(seen.page).response["violations"]
    assert [f["id"] for f in found if f["impact"] in ("serious", "critical")] == []
