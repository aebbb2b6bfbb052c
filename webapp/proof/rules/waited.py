"""R51, the part that the compiler does not check: a wait that is begun is waited for."""

from __future__ import annotations

from collections.abc import Iterator

from ..job import Job
from ..rule import Found, Spot

LABELLED = ("open-time", "tacky", "set", "full-cure")
"""Waits of a sealant: what may not come before their end is known, and judged under R31 to R34."""


def unwaited(job: Job) -> Iterator[Found]:
    """Yield each wait that no step is `after`, although nobody stays with it."""
    awaited = {name for step in job.steps for name in step.data.after}
    steps = (1 << len(job.steps)) - 1
    for name, (step, wait) in job.waits.items():
        later = job.behind[step.index] & steps
        if not wait.attended and wait.kind not in LABELLED and name not in awaited:
            yield Found(
                Spot(step.id, ("waits", name)),
                f"nothing waits for “{name}”: the step after “{step.id}” may be begun at once"
                if later
                else f"nothing waits for “{name}”: the job ends while it runs",
                f"“after: {name}” in the step that must come later, or “attended: true” if somebody stays",
                severity="warning",
            )
