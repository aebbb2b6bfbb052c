"""The proof as a pass of the compiler: a checked draft in, findings and the model of the machine out."""

from __future__ import annotations

from collections.abc import Iterable

from webapp.pack.accept import DANGER, may_waive
from webapp.pack.draft import Draft
from webapp.pack.findings import Finding, Place
from webapp.pack.model import END, Need
from webapp.pack.resolve import PHRASES

from .accepted import without_accepted
from .build import build
from .job import Job, JobStep
from .prose import check_prose
from .rule import Found, Rule, Spot
from .rules import RULES
from .walk import Breach, walk


def prove(draft: Draft) -> None:
    """Walk the pack through the model of the machine, and report what could hurt someone or ruin an engine.

    A pack that does not hang together yet is not walked: what it would say is not what its author means.
    """
    job = job_of(draft)
    if job is None or any(
        found.severity == "error" and not may_waive(found.code) for found in draft.findings
    ):
        return
    model = build(job, RULES.values())
    places = Places(draft, job)
    walked = walk(job, model)
    draft.model = without_accepted(model, walked.breaches, job.front.accept, job.steps[-1].id)
    draft.add(places.breach(breach) for breach in worst(job, walked.breaches))
    for rule in RULES.values():
        for judge in rule.judges:
            draft.add(places.found(rule, found) for found in judge(job))
    check_prose(draft, job.front)
    for variable in walked.too_many_answers:
        places.bound(
            "answers-too-many",
            variable.table,
            variable.object,
            f"{variable.name} hangs on too many questions",
        )
    for variable in walked.too_free:
        places.bound(
            "order-too-free",
            variable.table,
            variable.object,
            f"{variable.name} is moved by steps in too many orders",
        )


def job_of(draft: Draft) -> Job | None:
    """Return a draft as the proof sees it, or None when a part of it could not be read."""
    if draft.front is None or not draft.steps or not all(step.data and step.whole for step in draft.steps):
        return None
    steps: list[JobStep] = []
    outlines = {one.id: one for one in draft.outline.steps()} if draft.outline else {}
    for step in draft.steps:
        data = step.data
        if data is None:
            return None
        words = outlines[step.id].prose if step.id in outlines else ()
        parts = (part for block in words for part in block.children or ())
        shown = tuple(part.content for part in parts if part.type == "image")
        before = (steps[-1].id,) if steps else ()
        needs = tuple(data.needs) if data.needs is not None else before
        steps.append(JobStep(step.id, len(steps), data, needs, shown))
    return Job(draft.front, tuple(steps))


def worst(job: Job, breaches: Iterable[Breach]) -> list[Breach]:
    """Return one breach for each fault: of those that one action caused, the first; and a worse one after it.

    What is left in is left in at the cover, at the start and at the end: one finding is enough. An order that
    `needs` allows is told once for a thing, and only when the printed order does it no wrong as bad.
    """

    def place(breach: Breach) -> int:
        return len(job.steps) if breach.at.step == END else job.by_id[breach.at.step].index

    def weight(breach: Breach) -> int:
        rule = breach.at.rule
        return (2 if rule in DANGER else 1) if severity(breach) == "error" else 0

    kept: list[Breach] = []
    heaviest: dict[object, int] = {}
    wronged: dict[str, int] = {}
    for breach in sorted(breaches, key=lambda one: (not one.printed, place(one), one.at.at, one.at.rule)):
        if breach.printed:
            wronged[breach.variable.id] = max(weight(breach), wronged.get(breach.variable.id, 0))
        elif weight(breach) <= wronged.get(breach.variable.id, -1):
            continue
        since = breach.since if breach.printed else None
        cause = (breach.variable.id, breach.printed, since and (since.step, since.at))
        if weight(breach) > heaviest.get(cause, -1):
            heaviest[cause] = weight(breach)
            kept.append(breach)
    return kept


def severity(breach: Breach) -> str:
    """Return how bad a breach is. A move that cannot be made is an error."""
    return breach.at.severity if isinstance(breach.at, Need) else "error"


OPENED = {"heat": "engine", "earth": "earth", "raised": "wheels", "bay": "air"}
"""What the key under `opening` is called that says how a machine is at the start."""


