"""The built-in hazards of the trade: what can hurt, what happens, how to avoid it, and the fact to state.

Signal words and their panels follow ANSI Z535.4/.6, symbols ISO 7010. DANGER will kill or maim, WARNING
could, CAUTION is for minor injury, NOTICE for damage only. DANGER and WARNING are answered with a fact,
never with “OK”.

Where the figures come from:

- cooling system opened at or below 50 °C: common practice, no source;
- one person lifts up to 23 kg: US Army TM 5-2420-222-34;
- cleaning air below 207 kPa (30 psi): US Army TM 10-4320-307-24;
- 20 minutes of water on a burn or on acid: from memory of first-aid teaching, no source.
"""

from __future__ import annotations

from typing import Any

from .schema import Hazard

_WORDS: dict[str, dict[str, Any]] = {
    # Danger: will kill or maim ---------------------------------------------------------------------
    "exhaust-gas": {
        "word": "danger",
        "name": "Exhaust gas",
        "symbol": "toxic",
        "what": "A running engine makes carbon monoxide. It has no smell and no colour.",
        "happens": "In a closed bay it will make you faint, and then it will kill.",
        "avoid": "Run the engine outdoors, with doors open on two sides, or with extraction on the tailpipe. "
        "A headache means: engine off, out, now.",
        "protect": ["extraction hose on the tailpipe", "carbon monoxide alarm"],
        "defer": "Workplace air rules come first; on a boat, the marine rules.",
        "first-aid": "Into fresh air at once, call the emergency number, stay with the person.",
        "fact": {
            "ask": "What makes the air safe?",
            "statement": "Doors open or extraction on, and I feel the air move",
        },
    },
    "falling-vehicle": {
        "word": "danger",
        "name": "Falling vehicle",
        "symbol": "crush",
        "what": "A raised vehicle stands on whatever holds it. A jack sinks, and soft ground gives way.",
        "happens": "It will crush whoever is under it.",
        "avoid": "Level hard ground, chocks at the wheels that stay down, stands at the rated points. "
        "Shake it hard before any part of you goes under.",
        "protect": ["rated stands", "wheel chocks"],
        "defer": "A lift is used only inside its inspection law and its rated load.",
        "first-aid": "Call the emergency number first, then raise the vehicle; do not pull the person.",
        "fact": {"ask": "How does it stand?", "statement": "Stands locked and shaken"},
    },
    "fuel": {
        "word": "danger",
        "name": "Fuel spray and vapour",
        "symbol": "fire",
        "what": "Fuel under pressure sprays from an open joint. Vapour creeps along the floor to any spark.",
        "happens": "Vapour at a spark will burn you and the bay. High-pressure spray will pierce the skin.",
        "avoid": "Cold engine, pressure let down and read as zero, rag round the joint, catch what comes. "
        "No spark, lamp, heater or grinder near.",
        "protect": ["eye shield", "fuel-proof gloves", "fire extinguisher within reach"],
        "defer": "Local fire code. Gas fuel is for licensed people only.",
        "first-aid": "Fuel under the skin is a surgical emergency even if the mark is small: hospital now, "
        "and say what it was.",
        "fact": {
            "ask": "Why can nothing catch fire?",
            "statement": "Engine cold, no flame or spark near, extinguisher at hand",
        },
    },
    "high-voltage": {
        "word": "danger",
        "name": "High voltage and restraint charges",
        "symbol": "electricity",
        "what": "Traction batteries, their orange cables, and the charges of airbags and belt tensioners "
        "hold their energy with the key out.",
        "happens": "The shock will kill. A charge that fires will maim whoever is in front of it.",
        "avoid": "Stop here. A trained person makes it safe and proves it dead or discharged. Then go on.",
        "protect": [],
        "defer": "Licensed practice and the maker's procedure.",
        "first-aid": "Do not touch a person who is on the current; cut it off, call the emergency number.",
        "fact": {
            "ask": "Who made it safe?",
            "statement": "A licensed person made it safe and proved it dead",
        },
    },
    "back-feed": {
        "word": "danger",
        "name": "Standby set and mains back-feed",
        "symbol": "automatic-start",
        "what": "A standby engine starts by itself. Its charger, heater and changeover bring in the mains.",
        "happens": "It will start with a hand in it, or its terminals will kill with the engine at rest.",
        "avoid": "Lock off and tag start, charger, heater and changeover. Then try to start it.",
        "protect": ["padlock", "tag with your name"],
        "defer": "The mains side belongs to an electrician.",
        "first-aid": "Cut the current before touching anybody, call the emergency number.",
        "fact": {
            "ask": "What happened when you tried to start it?",
            "statement": "Locked off; nothing started",
        },
    },
    # Warning: could kill or maim -------------------------------------------------------------------
    "scald": {
        "word": "warning",
        "name": "Scald",
        "symbol": "hot",
        "what": "Hot coolant is held liquid by its pressure. Let go, it turns to steam at once.",
        "happens": "Opened hot, it could burn face, eyes and arms to the bone.",
        "avoid": "Open only when a bare hand can rest on the cap. Cloth over it, turn to the first stop, "
        "wait until it has stopped hissing.",
        "protect": ["face shield", "long gloves"],
        "first-aid": "Cool running water for 20 min, nothing else on it, then medical help.",
        "fact": {"ask": "How hot is the cap or the coolant?", "range": "at most 50 °C"},
    },
    "battery": {
        "word": "warning",
        "name": "Battery",
        "symbol": "battery",
        "what": "A battery gives hundreds of amperes to any metal that bridges it. Charging, it gives off "
        "gas that a spark sets off.",
        "happens": "A ring or spanner across it could burn to the bone. A case that bursts could blind you.",
        "avoid": "Rings and watch off. The earthed lead comes off first and goes on last. No spark near a "
        "battery on charge.",
        "protect": ["goggles", "insulated spanner"],
        "first-aid": "Acid: rinse with water for 20 min, eyelids held open, and get medical help.",
        "fact": {
            "ask": "What have you taken off, and put on?",
            "statement": "Rings and watch off, goggles on",
        },
    },
    "moving-parts": {
        "word": "warning",
        "name": "Fan, belt and pulleys",
        "symbol": "moving",
        "what": "Belts and fans pull in cloth, hair and cords. An electric fan starts by itself, even with "
        "the key out.",
        "happens": "Fingers could be cut off, and hair or a sleeve could drag you in.",
        "avoid": "At rest: key in your pocket and the fan unplugged. Running: no hand, tool or cloth near "
        "belt or fan.",
        "protect": ["tight sleeves or none", "hair tied under a cap"],
        "first-aid": "Stop the engine, press hard on the bleeding, call the emergency number.",
        "fact": {
            "ask": "What could be caught?",
            "statement": "Sleeves, hair and cords tied back; hands and tools clear of belt and fan",
        },
    },
    "refrigerant": {
        "word": "warning",
        "name": "Refrigerant",
        "symbol": "pressure",
        "what": "The air-conditioning circuit is under pressure even at rest, and its liquid boils far below "
        "freezing.",
        "happens": "An opened joint could freeze eyes and skin, and near a flame its gas could poison.",
        "avoid": "Do not open it. Move the compressor aside with its hoses on, and support it.",
        "protect": ["goggles", "gloves"],
        "defer": "Opening the circuit is for certified technicians (in the United States, 40 CFR 82).",
        "first-aid": "Frozen skin: lukewarm water, do not rub. Eyes: rinse, and hospital now.",
        "fact": {
            "ask": "How does the circuit stay shut?",
            "statement": "No joint is loosened; the hoses stay on and hang free of strain",
        },
    },
    "brakes": {
        "word": "warning",
        "name": "Brake work",
        "symbol": "general",
        "what": "A brake that was opened holds air until it is bled. Old linings leave asbestos dust.",
        "happens": "A vehicle that rolls without brakes could kill. Dust breathed in could kill years later.",
        "avoid": "Chock it, and do not move it until the pedal is firm. Wipe wet: never brush or blow dry.",
        "protect": ["dust mask", "gloves"],
        "defer": "Inspection rules of the place where it is driven.",
        "first-aid": "Brake fluid in the eyes: rinse for 20 min and get medical help.",
        "fact": {
            "ask": "What keeps it from rolling?",
            "statement": "Wheels chocked; it stays where it is until the pedal is firm",
        },
    },
    "heavy": {
        "word": "warning",
        "name": "Heavy part",
        "symbol": "suspended",
        "what": "A part above 23 kg (50 lb) is more than one person can guide.",
        "happens": "It could fall and crush a hand or a foot, or hurt a back for good.",
        "avoid": "Two people or a hoist. Sling it before the last bolt is out. Nobody stands under it.",
        "protect": ["safety boots", "gloves"],
        "defer": "Lifting gear is used inside its rated load and its inspection law.",
        "first-aid": "Take the weight off, keep the person still, call the emergency number.",
        "fact": {"ask": "What has the weight?", "statement": "A hoist or a second person has the weight"},
    },
    "sprung": {
        "word": "warning",
        "name": "Sprung part",
        "symbol": "crush",
        "what": "A tensioner, spring or strut lets go of all its force at once.",
        "happens": "It could break fingers, or fly and take an eye.",
        "avoid": "Hold it with the tool made for it, let it move slowly, stand out of its line.",
        "protect": ["goggles", "gloves"],
        "first-aid": "Eye struck: cover it, do not press, hospital now. Finger: splint and cool it.",
        "fact": {
            "ask": "What holds the force?",
            "statement": "The right tool holds it, and I stand out of its line",
        },
    },
    # Caution: minor injury -------------------------------------------------------------------------
    "fumes": {
        "word": "caution",
        "name": "Solvent and sealant fumes",
        "symbol": "gas",
        "what": "Cleaners, uncured sealants and threadlockers give off vapour and wet the skin.",
        "happens": "They could make you dizzy, sting the eyes and leave a rash.",
        "avoid": "Keep the air moving, keep heat away, wear gloves.",
        "protect": ["nitrile gloves", "goggles"],
        "defer": "The product's safety data sheet.",
        "first-aid": "Dizzy: fresh air. In the eye: rinse with water.",
    },
    "compressed-air": {
        "word": "caution",
        "name": "Compressed air",
        "symbol": "pressure",
        "what": "An air jet throws grit, and drives air through skin that it touches.",
        "happens": "Grit could scratch an eye, and the jet could bruise.",
        "avoid": "Keep cleaning air below 30 psi (207 kPa). Never point it at skin or clothes.",
        "protect": ["goggles"],
        "first-aid": "Grit in the eye: rinse, do not rub. Air under the skin: hospital.",
    },
    "hot-metal": {
        "word": "caution",
        "name": "Hot metal",
        "symbol": "hot",
        "what": "Pipes, housings and the exhaust stay hot long after the gauge has dropped.",
        "happens": "A touch could blister a hand.",
        "avoid": "Wait, or wear gloves that stand heat. Feel with the back of the hand before you grip.",
        "protect": ["heat-proof gloves"],
        "first-aid": "Cool running water for 20 min.",
    },
    "sharp-edge": {
        "word": "caution",
        "name": "Sharp edge",
        "symbol": "sharp",
        "what": "Scrapers, cut gaskets, hose clamps and radiator fins have edges.",
        "happens": "A slip could cut a hand.",
        "avoid": "Wear gloves. Push the scraper away from the other hand.",
        "protect": ["cut-proof gloves"],
        "first-aid": "Press, clean and cover it.",
    },
    # Notice: damage only ---------------------------------------------------------------------------
    "waste": {
        "word": "notice",
        "name": "Waste fluid",
        "symbol": "general",
        "what": "Used coolant, oil and brake fluid foul soil and water.",
        "happens": "Poured into a drain, a bilge or soil, it pollutes, and it is against the law.",
        "avoid": "Catch it, close the container, label it, take it to a collector.",
        "protect": [],
        "defer": "Local waste law.",
    },
    "static": {
        "word": "notice",
        "name": "Static and sensors",
        "symbol": "general",
        "what": "Control units and sensors fail from a static spark that cannot be felt, and from a knock.",
        "happens": "The unit is destroyed at once, or fails a month later.",
        "avoid": "Touch bare earthed metal first. Hold a sensor by its body, never by its pins.",
        "protect": [],
    },
    "paint": {
        "word": "notice",
        "name": "Paint and plastic",
        "symbol": "general",
        "what": "Buttons, tools and brake fluid spoil paint. Aged plastic cracks under a spanner.",
        "happens": "The finish is scratched or lifted, or a thread or stub breaks off.",
        "avoid": "Cover the wings, wipe spills at once with water, keep to low torque in plastic.",
        "protect": ["wing covers"],
    },
}

BUILT_IN: dict[str, Hazard] = {name: Hazard.model_validate(words) for name, words in _WORDS.items()}
