"""The openings that stay bare after the step that opens them, and the steps that work past them."""

from __future__ import annotations

from webapp.pack.actions import Clean, Cover, Open, Place, Shut, Uncover

from ..job import Job, JobStep
from ..relations import Relations
from .said import HAND_WORK

AT_AN_OPENING = frozenset({Open, Cover, Uncover, Shut, Place})


class Ports:
    """The openings that are left bare at the end of the step that opens them, and who works past them."""

    def __init__(self, job: Job, relations: Relations) -> None:
        self.touched: dict[str, set[str]] = {}  # step → the openings that it opens, covers or shuts
        left: set[str] = set()
        for step in job.steps:
            bare: set[str] = set()
            touched = self.touched.setdefault(step.id, set())
            for action in step.actions:
                if type(action) not in AT_AN_OPENING:
                    continue
                name = (action.in_ or "") if isinstance(action, Place) else action.target()
                touched.add(name)
                bare.discard(name)
                if isinstance(action, Open):
                    bare.add(name)
            left |= bare
        items = relations.front.items
        ports = sorted(one for one in left if items[one].way in (None, "port"))
        self.own = {port: self.near(port, relations) for port in ports}

    def near(self, port: str, relations: Relations) -> set[str]:
        """Return what is handled to close a port: what covers it, its seals, and what holds them."""
        items = relations.front.items
        parts = {port, *relations.hiders.get(port, ())}
        seals = {seal for part in parts if (seal := items[part].sealed_by)}
        parts |= {one for seal in seals for one in relations.sealed.get(seal, ())} | seals
        groups = {group for part in parts for group in relations.holding.get(part, ())}
        return parts | seals | groups | set(relations.plugs.get(port, ()))

    def passed(self, step: JobStep) -> frozenset[str]:
        """Return the ports beside which a step does other work. Cleaning is other work at any port."""
        if not self.own:
            return frozenset()
        work = {one.target() for one in step.actions if type(one) in HAND_WORK}
        cleaned = {one.target() for one in step.actions if isinstance(one, Clean)}
        return frozenset(
            f"items:{port}"
            for port, own in self.own.items()
            if port not in self.touched[step.id] and (work - own or cleaned)
        )
