"""Which rules are about life and limb."""

DANGER = frozenset({"R01", *(f"R{number:02}" for number in range(8, 21)), "R40"})
"""Rules whose errors are never waived: they can hurt someone."""
