"""Packs of any length, written as those that ship: one joint is opened, cleaned and closed after another.

Ten steps belong to one joint and bring their own items, bolts and times, so the front matter grows too. It is
right work: no rule of the trade has anything to say. Vehicle and figures are invented.
"""

JOINT = 10
"""Steps of one joint."""

HOUSING = 6
"""Joints of one housing, whose oil is drained and filled for each of them."""

HEAD = """\
---
format: 1
title: Reseal {joints} covers in a row
vehicle: Hollowmere 9 row of gearboxes, invented
invented: true
summary: >-
  Each cover weeps at its joint. Take it off, clean both faces, close it on a wet bead, let the bead cure and
  look at it filled before the next cover is begun.
for: A hands-on repairer with a torque wrench.
not-for:
  - Any real machine. Vehicle and figures are invented.
units: si
opening: {{engine: cold, wheels: on-ground, full: [{fluids}]}}
sources:
  sheet: {{kind: invented, title: Figures made up for this measurement}}
  practice: {{kind: practice, title: "Common practice, no source"}}
questions:
  shield:
    ask: Is there a heat shield over the covers?
    answers: {{fitted: A shield, none: No shield}}
{questions}tools:
  wrench: {{name: small torque wrench, wrench: {{range: 5–50 N·m, graduation: 0.5 N·m}}}}
  pan: {{name: drain pan with a lid, holds: 12 L}}
  scraper: {{name: plastic scraper}}
  gauge: {{name: feeler gauges}}
"""

TABLES = {
    "items": """\
  cover-{n}: {{kind: part, name: cover {n}, sealed-by: rtv-{n}, fluid: gear-oil-{g}, mass: 1.8 kg,
             hides: [port-{n}]}}
  face-{n}: {{kind: joint, name: face under cover {n}, sealed-by: rtv-{n}, fluid: gear-oil-{g}}}
  port-{n}: {{kind: opening, name: port under cover {n}, fluid: gear-oil-{g}}}
  drain-{n}-cock: {{kind: opening, name: drain cock {n}, fluid: gear-oil-{g}, way: drain}}
  filler-{n}: {{kind: opening, name: filler {n}, fluid: gear-oil-{g}, way: filler}}
  plug-{n}: {{kind: temporary, name: plug in port {n}, into: [port-{n}]}}
  sensor-{n}: {{kind: connection, name: plug of sensor {n}, carries: signal}}
  ring-{n}: {{kind: seal, name: ring of sensor {n}, form: o-ring, renew: true, one-use: true,
            compare: [inner diameter, section]}}
""",
    "fasteners": """\
  cover-bolts-{n}:
    name: bolts of cover {n}
    count: 6
    thread: M8x1.25
    class: 8.8
    head: 13 mm hex
    into: aluminium
    torque: 20 N·m
    passes: [50 %, 100 %]
    pattern: {{rectangle: [3, 2]}}
    order: [2, 5, 1, 4, 3, 6]
    threads: dry
    figure-for: dry
    joint: sealed
    holds: [cover-{n}]
    source: sheet
""",
    "sealants": """\
  rtv-{n}:
    name: oil-proof silicone for cover {n}
    method: finger-tight-then-torque
    bead: 3 mm
    open-time: 10 min
    to-torque: 60 min
    to-fluid: 24 h
    at: {{temperature: 23 °C, humidity: 50 %}}
    suits: [gear-oil-{g}]
    source: sheet
""",
    "parts": """\
  new-ring-{n}: {{name: ring for sensor {n}, for: [ring-{n}], choose-by: The number on the sensor.}}
""",
    "consumables": """\
  tube-{n}: {{name: silicone for cover {n}, amount: 10 mL, pack: 70 mL, for: [rtv-{n}]}}
  cloth-{n}: {{name: cloths for face {n}, count: 2}}
  smear-{n}: {{name: clean oil for the ring of sensor {n}, count: 1, for: [ring-{n}]}}
  can-{n}: {{name: gear oil after cover {n}, amount: 7.4 L, pack: 10 L, for: [gear-oil-{g}]}}
""",
}

