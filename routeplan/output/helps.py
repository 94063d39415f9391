"""What would help: changes that would place what is missing, and what one more of something would save."""

from routeplan.output import measures
from routeplan.output.day import Day
from routeplan.plan import Saving

STAYS = "stay put"
SAVES = "{what}: {time} less in all, today and after{proved}."
SAVES_NOTHING = "{what} saves nothing{proved}."
PROVED = ": proved"
FOUND = ", as far as was tried"


def changes(day: Day) -> tuple[str, ...]:
    """Return the single changes that would place one or more of the missing splits."""
    return tuple(c.sentence for c in day.plan.changes if c.more and c.what != STAYS)


def fallbacks(day: Day) -> tuple[str, ...]:
    """Return what is only stated: a distance, a split that could stay where it is."""
    return tuple(c.sentence for c in day.plan.changes if not c.more or c.what == STAYS)


def savings(day: Day) -> tuple[str, ...]:
    """Say what one more of something would save."""
    return tuple(_saving(s) for s in day.plan.savings)


def _saving(saving: Saving) -> str:
    what = saving.what[:1].upper() + saving.what[1:]
    text = SAVES if saving.saves_s else SAVES_NOTHING
    return text.format(
        what=what, time=measures.span(saving.saves_s), proved=PROVED if saving.proved else FOUND
    )
