"""What static/js/machine.js works out, in Python over the same tables: either finds the faults of the other.

tables: what `Model.plain()` gives. pack: {steps: [{id, title, needs, after, when, strips}], waits: {wait: its
step}}. state: as static/js/fold.js gives it, {answers, steps: {step: {is, stamp, already}}, waits: {wait:
{began, length, is}}}; and here also `pending`: the waits that still run, when a time is given.
"""

from __future__ import annotations

KINDS = {
    "open": ("Open", {"opening", "joint"}),
    "in": ("In", {"temporary", "chips"}),
    "off": ("Off", {"part", "parts", "seal", "added"}),
    "undone": ("Undone", {"connection", "earth"}),
    "loose": ("Not tight", {"group", "out", "belt"}),
    "wet": ("Not cured", {"bead"}),
    "drained": ("Not filled or bled", {"level", "air"}),
    "raised": ("Held", {"raised", "support", "chocks"}),
    "locked": ("Locked off", {"energy"}),
    "running": ("Running", {"run", "key"}),
}
GATES = ("start", "fill", "lower", "move")
END, ANYWHERE = "", "*"


def holds(when, answers):
    """Return whether a condition holds; an unanswered question excludes nothing."""
    return all(answers.get(question, allowed[0]) in allowed for question, allowed in when.items())


def is_so(tick):
    """Return whether a step was done, or was found done already."""
    return bool(tick) and (tick["is"] == "done" or tick.get("already", False))


def after_move(variable, state, to):
    """Return the state after a move, or nothing when the move is not possible."""
    if isinstance(to, int):
        return state + to if 0 <= state + to <= variable["total"] else None
    return to.get(state)


def forced(variable, state, to):
    """Return where a move leaves a thing, possible or not."""
    found = after_move(variable, state, to)
    if found is not None:
        return found
    return (0 if to < 0 else variable["total"]) if isinstance(to, int) else next(iter(to.values()))


def walked(tables, state, steps, look=None):
    """Return {variable: (state, since)} after these steps; `look` hears of each need that is not met."""
    found = {}
    for variable in tables["variables"]:
        if not holds(variable["when"], state["answers"]):
            continue
        now, since = variable["start"], None
        for step in steps:
            parts = [(at, 0, allowed, text) for own, at, allowed, text in variable["needs"] if own == step]
            parts += [
                (at, 1, to, None)
                for own, at, to, *wait in variable["moves"]
                if own == step and not {*wait} & {*state.get("pending", ())}
            ]
            for at, moves, what, text in sorted(parts, key=lambda part: part[:2]):
                if not moves:
                    if look and now not in what:
                        look(step, at, variable, now, since, what, tables["texts"][text])
                    continue
                new = forced(variable, now, what)
                if new != now or isinstance(what, int):
                    since = step
                now = new
        found[variable["id"]] = (now, since)
    return found


def ticked(state, before=float("inf")):
    """Return the steps that count, in the order of their ticks."""
    own = [(tick["stamp"], step) for step, tick in state["steps"].items() if is_so(tick)]
    return [step for stamp, step in sorted(own) if stamp < before]


def machine(tables, state):
    """Return {variable: {state, since}} of this vehicle."""
    found = walked(tables, state, ticked(state))
    return {name: {"state": now, "since": since} for name, (now, since) in found.items()}


def selected(pack, state):
    """Return the ids of the steps of this vehicle, in order."""
    return [step["id"] for step in pack["steps"] if holds(step["when"], state["answers"])]


def said(variable, state):
    """Return a state in words."""
    if isinstance(state, int):
        if state == variable["total"] == 1 and "one" in variable["words"]:
            return variable["words"]["one"]
        return variable["words"].get("count", "{n}").format(n=state, of=variable["total"])
    return variable["words"].get(state, state)


def through(variable, state, step):
    """Return the state after all moves of a step, or nothing when they are not possible."""
    for name, _, move, *_ in variable["moves"]:
        if name == step and state is not None:
            state = after_move(variable, state, move)
    return state


