"""All that is told of how the colonies of a plan fare, worked out once for terminal, page and workbook."""

from dataclasses import dataclass

from routeplan.colony.outlook import Outlook
from routeplan.operation.world import Operation
from routeplan.output.colonies import colonies, look_ahead
from routeplan.output.day import Day, day_of
from routeplan.output.fares import Fare, fares_of
from routeplan.output.feeding import Feeding, feedings
from routeplan.output.moves import moves
from routeplan.plan import Plan


@dataclass(frozen=True)
class Told:
    """The day, how each colony fares, their courses in the same order, what is fed, what moves the trough."""

    day: Day
    fares: tuple[Fare, ...]
    ahead: Outlook
    fed: tuple[Feeding, ...]
    moves: tuple[str, ...]


def told(operation: Operation, plan: Plan) -> Told:
    """Work out how every split and every hive that gave fares after a plan."""
    day = day_of(operation, plan)
    named = colonies(day)
    ahead = look_ahead(day, named)
    return Told(day, fares_of(day, named, ahead), ahead, feedings(day), moves(day, named))