STEPS = [
    """
## Unplug sensor {n} and look at it {{#look-{n}}}

```step
hands-on: 4 min
tools: [gauge]
actions:
  - disconnect: sensor-{n}
    label: sensor {n}
readings:
  gap-{n}:
    ask: How wide is the gap between cover and face?
    range: at most 0.3 mm
    if-outside: The cover is bent. Order a new one.
photo: the plug beside the number on the cover
```

Feel that the metal is cold. Pull the plug by its body, never by the wire, and tie it back. Slide the feeler
gauges under the edge of the cover, all round. More than 0.3 mm of gap means a bent cover.
""",
    """
## Drain what stands above cover {n} {{#drain-{n}}}

```step
hands-on: 8 min
hazards: [waste]
tools: [pan]
actions:
  - open: drain-{n}-cock
  - drain: gear-oil-{g}
    into: pan
    expect: 7.4 L
waits:
  drips-{n}: {{kind: settle, name: Cock {n} runs empty, least: 10 min, until: one drop in five seconds}}
```

Set the pan under the cock. About **7.4 L** come out, slowly at first. Leave it for 10 min until it
only drips. Keep the lid on the pan: a spill on the floor is a fall.
""",
    """
## Take cover {n} off {{#off-{n}}}

```step
hands-on: 9 min
after: [drips-{n}]
actions:
  - undo: cover-bolts-{n}
    count: 6
  - remove: cover-{n}
  - open: port-{n}
  - place: plug-{n}
    in: port-{n}
photo: the bolts in a card, in their places
safe-stop: The port is plugged. Hang the tag on the key, and it may stand like this for days.
```

Slacken the bolts crosswise, half a turn each. Then take them out.

- Count six into the card.
- Tap the cover with a soft hammer; do not lever between the faces.
- Lift it straight off. It is light, and its edges are sharp.
- Push the plug into the port at once, so that nothing falls in.
""",
    """
## Clean the face under cover {n} {{#clean-{n}}}

```step
hands-on: 14 min
hazards: [fumes]
tools: [scraper]
consumables: [cloth-{n}]
actions:
  - clean: face-{n}
    with: scraper
```

Look at the plug first: nothing may fall into the port. Scrape the old bead off with plastic only: a
scratch across the face is a leak path. Wipe until a white cloth stays white, and let the solvent dry.
""",
    """
## Renew the ring of sensor {n} {{#ring-{n}-new}}

```step
hands-on: 3 min
when: {{shield: none}}
parts: [new-ring-{n}]
consumables: [smear-{n}]
actions:
  - remove: ring-{n}
  - compare: ring-{n}
  - scrap: ring-{n}
  - fit: ring-{n}
```

Lay the new ring on the old one: inner diameter and section must be the same. Wet it with clean oil.
""",
    """
## Close cover {n} finger-tight {{#close-{n}}}

```step
hands-on: 7 min
needs: [clean-{n}, ring-{n}-new]
consumables: [tube-{n}]
actions:
  - take-out: plug-{n}
  - shut: port-{n}
  - apply: rtv-{n}
    to: face-{n}
  - refit: cover-{n}
  - join: face-{n}
  - start-by-hand: cover-bolts-{n}
  - tighten: cover-bolts-{n}
    to: finger-tight
waits:
  open-{n}: {{kind: open-time, name: Bead {n} is live, sealant: rtv-{n}}}
  set-{n}: {{kind: set, name: Bead {n} sets, sealant: rtv-{n}}}
```

Take the plug out and look into the port. Lay a 3 mm bead inside the bolt holes, in one go, and close the
cover within 10 min. Start all six bolts by hand before any of them is turned further. It sets for 60 min.
""",
    """
## Tighten cover {n} {{#tight-{n}}}

```step
hands-on: 6 min
after: [set-{n}]
tools: [wrench]
actions:
  - tighten: cover-bolts-{n}
  - mark: cover-bolts-{n}
waits:
  cured-{n}: {{kind: full-cure, name: Bead {n} cures, sealant: rtv-{n}}}
```

In the order of the drawing, first to 10 N·m, then to **20 N·m (15 lbf·ft)**. One click for each bolt and no
second one. Mark each head. The bead needs 24 h from now before anything wet touches it.
""",
    """
## Plug sensor {n} in again {{#plug-{n}-in}}

```step
hands-on: 2 min
needs: [tight-{n}]
actions:
  - connect: sensor-{n}
```

It clicks when it is home. Tug the *body* once. The wire must hang free of the cover, with no strain on it.
""",
    """
## Fill after cover {n} {{#fill-{n}}}

```step
hands-on: 10 min
needs: [plug-{n}-in]
after: [cured-{n}]
consumables: [can-{n}]
actions:
  - shut: drain-{n}-cock
  - open: filler-{n}
  - fill: gear-oil-{g}
    volume: 7.4 L
  - shut: filler-{n}
readings:
  in-{n}: {{ask: Gear oil filled, unit: L}}
  waste-{n}:
    ask: Where does the old oil go?
    expect: into a closed can, to a named collector
    if-outside: Close it and write on it who takes it.
    proves: waste-named
mentions: [1 L]
```

Shut the cock. Pour slowly, about 1 L a minute, until it stands at the neck: 7.4 L. The whole gearbox holds
9.5 L. Close the old oil into its can.
""",
    """
## Watch joint {n} as it stands filled {{#test-{n}}}

```step
hands-on: 12 min
waits:
  stands-{n}: {{kind: settle, name: Joint {n} stands filled, least: 10 min, attended: true}}
readings:
  dry-{n}:
    ask: Look along joint {n}.
    expect: dry all round
    if-outside: Drain it and begin again at its strip.
```

Wipe the joint dry and let it stand for 10 min. No drop may stand along it, and none may hang below.
Look with a lamp from below, and feel along the rim with a dry finger.
""",
]