def distances(variable, steps, wanted):
    """Return {state: how many of these steps lead to a wanted one, at the least}, by walking back."""
    if isinstance(variable["start"], int):
        states = {*range(variable["total"] + 1), *wanted}
    else:
        states = {variable["start"], *wanted}
        for _, _, move, *_ in variable["moves"]:
            states |= {*move, *move.values()}
    found = dict.fromkeys(wanted, 0)
    for far in range(1, len(states) + 1):
        near = [
            state
            for state in states
            if state not in found and any(through(variable, state, step) in found for step in steps)
        ]
        found |= dict.fromkeys(near, far)
    return found


def cure(pack, state, variable, start, wanted, without=None):
    """Return the next step towards a wanted state: an open one, else one left out, else one done again."""
    own = [step for step in selected(pack, state) if step != without]
    # What a clock brings comes by itself once the step is done: it is not done again for that.
    moves = [move for move in variable["moves"] if len(move) < 4 or not is_so(state["steps"].get(move[0]))]
    variable = variable | {"moves": moves}
    every = [step for step in dict.fromkeys(step for step, *_ in moves) if step in own]
    open_ = [step for step in every if step not in state["steps"]]
    stages = kind_of(variable) in ("loose", "wet")
    for steps in (open_, [step for step in every if not is_so(state["steps"].get(step))], every):
        far = distances(variable, steps, wanted)
        if start in far:
            ends = {step: through(variable, start, step) for step in steps}
            return next(
                step
                for step, to in ends.items()
                if to is not None and to != start and to in far and far[to] < far[start] + stages
            )
    return None


def kind_of(variable):
    """Return the kind of a thing on the board."""
    return next((kind for kind, (_, names) in KINDS.items() if variable["kind"] in names), "off")


def board(tables, pack, state):
    """Return what is not at rest, kind by kind."""
    now, found = machine(tables, state), []
    for variable in tables["variables"]:
        if variable["id"] not in now:
            continue
        at, since = now[variable["id"]].values()
        kind = kind_of(variable)
        if at in variable["rest"] or (since is None and (at == "unknown" or kind == "loose")):
            continue
        found.append(
            {
                "id": variable["id"],
                "kind": kind,
                "name": variable["name"],
                "words": said(variable, at),
                "since": since,
                "fix": cure(pack, state, variable, at, variable["rest"]),
            }
        )
    ids = {one["id"] for one in found}
    found = [one for one in found if not (one["id"][:4] == "out:" and f"group:{one['id'][4:]}" in ids)]
    return sorted(found, key=lambda one: list(KINDS).index(one["kind"]))


def unmet(tables, pack, state, step):
    """Return what a step misses now; one that is done: what it missed when it was done."""
    titles = {one["id"]: one["title"] for one in pack["steps"]}
    tick = state["steps"].get(step)
    steps = ticked(state, tick["stamp"]) if is_so(tick) else ticked(state)
    here = {END: "the end of the job", ANYWHERE: "the work is laid down"}.get(step, titles.get(step))
    places = {variable["id"]: place for place, variable in enumerate(tables["variables"])}
    found = []

    def look(place, at, variable, now, since, allowed, text):
        rule, severity, moment, what, do, danger = text
        if place != step:
            return
        words = {
            "name": variable["name"],
            "object": variable["object"],
            "state": said(variable, now),
            "moment": here,
            "step": here,
            "since": titles[since] if since else "the start",
        }
        sentence = what.format(**words)
        one = {
            "id": variable["id"],
            "rule": rule,
            "severity": severity,
            "danger": danger,
            "name": variable["name"],
            "words": words["state"],
            "moment": moment,
            "what": sentence[:1].upper() + sentence[1:],
            "do": do.format(**words),
            "since": since,
            "fix": cure(pack, state, variable, now, allowed, step),
        }
        found.append((at, places[variable["id"]], one))

    walked(tables, state, [*steps, step], look)
    once = {}
    for _, _, one in sorted(found, key=lambda each: each[:2]):
        once.setdefault((one["id"], one["rule"], one["moment"]), one)
    return list(once.values())


def ahead(tables, pack, state, gate):
    """Return the open steps that have such a moment."""
    own = tables["gates"].get(gate, ())
    return [step for step in selected(pack, state) if step in own and step not in state["steps"]]


def permits(tables, pack, state):
    """Return what stands before the next start, fill, lowering and move, and before the hand-over."""
    found = [(gate, step) for gate in GATES for step in ahead(tables, pack, state, gate)[:1]]
    found.append(("hand-over", None))
    return [
        {"gate": gate, "step": step, "open": unmet(tables, pack, state, step or END)} for gate, step in found
    ]


