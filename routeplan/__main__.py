"""Lets `python -m routeplan` do what `routeplan` does."""

from routeplan.cli import main

main()
