"""Small packs for tests, written as an author would write them. Vehicle and figures are invented.

They show what the language says and are no whole jobs, so they are compiled without the proof.
"""

from webapp.compile import LANGUAGE, Result, compile_bytes
from webapp.pack import accept
from webapp.pack.compiled import CompiledPack, Step

UNPROVED = (*LANGUAGE, accept.apply_accepts)

HEAD = """\
---
format: 1
title: Renew the gasket of the side cover
vehicle: Marrowby Linnet 10 carrier, invented
invented: true
summary: The side cover weeps. Take it off, fit a new gasket and tighten it.
for: A hands-on repairer with a torque wrench.
not-for: Any real vehicle.
units: si
sources:
  sheet: {kind: invented, title: Figures made up for this pack}
"""


def pack(tables: str = "", *steps: str) -> str:
    """Return a pack of one phase. tables: YAML for the front matter; steps: as `step` writes them."""
    return f"{HEAD}{tables}---\n\n# Side cover\n" + "".join(steps)


def step(title: str, data: str = "", prose: str = "") -> str:
    """Return a step. data: YAML beside its hands-on time, which is 5 min where none is written."""
    time = "" if "hands-on:" in data else "hands-on: 5 min\n"
    return f"\n## {title}\n\n```step\n{time}{data}```\n\n{prose}\n"


def result(text: str, **pictures: bytes) -> Result:
    """Return what the compiler says of a pack's text. pictures: name without .svg → drawing."""
    files = {f"{name}.svg": content for name, content in pictures.items()}
    return compile_bytes(text.encode(), "pack.md", files, "side-cover", UNPROVED)


def compiled(text: str, **pictures: bytes) -> CompiledPack:
    """Return the compiled pack of a text that must have no finding at all."""
    found = result(text, **pictures)
    assert [finding.text() for finding in found.findings] == []
    assert found.pack is not None
    return found.pack


def codes(text: str, **pictures: bytes) -> list[str]:
    """Return the codes of the findings of a text, in their order."""
    return [finding.code for finding in result(text, **pictures).findings]


def only_step(tables: str = "", data: str = "", prose: str = "") -> Step:
    """Return the step of a right pack that has one."""
    (one,) = compiled(pack(tables, step("Do it", data, prose))).steps
    return one


DRAWING = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 40"><path d="M5 5h50"/></svg>'
