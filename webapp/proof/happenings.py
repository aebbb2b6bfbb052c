"""All that happens in a job, in its printed order: what `verbs` says of each step and each action."""

from __future__ import annotations

from webapp.pack.model import BEGIN, END, FINISH

from .job import Job
from .verbs import does
from .verbs.known import gather
from .verbs.said import Happening, Moment
from .verbs.waits import begins, finishes, waited


def happenings(job: Job) -> list[Happening]:
    """Return all changes and moments of a job in the printed order, and its end."""
    known = gather(job)
    found: list[Happening] = []
    for step in job.steps:
        found += (Happening(step.id, BEGIN, what) for what in begins(known, step))
        for at, action in enumerate(step.actions):
            found += (Happening(step.id, at, what) for what in does(known, step, action))
        found += (Happening(step.id, FINISH - 1, what) for what in waited(known, step))
        found += (Happening(step.id, FINISH, what) for what in finishes(known, step))
    found.append(Happening(END, FINISH, Moment("end")))
    return found
