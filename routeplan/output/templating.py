"""Fills a template of the page: every text is shown as it is, never taken as markup."""

from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

TEMPLATES = Path(__file__).parent / "templates"


def filled(template: str, **values: Any) -> str:
    """Return a template filled with values. Raises jinja2.UndefinedError for a value that is missing."""
    return _environment().get_template(template).render(**values)


@cache
def _environment() -> Environment:
    settings: dict[str, Any] = {"autoescape": True, "undefined": StrictUndefined, "trim_blocks": True}
    return Environment(loader=FileSystemLoader(TEMPLATES), lstrip_blocks=True, **settings)
