"""Which declared things belong together: what is behind an opening, held by a group, sealed by a bead."""

from __future__ import annotations

import re
from functools import cached_property

from webapp.pack import schema

CIRCUIT_OF = {
    "coolant": "cooling",
    "fuel": "fuel",
    "oil": "oil",
    "brake-fluid": "brake",
    "refrigerant": "refrigerant",
}
"""What a connection carries, by the circuit it is part of."""

GAS = re.compile(
    r"\b(LPG|CNG|LNG|propane|butane|autogas|hydrogen|(natural|petroleum|bottled) gas)\b", re.IGNORECASE
)
"""Fuels that only a licensed person opens, by their names."""

FILLER = re.compile(r"\b(filler|cap|neck|reservoir|expansion tank|dipstick)\b", re.IGNORECASE)
DRAIN = re.compile(r"\bdrain", re.IGNORECASE)
"""What openings are called, for packs that say no `way`; a filler by name is only ever let pass."""

HEAVY = 23.0
"""kg that one person lifts alone at most. Source: US Army TM 5-2420-222-34."""


def is_filler(item: schema.Item) -> bool:
    """Return whether an item is a filler or a bleed, by its `way` or else by its name."""
    if item.way:
        return item.way in ("filler", "bleed")
    return bool(FILLER.search(item.name)) and not DRAIN.search(item.name)


def is_belt(item: schema.Item) -> bool:
    """Return whether a drive is a belt, with ribs or teeth that must be seen in their grooves: no chain."""
    return item.kind == "drive" and "chain" not in item.name.lower()


class Relations:
    """Looks declarations up by what they have to do with each other."""

    def __init__(self, front: schema.FrontMatter) -> None:
        self.front = front

    def fluids_of(self, item: schema.Item) -> set[str]:
        """Return the fluids that an item has behind it or carries."""
        found = {item.fluid} if item.fluid else set()
        circuit = CIRCUIT_OF.get(item.carries or "")
        if circuit and not found:
            found |= {name for name, fluid in self.front.fluids.items() if fluid.circuit == circuit}
        return found

    def behind(self, name: str) -> set[str]:
        """Return the fluids of an item, with those of the joints that it closes against."""
        joints = [self.front.items[joint] for joint in self.joints_of(name)]
        return self.fluids_of(self.front.items[name]).union(*(self.fluids_of(joint) for joint in joints))

    def circuits_of(self, item: schema.Item) -> set[str]:
        """Return the circuits that an item is part of, also where its fluid is not declared."""
        found: set[str] = {self.front.fluids[name].circuit for name in self.fluids_of(item)}
        if item.carries in CIRCUIT_OF:
            found.add(CIRCUIT_OF[item.carries])
        return found

    @cached_property
    def refrigerant(self) -> frozenset[str]:
        """Return what belongs to a refrigerant circuit, items and fluids."""
        fluids = {name for name, fluid in self.front.fluids.items() if fluid.circuit == "refrigerant"}
        items = {name for name, item in self.front.items.items() if "refrigerant" in self.circuits_of(item)}
        return frozenset(fluids | items)

    @cached_property
    def gas(self) -> frozenset[str]:
        """Return what belongs to a circuit of gas fuel, items and fluids."""
        fluids = {
            name
            for name, fluid in self.front.fluids.items()
            if fluid.circuit == "fuel" and GAS.search(f"{fluid.name} {fluid.base or ''}")
        }
        items = {name for name, item in self.front.items.items() if fluids & self.fluids_of(item)}
        return frozenset(fluids | items)

    @cached_property
    def sealed(self) -> dict[str, list[str]]:
        """Return by seal or sealant the items that it seals."""
        found: dict[str, list[str]] = {}
        for name, item in self.front.items.items():
            if item.sealed_by:
                found.setdefault(item.sealed_by, []).append(name)
        return found

    @cached_property
    def holding(self) -> dict[str, list[str]]:
        """Return by item the groups that hold it."""
        found: dict[str, list[str]] = {}
        for name, group in self.front.fasteners.items():
            for item in group.holds:
                found.setdefault(item, []).append(name)
        return found

    @cached_property
    def joints(self) -> dict[str, list[str]]:
        """Return by joint the parts that it closes against.

        They are those that it is `between`; else those that its seal or sealant closes too. When one sealant
        closes several joints, a group that holds joint and part tells which part is whose.
        """
        found: dict[str, list[str]] = {}
        for name, item in self.front.items.items():
            if item.kind != "joint":
                continue
            beside = [one for one in self.sealed.get(item.sealed_by or "", ()) if one != name]
            parts = [one for one in beside if self.front.items[one].kind not in ("joint", "opening")]
            if any(self.front.items[one].kind == "joint" for one in beside):
                groups = self.holding.get(name, ())
                parts = [one for one in parts if set(groups) & set(self.holding.get(one, ()))]
            found[name] = list(item.between) or parts
        return found

    @cached_property
    def hiders(self) -> dict[str, list[str]]:
        """Return by item or group the items that hide it."""
        found: dict[str, list[str]] = {}
        for name, item in self.front.items.items():
            for hidden in item.hides:
                found.setdefault(hidden, []).append(name)
        return found

    @cached_property
    def plugs(self) -> dict[str, list[str]]:
        """Return by item the temporary items that go into it."""
        found: dict[str, list[str]] = {}
        for name, item in self.front.items.items():
            for into in item.into:
                found.setdefault(into, []).append(name)
        return found

    def joints_of(self, name: str) -> list[str]:
        """Return the joints that a part belongs to, and those that a seal is put in."""
        found = [joint for joint, parts in self.joints.items() if name in parts]
        return found + [one for one in self.sealed.get(name, ()) if one in self.joints]

    def parts_of(self, joint: str) -> list[str]:
        """Return the parts that a joint closes against."""
        return self.joints.get(joint, [])

    def groups_of(self, joint: str) -> list[str]:
        """Return the groups that hold a joint together."""
        names = [joint, *self.parts_of(joint)]
        return list(dict.fromkeys(group for name in names for group in self.holding.get(name, ())))

    def about(self, table: str, name: str) -> frozenset[str]:
        """Return what a thing has to do with, as table:id: itself, its fluids, what it holds, where it is."""
        found = {f"{table}:{name}"}
        if table == "items":
            item = self.front.items[name]
            found |= {f"fluids:{one}" for one in self.behind(name)}
            for into in item.into:
                found |= {f"items:{into}"} | {
                    f"fluids:{one}" for one in self.fluids_of(self.front.items[into])
                }
        elif table == "fasteners":
            for held in self.front.fasteners[name].holds:
                found |= {f"items:{held}"} | {f"fluids:{one}" for one in self.behind(held)}
        return frozenset(found)

    def heavy(self, item: schema.Item) -> bool:
        """Return whether an item is too heavy for one person."""
        if item.mass is None:
            return False
        most = next(part for part in (item.mass.high, item.mass.nominal, item.mass.low) if part is not None)
        return float(most) * (0.45359237 if item.mass.unit == "lb" else 1.0) > HEAVY
