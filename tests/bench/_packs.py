"""Packs of any length, written as those that ship: one joint is opened, cleaned and closed after another.

Ten steps belong to one joint and bring their own items, bolts and times, so the front matter grows too.
Vehicle and figures are invented.
"""

JOINT = 10
"""Steps of one joint."""

HEAD = """\
---
format: 1
title: Reseal {joints} covers in a row
vehicle: Hollowmere 9 generator set, invented
invented: true
summary: >-
  Each cover weeps at its joint. Take it off, clean both faces, close it on a wet bead, let the bead cure and
  look at it under pressure before the next cover is begun.
for: A hands-on repairer with a torque wrench.
not-for:
  - Any real machine. Vehicle and figures are invented.
units: si
opening: {{engine: cold, wheels: on-ground, full: [coolant]}}
sources:
  sheet: {{kind: invented, title: Figures made up for this measurement}}
  practice: {{kind: practice, title: "Common practice, no source"}}
questions:
  shield:
    ask: Is there a heat shield over the covers?
    answers: {{fitted: A shield, none: No shield}}
fluids:
  coolant: {{name: coolant, circuit: cooling, capacity: 9.5 L, drains: 7.4 L, mix: 50 %, source: sheet}}
tools:
  wrench: {{name: small torque wrench, wrench: {{range: 5–50 N·m, graduation: 0.5 N·m}}}}
  pan: {{name: drain pan, holds: 12 L}}
  scraper: {{name: plastic scraper}}
  gauge: {{name: feeler gauges}}
"""

TABLES = {
    "items": """\
  cover-{n}: {{kind: part, name: cover {n}, sealed-by: rtv-{n}, fluid: coolant, mass: 1.8 kg,
             hides: [port-{n}]}}
  face-{n}: {{kind: joint, name: face under cover {n}, sealed-by: rtv-{n}, fluid: coolant}}
  port-{n}: {{kind: opening, name: port under cover {n}, fluid: coolant}}
  plug-{n}: {{kind: temporary, name: plug in port {n}, into: [port-{n}]}}
  sensor-{n}: {{kind: connection, name: plug of sensor {n}, carries: signal}}
  ring-{n}: {{kind: seal, name: ring of sensor {n}, renew: true, one-use: true,
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
    name: coolant-safe silicone for cover {n}
    method: finger-tight-then-torque
    bead: 3 mm
    open-time: 10 min
    to-torque: 60 min
    to-fluid: 24 h
    at: {{temperature: 23 °C, humidity: 50 %}}
    suits: [coolant]
    source: sheet
""",
    "parts": """\
  new-ring-{n}: {{name: ring for sensor {n}, for: [ring-{n}], choose-by: The number on the sensor.}}
""",
    "consumables": """\
  tube-{n}: {{name: silicone for cover {n}, amount: 10 mL, pack: 70 mL, for: [rtv-{n}]}}
  cloth-{n}: {{name: cloths for face {n}, count: 2}}
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
hazards: [waste, scald]
tools: [pan]
actions:
  - open: port-{n}
  - drain: coolant
    into: pan
    expect: 7.4 L
waits:
  drips-{n}: {{kind: settle, name: Port {n} runs empty, least: 10 min, until: one drop in five seconds}}
```

Set the pan under the port. About **7.4 L** come out, slowly at first. Leave it for 10 min until it
only drips, and keep the lid on the pan: what is in it tastes sweet, and animals drink it.
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
photo: the bolts in a card, in their places
safe-stop: The port is open. Plug it, hang the tag on the key, and it may stand like this for days.
```

Slacken the bolts crosswise, half a turn each, then take them out.

- Count six into the card.
- Tap the cover with a soft hammer; do not lever between the faces.
- Lift it straight off. It is light, and its edges are sharp.
""",
    """
## Plug port {n} and clean the face {{#clean-{n}}}

```step
hands-on: 14 min
hazards: [fumes]
tools: [scraper]
consumables: [cloth-{n}]
actions:
  - place: plug-{n}
    in: port-{n}
  - clean: face-{n}
    with: scraper
```

Push the plug in first, so that nothing falls into the port. Scrape the old bead off with plastic only: a
scratch across the face is a leak path. Wipe until a white cloth stays white, and let the solvent dry.
""",
    """
## Renew the ring of sensor {n} {{#ring-{n}-new}}

```step
hands-on: 3 min
when: {{shield: none}}
parts: [new-ring-{n}]
actions:
  - compare: ring-{n}
  - fit: ring-{n}
```

Lay the new ring on the old one: inner diameter and section must be the same. Wet it with clean coolant.
""",
    """
## Close cover {n} finger-tight {{#close-{n}}}

```step
hands-on: 7 min
needs: [clean-{n}]
consumables: [tube-{n}]
actions:
  - take-out: plug-{n}
  - apply: rtv-{n}
    to: face-{n}
  - refit: cover-{n}
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
needs: [tight-{n}]
after: [cured-{n}]
actions:
  - shut: port-{n}
  - fill: coolant
readings:
  in-{n}: {{ask: Coolant filled, unit: L}}
mentions: [1 L]
```

Shut the port. Pour slowly, about 1 L a minute, until it stands at the neck. The whole system holds 9.5 L
of a 50 % mix. Squeeze the upper hose now and then, and watch for bubbles.
""",
    """
## Watch joint {n} under pressure {{#test-{n}}}

```step
hands-on: 12 min
actions:
  - pressure-test: coolant
    at: 100 kPa
    for: 10 min
readings:
  dry-{n}:
    ask: Look along joint {n}.
    expect: dry all round
    if-outside: Let the pressure down and begin again at its strip.
```

Pump to 100 kPa and shut the valve. Nothing may fall in 10 min, and no drop may stand along the joint.
Let the pressure down through the valve, never through the cap.
""",
]


def pack_of(steps: int) -> bytes:
    """Return a pack.md with so many steps, a whole number of joints."""
    joints = range(1, steps // JOINT + 1)
    front = HEAD.format(joints=len(joints))
    for table, entry in TABLES.items():
        front += f"{table}:\n" + "".join(entry.format(n=n) for n in joints)
    body = "".join(
        f"\n# Cover {n} {{#joint-{n}}}\n" + "".join(step.format(n=n) for step in STEPS) for n in joints
    )
    return f"{front}---\n{body}".encode()
