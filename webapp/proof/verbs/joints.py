"""What every verb at an item may do to a joint: part it, close it, move it, lie over what is behind it."""

from __future__ import annotations

from collections.abc import Iterator

from .known import Known
from .said import Change, Moment


def closes(known: Known, name: str) -> Iterator[Change]:
    """Yield that a part which is put on closes its own bead; its joint is asked for, not closed by it."""
    yield Change(f"bead:{name}", "join")
    for joint in known.relations.joints_of(name):
        if joint not in known.done.joined and known.relations.parts_of(joint) == [name]:
            yield Change(f"bead:{joint}", "put-on")
            yield Change(f"joint:{joint}", "put-on")


def parts(known: Known, name: str) -> Iterator[Change]:
    """Yield that a joint is parted by the part that comes off, or stripped of its seal."""
    for joint in known.relations.joints_of(name):
        sealing = name == known.front.items[joint].sealed_by
        yield Change(f"joint:{joint}", "strip" if sealing else "part")
        if not sealing:
            yield Change(f"bead:{joint}", "part")
    yield Change(f"bead:{name}", "part")


def disturbs(name: str) -> Moment:
    """Return the moment at which a joint is moved, by the item or the group that is moved."""
    return Moment("disturbs", frozenset({f"items:{name}", f"fasteners:{name}"}))


def hides(known: Known, name: str) -> Moment:
    """Return the moment at which what lies behind an item cannot be reached any more."""
    return Moment("hides", frozenset({f"items:{name}", *hidden(known, name)}))


def buries(known: Known, name: str, *own: str) -> Moment:
    """Return the moment at which an item comes to lie over what it hides. own: what else it concerns."""
    return Moment("buries", frozenset({*own, *hidden(known, name)}))


def hidden(known: Known, name: str) -> Iterator[str]:
    """Yield what an item hides, each as table:id."""
    for one in known.front.items[name].hides:
        yield f"{'items' if one in known.front.items else 'fasteners'}:{one}"
