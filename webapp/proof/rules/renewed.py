"""R28, the part that counts: as many new ones as there are."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Fit

from ..job import Job
from ..rule import Found, Spot


def too_few_new(job: Job) -> Iterator[Found]:
    """Yield each seal or part with one life of which fewer are renewed than there are.

    What hangs on the answers is added up, so that too few are told only when no vehicle gets enough.
    """
    for name, item in job.front.items.items():
        if item.count < 2 or not (item.one_use or item.renew):
            continue
        fits = [(step, at, one) for step, at, one in job.doing.get(name, ()) if isinstance(one, Fit)]
        new = sum(one.count or item.count for _, _, one in fits)
        if 0 < new < item.count:
            step, at, _ = fits[-1]
            yield Found(
                Spot(step.id, ("actions", at)),
                f"{new} of {item.count} of {item.name} are renewed",
                f"a `fit` for each of them; or “count: {new}” under `{name}`, if there are no more",
                also=Spot(None, ("items", name, "count")),
                severity="warning",
            )