FLUID = """\
  gear-oil-{g}: {{name: oil of gearbox {g}, circuit: gear, capacity: 9.5 L, drains: 7.4 L, source: sheet}}
"""

QUESTION = """\
  cover-{number}:
    ask: Is cover {number} fitted?
    answers: {{fitted: A cover, none: No cover}}
"""


def pack_of(steps: int, questions: int = 0) -> bytes:
    """Return a pack.md with so many steps, a whole number of joints.

    questions: so many more two-way questions select the steps of the joints, by turns.
    """
    joints = range(1, steps // JOINT + 1)
    asked = "".join(QUESTION.format(number=number + 1) for number in range(questions))
    housings = range(1, housing(joints[-1]) + 1)
    fluids = ", ".join(f"gear-oil-{g}" for g in housings)
    front = HEAD.format(joints=len(joints), questions=asked, fluids=fluids)
    front += "fluids:\n" + "".join(FLUID.format(g=g) for g in housings)
    for table, entry in TABLES.items():
        front += f"{table}:\n" + "".join(entry.format(n=n, g=housing(n)) for n in joints)
    body = ""
    for n in joints:
        body += f"\n# Cover {n} {{#joint-{n}}}\n"
        for step in STEPS:
            text = step.format(n=n, g=housing(n))
            if questions:
                text = selected(text, (n - 1) % questions + 1)
            body += text
    return f"{front}---\n{body}".encode()


def housing(joint: int) -> int:
    """Return the number of a joint's housing."""
    return (joint - 1) // HOUSING + 1


def selected(step: str, question: int) -> str:
    """Return a step that only vehicles with one cover have."""
    answer = f"cover-{question}: fitted"
    if "\nwhen: {" in step:
        return step.replace("\nwhen: {", f"\nwhen: {{{answer}, ")
    return step.replace("```step\n", f"```step\nwhen: {{{answer}}}\n")
