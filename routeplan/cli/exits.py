"""How the program ends: exit codes, and one line that says why."""

import sys
from typing import NoReturn

import click

DATA_FAULT, USAGE, NOT_ALL, NO_PLAN, FAILED_AUDIT = 1, 2, 3, 4, 5
"""Faults in the data; wrong usage, or a file that cannot be read or written; a plan without all that was
asked for; no plan; a plan that breaks a rule."""


def fail(words: str, code: int) -> NoReturn:
    click.echo(words, err=True)
    sys.exit(code)
