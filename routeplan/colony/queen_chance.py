"""How many of the splits made will have a laying queen: the chance of each, by its way to a queen."""

from collections.abc import Iterable

from routeplan.operation.settings import Queens


def chance(way: str, queens: Queens) -> float:
    """Return the chance (0 to 1) that a split of this way to a queen ends up with a laying one.

    Raises KeyError for a word that is not one of QUEEN_WAYS.
    """
    return {
        "raise own": queens.lays_raise_own,
        "ripe cell": queens.lays_ripe_cell,
        "mated": queens.lays_mated,
        "parent's": queens.lays_parents,
        "own cells": queens.lays_own_cells,
    }[way]


def expected(ways: Iterable[str], queens: Queens) -> float:
    """Return how many of these splits are expected to have a laying queen without further help."""
    return sum(chance(way, queens) for way in ways)
