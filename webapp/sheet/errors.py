"""Why there is no sheet, in words for the person who asked for it."""


class SheetError(Exception):
    """No sheet can be made. what is wrong, why it matters, what to do."""

    def __init__(self, what: str, why: str, write: str) -> None:
        super().__init__(f"{what}: {why}. {write}.")
        self.what, self.why, self.write = what, why, write