def up_to(pack, state, step):
    """Return the open steps that a step follows, and itself."""
    steps = {one["id"]: one for one in pack["steps"]}
    wanted, found = [step], set()
    while wanted:
        name = wanted.pop()
        if name in steps and name not in found and name not in state["steps"]:
            found.add(name)
            wanted += [*steps[name]["needs"], *(pack["waits"].get(wait) for wait in steps[name]["after"])]
    return [name for name in selected(pack, state) if name in found]


def stop_safely(tables, pack, state):
    """Return what has to be put right to lay the work down, the way to a planned stop, and the tag."""
    open_ = unmet(tables, pack, state, ANYWHERE)
    ways = [up_to(pack, state, step) for step in ahead(tables, pack, state, "stop")]
    nearest = min(ways, key=len, default=[])
    things = board(tables, pack, state)
    lines = ["DO NOT START"]
    for kind, (word, _) in KINDS.items():
        own = [one for one in things if one["kind"] == kind]
        more = kind in ("drained", "raised")
        names = dict.fromkeys(f"{one['name']} {one['words']}" if more else one["name"] for one in own)
        lines += [f"{word}: {', '.join(names)}"] * bool(names)
    lines += ["Who: ________", "When: ________"]
    few = len(nearest) <= len({one["fix"] or one["id"] for one in open_})
    return {"open": open_, "steps": nearest if few else [], "tag": "\n".join(lines)}


def pending(pack, state, now):
    """Return the waits that are not over at a time. A wait here has a least time, and nothing else."""
    steps = {one["id"]: one for one in pack["steps"]}

    def over(wait, step):
        clock = state["waits"].get(wait)
        if clock is None:
            absent = not holds(steps[step]["when"], state["answers"])
            return absent or state["steps"].get(step, {}).get("already", False)
        return clock["is"] == "ended" or (
            clock["is"] == "running" and now >= clock["began"] + clock["length"]
        )

    return [wait for wait, step in pack["waits"].items() if not over(wait, step)]


def answers(tables, pack, state, now=None):
    """Return everything that machine.js says of a state, at a time where one is given."""
    if now is not None:
        state = state | {"pending": pending(pack, state, now)}
    steps = [END, ANYWHERE, *(step["id"] for step in pack["steps"])]
    found = {step: unmet(tables, pack, state, step) for step in steps}
    return {
        "machine": machine(tables, state),
        "board": board(tables, pack, state),
        "unmet": {step: one for step, one in found.items() if one},
        "permits": permits(tables, pack, state),
        "stop": stop_safely(tables, pack, state),
    }


def pack_of(compiled):
    """Return of a compiled pack what the phone reads from its document."""
    return {
        "steps": [
            {
                "id": step.id,
                "title": step.title,
                "needs": list(step.needs),
                "after": list(step.after),
                "when": step.when,
                "strips": [],
            }
            for step in compiled.steps
        ],
        "waits": {wait.id: wait.step for step in compiled.steps for wait in step.waits},
    }


def random_states(random, pack, questions, count):
    """Yield states: some steps ticked in any order, some found so already, some left out, any answers.

    questions: {question: its answers}.
    """
    ids = [step["id"] for step in pack["steps"]]
    for _ in range(count):
        order = random.sample(ids, random.randint(0, len(ids)))
        if random.random() < 0.6:  # as printed, up to some step
            order = ids[: random.randint(0, len(ids))]
        steps = {}
        for stamp, step in enumerate(order, start=1):
            chance = random.random()
            if chance < 0.85:
                steps[step] = {"is": "done", "stamp": stamp}
            else:
                steps[step] = {"is": "passed", "stamp": stamp, "already": chance < 0.92}
        given = {name: random.choice(choices) for name, choices in questions.items() if random.random() < 0.8}
        waits = {
            wait: {
                "step": step,
                "began": 10,
                "length": 100,
                "is": random.choice(["running", "ended", "stopped"]),
            }
            for wait, step in pack["waits"].items()
            if steps.get(step, {}).get("is") == "done"
        }
        shuffled = dict(random.sample(list(steps.items()), len(steps)))
        yield {"answers": given, "steps": shuffled, "waits": waits}
