"""What is used before it is there, or at the wrong place: part of R44 and R52."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.pack.actions import Compare, Cover, MoveAside, Place, PressureTest, Remove, TakeOut
from webapp.pack.check import seconds

from ..job import Job, JobStep
from ..rule import Found, Spot


def unmade(job: Job) -> Iterator[Found]:
    """Yield each temporary item that may go in before the step that makes it.

    It is made where what a consumable is `for` it is used, if a step before the one that puts it in does so.
    """
    made: dict[str, list[JobStep]] = {}
    for step in job.steps:
        for used in step.data.consumables:
            for name in job.front.consumables[used].for_:
                made.setdefault(name, []).append(step)
    for step in job.steps:
        for at, action in enumerate(step.actions):
            if not isinstance(action, Place | Cover):
                continue
            name = action.place if isinstance(action, Place) else action.with_
            makers = [one for one in made.get(name, ()) if one.index <= step.index]
            if makers and not any(one is step or job.must_precede(one.id, step.id) for one in makers):
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"`needs` lets the {job.front.items[name].name} go in before “{makers[0].id}” has made "
                    "what goes in",
                    f"“{makers[0].id}” in the `needs` of “{step.id}”",
                    also=Spot(makers[0].id),
                )


def compared_too_soon(job: Job) -> Iterator[Found]:
    """Yield each compare that stands after the old part comes off, and that `needs` lets come before it."""
    for name, done in job.doing.items():
        off = [step for step, _, action in done if isinstance(action, Remove | MoveAside)]
        if name not in job.front.items or not off:
            continue
        for step, at, action in done:
            if not isinstance(action, Compare) or step.index <= off[0].index:
                continue
            before = [one for one in off if one.index < step.index]
            if not any(job.must_precede(one.id, step.id) for one in before):
                yield Found(
                    Spot(step.id, ("actions", at)),
                    f"`needs` lets the {job.front.items[name].name} be compared before “{before[0].id}” has "
                    "taken the old one off",
                    f"“{before[0].id}” in the `needs` of “{step.id}”, or of a step that it needs",
                    also=Spot(before[0].id),
                    severity="warning",
                )


def tested_elsewhere(job: Job) -> Iterator[Found]:
    """Yield each pressure test of one fluid while the tester sits in an opening of another."""
    items, relations = job.front.items, job.relations
    for step in job.steps:
        placed: dict[str, str] = {}
        for at, action in enumerate(step.actions):
            if isinstance(action, Place) and action.in_:
                placed[action.place] = action.in_
            elif isinstance(action, TakeOut):
                placed.pop(action.take_out, None)
            elif isinstance(action, PressureTest):
                fluids = {place: relations.fluids_of(items[place]) for place in placed.values()}
                named = {place: found for place, found in fluids.items() if found}
                if named and not any(action.pressure_test in found for found in named.values()):
                    place = next(iter(named))
                    other = job.front.fluids[min(named[place])].name
                    yield Found(
                        Spot(step.id, ("actions", at)),
                        f"{job.front.fluids[action.pressure_test].name} is put under pressure, and the "
                        f"tester sits in the {items[place].name}, which is for {other}",
                        f"“- pressure-test: {min(named[place])}”, or the tester in an opening of that "
                        "circuit",
                        also=Spot(None, ("items", place)),
                    )


def watched_too_briefly(job: Job) -> Iterator[Found]:
    """Yield each pressure test whose step has one clock to watch it by, which runs shorter than the test."""
    for step in job.steps:
        tests = [one for one in enumerate(step.actions) if isinstance(one[1], PressureTest)]
        clocks = [(name, wait) for name, wait in step.data.waits.items() if wait.attended and wait.least]
        if len(tests) != 1 or len(clocks) != 1:
            continue
        (at, test), (name, wait) = tests[0], clocks[0]
        if not isinstance(test, PressureTest) or wait.least is None or wait.kind != "settle":
            continue
        if seconds(wait.least) < seconds(test.for_):
            yield Found(
                Spot(step.id, ("waits", name)),
                f"the pressure is held for {test.for_.text}, and its clock “{wait.name}” runs "
                f"{wait.least.text}",
                f"“least: {test.for_.text}” in the wait, or another `for` in the test",
                also=Spot(step.id, ("actions", at)),
            )
