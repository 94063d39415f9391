"""What a reader of one cell says when the text is not a value of its kind."""


class UnreadableError(ValueError):
    """The text is not a value of its kind: what is wrong, and what to write instead."""

    def __init__(self, problem: str, cure: str) -> None:
        super().__init__(problem)
        self.problem = problem
        self.cure = cure
