"""Mutants of a pack: its text with one slip of an author in it, and nothing else changed.

The YAML of the front matter and of each step is read as nodes with places, and the text is cut at those
places. So a mutant is compiled as its author would have written it: comments, prose and layout stay.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

import yaml

LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
STEP = re.compile(r"^## [^\n]*\{#(?P<id>[\w-]+)\}[ \t]*$|^```step\n(?P<block>.*?)^```", re.M | re.S)
FRONT = re.compile(r"\A---\n(.*?)^---$", re.M | re.S)

FRONT_ID = "front matter"
"""What stands for the step of a mutant in the front matter."""

OPPOSITE = {
    "disconnect": "connect", "connect": "disconnect", "remove": "refit", "refit": "remove", "fit": "remove",
    "open": "shut", "shut": "open", "undo": "loosen", "loosen": "undo", "start": "stop", "stop": "start",
    "isolate": "restore", "restore": "isolate", "support": "release", "release": "support",
    "chock": "unchock", "unchock": "chock", "place": "take-out", "take-out": "place", "bleed": "relieve",
    "relieve": "bleed", "move-aside": "remove", "start-by-hand": "tighten",
}  # fmt: skip
"""The verb that an author may write by a slip, for the same object and the same other keys."""

AGAIN = {
    "key", "relieve", "rinse", "clean", "compare", "mark", "ventilate", "pressure-test", "tighten", "tension",
    "chock", "bleed", "clear-chips", "hand-over", "drain", "fill", "loosen", "drill", "tap",
}  # fmt: skip
"""Verbs that do no harm when they are written twice running: what they do is done."""

CLOCKS = ("open-time", "tacky-after", "to-torque", "to-fluid")
UNITS = {"lbf·ft": "lbf·in", "lbf·in": "lbf·ft", "N·m": "lbf·ft"}
NUMBER = re.compile(r"\d+(?:\.\d+)?")


class Mutant(NamedTuple):
    """One slip. step: the step's id, or FRONT_ID. what: the slip in words, once for each step and pack."""

    kind: str
    step: str
    what: str
    text: str


class Slip(NamedTuple):
    """A slip before its words are made unique: the blocks that are new, by number."""

    kind: str
    step: str
    what: str
    blocks: dict[int, str]


@dataclass
class Block:
    """One block of YAML. start and end: its place in the whole text."""

    step: str
    text: str
    start: int
    end: int

    @cached_property
    def node(self) -> Any:
        """Return the block's mapping as a node."""
        return yaml.compose(self.text, Loader=LOADER)

    @cached_property
    def data(self) -> Any:
        """Return the block's values, all as text."""
        return plain(self.node)

    def at(self, *path: str | int) -> Any:
        """Return the node at a path, or None."""
        node = self.node
        for part in path:
            if isinstance(node, yaml.MappingNode):
                node = next((value for key, value in node.value if key.value == part), None)
            elif isinstance(node, yaml.SequenceNode) and isinstance(part, int) and part < len(node.value):
                node = node.value[part]
            else:
                return None
        return node

    def replaced(self, node: Any, text: str) -> str:
        """Return the block with the text of a value replaced."""
        return self.text[: node.start_mark.index] + text + self.text[node.end_mark.index :]

    def written(self, node: Any) -> str:
        """Return a value as it is written."""
        return self.text[node.start_mark.index : node.end_mark.index].strip()

    def dropped(self, *path: str | int) -> str:
        """Return the block without an entry. A collection that it empties goes too; `needs` stays empty."""
        *above, last = path
        parent = self.at(*above)
        entries = parent.value
        if len(entries) == 1 and above:
            return self.replaced(parent, "[]") if above == ["needs"] else self.dropped(*above)
        if isinstance(parent, yaml.MappingNode):
            number = next(n for n, (key, _) in enumerate(entries) if key.value == last)
            spans = [(key.start_mark.index, finish(value)) for key, value in entries]
        else:
            number = int(last)
            spans = [(entry.start_mark.index, finish(entry)) for entry in entries]
        start, end = spans[number]
        if parent.flow_style:
            if number + 1 < len(spans):
                end = spans[number + 1][0]
            elif number:
                start = spans[number - 1][1]
        else:
            start = self.text.rfind("\n", 0, start) + 1
            if not self.text[:end].endswith("\n"):
                end = (self.text.find("\n", end) + 1) or len(self.text)
        return self.text[:start] + self.text[end:]

    def repeated(self, number: int) -> str:
        """Return the block with one of its actions written twice."""
        node = self.at("actions", number)
        start = self.text.rfind("\n", 0, node.start_mark.index) + 1
        end = (self.text.find("\n", finish(node)) + 1) or len(self.text)
        return self.text[:end] + self.text[start:end] + self.text[end:]


