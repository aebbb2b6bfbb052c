"""How a computation says no: in words for people, and never with a number its source does not cover."""


class Refused(ValueError):  # noqa: N818 - an answer, not a fault of the program
    """A computation has no honest answer. what is wrong, why it matters, what to write or do instead."""

    def __init__(self, what: str, why: str, write: str) -> None:
        super().__init__(f"{what}: {why}. {write}.")
        self.what, self.why, self.write = what, why, write
