"""What several commands print: findings, the summary of a plan, what is not in it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NoReturn

import click

from routeplan.cli.exits import FAILED_AUDIT, fail

if TYPE_CHECKING:
    from routeplan.audit import Violation
    from routeplan.operation.findings import Finding
    from routeplan.operation.world import Operation
    from routeplan.plan import Plan


def print_findings(findings: list[Finding]) -> None:
    for level in ("error", "warning"):
        for finding in findings:
            if finding.level == level:
                click.echo(f"{level}: {finding.sentence()}", err=True)


def print_summary(operation: Operation, made: Plan) -> None:
    from routeplan.output.said import lines

    for line in lines(operation, made):
        click.echo(line)


def print_unplaced(operation: Operation, made: Plan) -> None:
    from routeplan.output.said import beside

    click.echo("Not in the plan:", err=True)
    for row in made.unplaced:
        click.echo(f"  {row.count} of order {row.order}: {row.reason} ({row.rule})", err=True)
    for heading, lines in beside(operation, made):
        click.echo(f"{heading}:", err=True)
        for line in lines:
            click.echo(f"  {line}", err=True)


def not_written(violations: list[Violation]) -> NoReturn:
    for violation in violations:
        click.echo(f"{violation.rule}: {violation.what}", err=True)
    fail(
        "The plan breaks these rules, so nothing was written. "
        "This is a fault of routeplan: please report it.",
        FAILED_AUDIT,
    )
