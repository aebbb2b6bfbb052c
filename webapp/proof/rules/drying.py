"""R30, the part that asks for time: solvent that is wet under a bead keeps it from the face."""

from __future__ import annotations

import re
from collections.abc import Iterator

from webapp.pack import schema
from webapp.pack.actions import Apply, Clean
from webapp.pack.check import seconds

from ..job import Job, JobStep
from ..rule import Found, Spot

SOLVENT = re.compile(
    r"solvent|cleaner|degreas|alcohol|acetone|spirits?\b|thinner|petrol|gasoline|benzine", re.IGNORECASE
)
"""What is wet on a face and goes away by itself, by its name."""
DULL = re.compile(r"\b(dry|dried|dries)\b", re.IGNORECASE)
FACE = re.compile(r"\b(faces?|flanges?|joints?|solvents?)\b", re.IGNORECASE)
GONE = 10.0
"""Minutes of other work in which solvent is gone from a face. Common practice, no source."""


def wet_faces(job: Job) -> Iterator[Found]:
    """Yield each bead that goes on a face while the solvent that cleaned it may still be wet."""
    for step in job.steps:
        for at, action in enumerate(step.actions):
            used = job.front.consumables.get(action.with_ or "") if isinstance(action, Clean) else None
            if used is None or not SOLVENT.search(used.name):
                continue
            name = action.target()
            joints = [name, *job.relations.joints_of(name)]
            sealed = next(iter(sorted(sealings(job, joints, (step.index, at)))), None)
            if sealed is None:
                continue
            seal = job.steps[sealed[0]]
            if not dries(job, step, seal):
                yield Found(
                    Spot(seal.id, ("actions", sealed[1])),
                    f"the {job.front.items[name].name} is cleaned with {used.name}, and nothing waits until "
                    "it is dry",
                    f"a wait of kind `dry` in “{step.id}”, and `after:` that wait here; or a "
                    "reading that expects the faces dry",
                    also=Spot(step.id, ("actions", at)),
                    severity="warning",
                )


def sealings(job: Job, joints: list[str], place: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """Yield where a bead is laid on one of these joints after a place, in the printed order.

    A gasket is laid dry: what dries in the time that it takes to fetch it does it no harm.
    """
    for joint in joints:
        for step, at, action in job.doing.get(joint, ()):
            if isinstance(action, Apply) and action.to == joint and (step.index, at) > place:
                yield step.index, at


def dries(job: Job, cleaned: JobStep, sealed: JobStep) -> bool:
    """Return whether there is time, or a look, between a cleaning and what goes on the face."""
    between = [
        one
        for one in job.steps[cleaned.index + 1 : sealed.index]
        if job.must_precede(cleaned.id, one.id) and job.must_precede(one.id, sealed.id)
    ]
    if any(is_seen(one) for step in (cleaned, *between, sealed) for one in step.data.readings.values()):
        return True
    if cleaned is sealed:
        return False
    begun = {name: wait for step in (cleaned, *between) for name, wait in step.data.waits.items()}
    if any(
        wait.attended or name in one.data.after for one in (*between, sealed) for name, wait in begun.items()
    ):
        return True
    return sum(seconds(one.data.hands_on) / 60 for one in between) >= GONE


def is_seen(reading: schema.Reading) -> bool:
    """Return whether a reading looks at a face and expects it dry."""
    return bool(DULL.search(reading.expect or "") and FACE.search(f"{reading.ask} {reading.expect}"))
