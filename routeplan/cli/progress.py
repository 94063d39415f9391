"""What is seen while a plan is made, and how Ctrl-C ends it."""

import signal
import sys
import time

import click


class Stop:
    """Turns the first Ctrl-C into "finish with what there is"; a second one ends the program."""

    def __init__(self) -> None:
        self.asked = False
        signal.signal(signal.SIGINT, self._interrupt)

    def _interrupt(self, number: int, frame: object) -> None:
        if self.asked:
            raise KeyboardInterrupt
        self.asked = True
        click.echo("\nstopping with the best plan so far ...", err=True)

    def __call__(self) -> bool:
        return self.asked


class Progress:
    """Progress of planning: one line rewritten on a terminal, plain lines now and then elsewhere."""

    def __init__(self) -> None:
        self.began = time.monotonic()
        self.live = sys.stderr.isatty()
        self.next = 1.0
        self.best: int | None = None

    def __call__(self, stage: str, best: int | None, bound: int | None) -> None:
        self.best = best if best is not None else self.best
        spent = time.monotonic() - self.began
        if spent < self.next:
            return
        self.next = spent + (0.2 if self.live else 5.0)
        words = f"{spent:4.0f} s  {stage}"
        if best is not None:
            words += f", best {best / 60:.0f} min"
        if best is not None and bound is not None:
            words += f", within {max(0.0, (best - bound) / best):.1%} of the best possible"
        click.echo(f"\r{words:<78}" if self.live else words, err=True, nl=not self.live)
