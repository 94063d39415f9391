"""Rules on settings that only make sense together, or together with the tables."""

import re
from collections.abc import Callable, Iterator

from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft
from routeplan.operation.toml_settings import LABEL


def money_can_be_counted(draft: Draft) -> Iterator[Finding]:
    """The least money needs to know what an hour costs."""
    settings = draft.settings
    if settings.objective == "money" and settings.costs.per_hour <= 0:
        message = "The plan is to cost the least money, but an hour of the crew costs nothing."
        cure = 'Set per_hour under [costs], or objective to "minutes".'
        yield Finding("error", LABEL, None, "costs.per_hour", "", message, cure)


def queens_stay_behind(draft: Draft) -> Iterator[Finding]:
    """Some way to be sure of the queen lets a frame leave."""
    excluders = draft.settings.excluder.allowed and any(
        row["item"] == "excluder" for row in draft["stock"].rows
    )
    if not (draft.settings.sure.look or draft.settings.sure.hunt or excluders):
        message = "Neither looking over frames nor finding the queen is allowed: no frame leaves a donor."
        cure = "Set look or hunt under [sure] to true."
        yield Finding("warning", LABEL, None, "sure.look", "", message, cure)


def combs_wait(draft: Draft) -> Iterator[Finding]:
    """Combs above an excluder can wait as long as they must."""
    wait = draft.settings.excluder
    if wait.allowed and wait.most_wait_min < wait.least_wait_min:
        message = "Combs above an excluder are to stay there longer than they may."
        cure = "Set most_wait_min under [excluder] to least_wait_min or more."
        yield Finding("error", LABEL, None, "excluder.most_wait_min", "", message, cure)


def grades_are_known(draft: Draft) -> Iterator[Finding]:
    """A word for the strength of a hive is one that the settings explain."""
    known = dict(draft.settings.grades)
    for row in draft.hives:
        word = row["grade"]
        if word and word not in known:
            message = f"The settings do not say what the grade “{word}” stands for."
            head = word if re.fullmatch(r"[\w-]+", word, re.ASCII) else f'"{word}"'
            words = f", or use one of: {', '.join(sorted(known))}" if known else ""
            cure = f"Add [grades.{head}] with bees, brood and food to settings.toml{words}."
            yield draft["hives"].finding("error", row, "grade", message, cure)


def grades_can_be(draft: Draft) -> Iterator[Finding]:
    """What a grade stands for agrees with itself: capped and open are no more than all brood."""
    for word, grade in draft.settings.grades:
        parts = (grade.capped or 0.0) + (grade.open or 0.0)
        if grade.brood is not None and parts > grade.brood + 1e-6:
            message = f"Capped and open make {parts:g}, more than all brood, {grade.brood:g}."
            cure = "Brood is capped and open together; correct one of them."
            yield Finding("error", LABEL, None, f"grades.{word}.brood", "", message, cure)


def workers_live_to_forage(draft: Draft) -> Iterator[Finding]:
    """House bees do not turn foragers later than they die."""
    assumed = draft.settings.forecast
    if assumed.recruit_per_day * assumed.life_days <= 1:
        message = "A worker would die before she flies out."
        cure = "Make forecast.life_days longer or forecast.recruit_per_day more."
        yield Finding("error", LABEL, None, "forecast.recruit_per_day", "", message, cure)


SETTING_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    money_can_be_counted,
    queens_stay_behind,
    combs_wait,
    grades_are_known,
    grades_can_be,
    workers_live_to_forage,
)