def finish(node: Any) -> int:
    """Return where a node's text ends: a block collection's mark lies at what comes after it."""
    if isinstance(node, yaml.ScalarNode) or node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return finish(last[1] if isinstance(node, yaml.MappingNode) else last)


def plain(node: Any) -> Any:
    """Return a node as mappings, lists and text."""
    if isinstance(node, yaml.MappingNode):
        return {key.value: plain(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [plain(one) for one in node.value]
    return node.value


def listed(value: Any) -> list[str]:
    """Return what may be written as one or as many, as many."""
    return [] if value is None else value if isinstance(value, list) else [value]


@dataclass
class Pack:
    """The text of a pack, cut into its blocks. The first is the front matter."""

    text: str
    blocks: list[Block] = field(init=False)
    equal: int = 0  # slips in `needs` that leave every allowed order as it is

    def __post_init__(self) -> None:
        """Find the blocks."""
        head = FRONT.match(self.text)
        if head is None:
            raise ValueError("no front matter")
        self.blocks = [Block(FRONT_ID, head[1], head.start(1), head.end(1))]
        step = ""
        for found in STEP.finditer(self.text, head.end()):
            if found["id"]:
                step = found["id"]
            else:
                self.blocks.append(Block(step, found["block"], found.start("block"), found.end("block")))

    @cached_property
    def front(self) -> dict[str, Any]:
        """Return the front matter's values."""
        found: dict[str, Any] = self.blocks[0].data
        return found

    def whole(self, blocks: dict[int, str]) -> str:
        """Return the pack's text with some blocks replaced."""
        text = self.text
        for number in sorted(blocks, reverse=True):
            block = self.blocks[number]
            text = text[: block.start] + blocks[number] + text[block.end :]
        return text

    def mutants(self) -> Iterator[Mutant]:
        """Yield every mutant; slips of one step that read alike are numbered."""
        seen: dict[tuple[str, str], int] = defaultdict(int)
        for slip in self.slips():
            seen[slip.step, slip.what] += 1
            times = seen[slip.step, slip.what]
            what = f"{slip.what} #{times}" if times > 1 else slip.what
            yield Mutant(slip.kind, slip.step, what, self.whole(slip.blocks))

    def slips(self) -> Iterator[Slip]:
        """Yield every slip."""
        yield from self.front_slips()
        for number, block in enumerate(self.blocks):
            if number:
                yield from self.action_slips(number, block)
                yield from self.wait_slips(number, block)
                yield from self.reading_slips(number, block)
                yield from self.order_slips(number, block)

    # --- the front matter

    def front_slips(self) -> Iterator[Slip]:
        """Yield slips in counts, figures, passes, label times, and temporary items that were forgotten."""
        block = self.blocks[0]

        def slip(kind: str, what: str, text: str) -> Slip:
            return Slip(kind, FRONT_ID, what, {0: text})

        for table in ("items", "fasteners", "parts"):
            for name, entry in self.front.get(table, {}).items():
                paths: list[tuple[str | int, ...]] = [(table, name, "count")] if "count" in entry else []
                paths += [
                    (table, name, "lengths", at, "count") for at in range(len(entry.get("lengths", [])))
                ]
                for path in paths:
                    node = block.at(*path)
                    for wrong in off_by_one(node.value):
                        where = ".".join(map(str, path))
                        yield slip("count", f"{where}: {node.value} → {wrong}", block.replaced(node, wrong))
        for name, group in self.front.get("fasteners", {}).items():
            node = block.at("fasteners", name, "torque")
            if node is not None:
                what = f"fasteners.{name}.torque"
                yield slip("torque", f"delete {what}", block.dropped("fasteners", name, "torque"))
                for said, wrong in wrong_torques(block.written(node)):
                    yield slip("torque", f"{what}: {said}", block.replaced(node, wrong))
            for key in ("passes", "order"):
                if key in group:
                    what = f"fasteners.{name}.{key}"
                    yield slip("passes", f"delete {what}", block.dropped("fasteners", name, key))
                    for at, _ in enumerate(group[key] if key == "passes" else group[key][:1]):
                        text = block.dropped("fasteners", name, key, at)
                        yield slip("passes", f"delete entry {at + 1} of {what}", text)
        for name, sealant in self.front.get("sealants", {}).items():
            for key in CLOCKS:
                if key in sealant:
                    what = f"sealants.{name}.{key}"
                    yield slip("label time", f"delete {what}", block.dropped("sealants", name, key))
                    node = block.at("sealants", name, key)
                    text = block.replaced(node, tenth(block.written(node)))
                    yield slip("label time", f"{what}: a tenth of it", text)
        for name, item in self.front.get("items", {}).items():
            if item.get("kind") == "temporary":
                yield Slip("temporary", FRONT_ID, f"forget {name} altogether", self.without_temporary(name))

    def without_temporary(self, name: str) -> dict[int, str]:
        """Return the blocks that are new when a temporary item is never used and not declared."""
        found = {0: self.blocks[0].dropped("items", name)}
        covered: set[str] = set()
        for number, block in enumerate(self.blocks):
            gone = []
            for at, action in enumerate(block.data.get("actions", []) if number else []):
                if action.get("with") == name and "cover" in action:
                    covered.add(action["cover"])
                elif not (name in (action.get("place"), action.get("take-out"))
                          or action.get("uncover") in covered):  # fmt: skip
                    continue
                gone.append(at)
            left = block
            for at in reversed(gone):
                left = Block(left.step, left.dropped("actions", at), 0, 0)
            if gone:
                found[number] = left.text
        return found

    # --- the steps

    def action_slips(self, number: int, block: Block) -> Iterator[Slip]:
        """Yield slips in the actions of a step."""
        for at, action in enumerate(block.data.get("actions", [])):
            node = block.at("actions", at)
            verb, target = next(iter(action.items()))
            said = f"{verb}: {target}"

            def slip(kind: str, what: str, text: str) -> Slip:
                return Slip(kind, block.step, what, {number: text})

            yield slip("action deleted", f"delete “{said}”", block.dropped("actions", at))
            if verb not in AGAIN:
                yield slip("action twice", f"“{said}” twice", block.repeated(at))
            key, value = node.value[0]
            if verb in OPPOSITE:
                text = block.replaced(key, OPPOSITE[verb])
                yield slip("action altered", f"“{said}” → {OPPOSITE[verb]}", text)
            other = self.other(target)
            if other:
                yield slip("action altered", f"“{said}” → {other}", block.replaced(value, other))
            if verb == "tighten":
                yield from self.less_tight(slip, block, at, action)
            if "count" in action:
                count = block.at("actions", at, "count")
                for wrong in off_by_one(count.value):
                    what = f"“{said}” count: {count.value} → {wrong}"
                    yield slip("count", what, block.replaced(count, wrong))
            if "with" in action and verb == "cover":
                cover = block.at("actions", at, "with")
                other = self.other(cover.value)
                if other:
                    yield slip("action altered", f"“{said}” with {other}", block.replaced(cover, other))

    def less_tight(self, slip: Any, block: Block, at: int, action: dict[str, str]) -> Iterator[Slip]:
        """Yield tightenings that go less far, or that say less."""
        said = f"tighten: {action['tighten']}"
        for key in ("to", "pass"):
            if key in action:
                yield slip("action altered", f"“{said}” without {key}", block.dropped("actions", at, key))
        if "pass" in action:
            return
        if "to" not in action:
            node = block.at("actions", at)
            value = node.value[0][1]
            between = ", " if node.flow_style else "\n" + " " * node.start_mark.column
            text = block.replaced(value, f"{value.value}{between}to: finger-tight")
            yield slip("action altered", f"“{said}” only finger-tight", text)

    def other(self, name: str) -> str | None:
        """Return the next declared thing of the same kind, which a name could be mixed up with."""
        for table in ("items", "fasteners", "fluids", "sealants", "energy", "cuts"):
            entries = self.front.get(table, {})
            if name in entries:
                kind = entries[name].get("kind")
                alike = [one for one, entry in entries.items() if entry.get("kind") == kind]
                following = alike[(alike.index(name) + 1) % len(alike)]
                return following if following != name else None
        return None

    def wait_slips(self, number: int, block: Block) -> Iterator[Slip]:
        """Yield waits that are forgotten, shortened, or that nobody watches."""
        for name, wait in block.data.get("waits", {}).items():

            def slip(what: str, text: str) -> Slip:
                return Slip("wait says less", block.step, what, {number: text})

            deleted = {number: block.dropped("waits", name)}
            for later, other in enumerate(self.blocks):
                if later > number and name in (after := listed(other.data.get("after"))):
                    path = (
                        ("after", after.index(name)) if isinstance(other.data["after"], list) else ("after",)
                    )
                    deleted[later] = other.dropped(*path)
            yield Slip("wait deleted", block.step, f"delete wait {name}, and every `after` of it", deleted)
            if "least" in wait:
                node = block.at("waits", name, "least")
                text = block.replaced(node, tenth(block.written(node)))
                yield slip(f"wait {name}: a tenth of least", text)
            for key in ("least", "until", "attended"):
                if key in wait:
                    yield slip(f"wait {name} without {key}", block.dropped("waits", name, key))

    def reading_slips(self, number: int, block: Block) -> Iterator[Slip]:
        """Yield readings that are forgotten: those that prove something, and gates."""
        used = {
            reading.get("before")
            for other in self.blocks[1:]
            for reading in other.data.get("readings", {}).values()
        }
        for name, reading in block.data.get("readings", {}).items():
            gate = "if-outside" in reading and ("range" in reading or "expect" in reading)
            if ("proves" not in reading and not gate) or name in used:
                continue
            kind = "reading that proves" if "proves" in reading else "gate"
            text = block.dropped("readings", name)
            yield Slip(kind, block.step, f"delete reading {name}", {number: text})

    def order_slips(self, number: int, block: Block) -> Iterator[Slip]:
        """Yield dropped `needs` and `after` that let a step come earlier than it could."""
        before = self.before({})
        for key in ("needs", "after"):
            names = listed(block.data.get(key))
            for at, name in enumerate(names):
                if isinstance(block.data[key], list):
                    text = block.dropped(key, at)
                elif key == "needs":
                    text = block.replaced(block.at("needs"), "[]")
                else:
                    text = block.dropped("after")
                if key == "needs" and self.before({number: [one for one in names if one != name]}) == before:
                    self.equal += 1
                    continue
                yield Slip(key, block.step, f"drop {key} {name}", {number: text})

    def before(self, needs: dict[int, list[str]]) -> list[int]:
        """Return for each step those that must come before it, as bits, with some `needs` replaced."""
        places = {block.step: number for number, block in enumerate(self.blocks)}
        begun = {
            wait: number for number, block in enumerate(self.blocks) for wait in block.data.get("waits", {})
        }
        found = [0]
        for number, block in enumerate(self.blocks[1:], 1):
            names = needs.get(number)
            if names is None:
                names = (
                    listed(block.data["needs"]) if "needs" in block.data else [self.blocks[number - 1].step]
                )
            first = [places[name] for name in names if name in places]
            first += [begun[wait] for wait in listed(block.data.get("after")) if wait in begun]
            mask = 0
            for place in first:
                if 0 < place < number:
                    mask |= found[place] | 1 << place
            found.append(mask)
        return found


def off_by_one(count: str) -> list[str]:
    """Return a count too many by one, and too few by one when that leaves any."""
    number = int(count)
    return [str(number + 1), *([str(number - 1)] if number > 1 else [])]


def tenth(amount: str) -> str:
    """Return an amount with each of its numbers divided by ten."""
    return NUMBER.sub(lambda found: f"{float(found[0]) / 10:g}", amount)


def wrong_torques(torque: str) -> Iterator[tuple[str, str]]:
    """Yield slips in a torque: its decimal point, its unit. What stands in brackets is left out."""
    alone = torque.split(" (")[0]
    yield "ten times as much", NUMBER.sub(lambda found: f"{float(found[0]) * 10:g}", alone)
    yield "a tenth of it", tenth(alone)
    for unit, wrong in UNITS.items():
        if unit in alone:
            yield f"{wrong} for {unit}", alone.replace(unit, wrong)