class Places:
    """Finds where a finding's two places are written, and puts the words together."""

    def __init__(self, draft: Draft, job: Job) -> None:
        self.draft, self.job = draft, job
        self.steps = {step.id: step for step in draft.steps}

    def of(self, step: str, at: int) -> Place:
        """Return the place of an action, or of its step's heading."""
        found = self.steps[step or self.job.steps[-1].id]
        if step and 0 <= at < len(self.job.by_id[step].actions):
            return found.place("actions", at)
        return found.heading

    def declared(self, table: str, name: str) -> Place | None:
        """Return where a thing is declared."""
        return self.draft.front_key(table, name) if table else None

    def opened(self, machine: str) -> Place | None:
        """Return where the pack says how a thing that every machine has is at the start."""
        key = OPENED.get(machine)
        said = self.job.front.opening
        return self.draft.front_key("opening", key) if key and key in said.model_fields_set else None

    def spot(self, spot: Spot) -> Place:
        """Return a judge's place. A path into the front matter that ends in a key is the key's place."""
        if spot.step is None:
            return self.draft.front_key(*spot.path)
        step = self.steps[spot.step]
        return step.place(*spot.path) if spot.path else step.heading

    def action(self, step: str, at: int) -> str:
        """Return an action in the words of the phone."""
        if not step:
            return "the end of the job"
        actions = self.job.by_id[step].actions
        if not 0 <= at < len(actions):
            return step
        action = actions[at]
        _, thing = self.job.front.object_of(action)
        return PHRASES[action.verb()].format(
            thing.name if thing is not None else action.target().replace("-", " ")
        )

    def breach(self, breach: Breach) -> Finding:
        """Return a breach as a finding."""
        variable, at = breach.variable, breach.at
        since = breach.since
        words = {
            "name": variable.name,
            "object": variable.object,
            "state": variable.said(breach.state),
            "moment": self.action(at.step, at.at),
            "step": at.step or "the end",
            "since": since.step if since else "the start",
        }
        what = capital(at.what.format(**words))
        write = at.write.format(**words) or self.remedy(breach)
        if not breach.printed:
            what += ", in another order that `needs` allows"
            later = f" of “{at.step}”" if at.step else ", so that the last of them comes last"
            write += f"; or name the step that comes first in the `needs`{later}"
        place = self.of(at.step, at.at)
        also = self.of(since.step, since.at) if since else self.declared(variable.table, variable.object)
        if since is None and not variable.table:
            also = self.opened(variable.machine)
        if also == place:
            also = self.declared(variable.table, variable.object)
        return Finding(
            at.rule,
            "error" if severity(breach) == "error" else "warning",
            place,
            what,
            RULES[at.rule].why if at.rule in RULES else "",
            write,
            also=also,
            answers=tuple(f"{question} = {answer}" for question, answer in breach.answers),
            run=(*breach.run, *(("the end",) if isinstance(at, Need) and not at.step else ())),
        )

    def remedy(self, breach: Breach) -> str:
        """Return what to write when a move cannot be made."""
        since = breach.since
        if since:
            return f"between “{since.step}” and here what undoes the first; or leave one of the two out"
        return "before it the action that makes this one possible; or leave this one out"

    def found(self, rule: Rule, found: Found) -> Finding:
        """Return what a judge found as a finding."""
        also = self.spot(found.also) if found.also else None
        places = {one.step for one in (found.spot, found.also) if one}
        steps = sorted((self.job.by_id[one] for one in places if one), key=lambda step: step.index)
        run = tuple(step.id for step in steps) if len(steps) > 1 else ()
        return Finding(
            rule.code, found.severity, self.spot(found.spot), capital(found.what), rule.why, found.write,
            also=also, answers=found.answers, run=run,
        )  # fmt: skip

    def bound(self, code: str, table: str, name: str, what: str) -> None:
        """Warn that a bound of the walk was reached."""
        place = self.declared(table, name) or self.draft.steps[0].heading
        self.draft.report(
            code, place, what, "beyond the bound not everything is walked, so a fault could stay hidden",
            "fewer questions in the steps that move it, or `needs` that fix their order", severity="warning",
        )  # fmt: skip


def capital(text: str) -> str:
    """Return a sentence with a capital at its beginning."""
    return text[:1].upper() + text[1:]
