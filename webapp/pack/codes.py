"""Every code that a finding of the pack language can have: what it means, why it matters, wrong and right.

Codes are stable: they stand in packs (`accept`), in scripts and in people's heads. A rule of the trade has
the code R and two digits, and is explained where it is proved.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Code:
    """One code, explained for the author who meets it."""

    title: str
    why: str
    wrong: str
    right: str


CODES: dict[str, Code] = {
    # the file -------------------------------------------------------------------------------------
    "pack-missing": Code(
        "The pack cannot be opened",
        "A pack is a folder with pack.md in it and its pictures beside it.",
        "droplight check content/coolent-pump",
        "droplight check content/coolant-pump",
    ),
    "folder-name": Code(
        "The folder's name cannot be an address",
        "The folder's name is the pack's address on the phone and in links.",
        "content/Coolant Pump (new)",
        "content/coolant-pump",
    ),
    "pack-too-big": Code(
        "The pack is larger than can be read",
        "A phone must hold the whole job, and a person must follow it.",
        "one pack for the whole engine",
        "several packs, one for each job",
    ),
    "not-utf8": Code(
        "The file is not UTF-8 text",
        "Signs such as °, · and ½ would be read as something else.",
        "saved as Latin-1",
        "saved as UTF-8",
    ),
    "not-text": Code(
        "An invisible character stands in the file",
        "What cannot be seen can change what is read, and even the direction it is read in.",
        "a picture or a program given as pack.md",
        "plain text",
    ),
    "line-too-long": Code(
        "A line or a paragraph is far too long",
        "Nobody reads that at arm's length.",
        "the whole job in one line",
        "short paragraphs with an empty line between them",
    ),
    "front-matter-missing": Code(
        "The pack does not begin with its front matter",
        "Title, vehicle, items and fasteners are declared there, once.",
        "# Make safe",
        "---\ntitle: Renew the coolant pump\n…\n---\n\n# Make safe",
    ),
    "front-matter-unclosed": Code(
        "The front matter has no end",
        "Everything below would be read as data.",
        "---\ntitle: Renew the coolant pump\n\n# Make safe",
        "---\ntitle: Renew the coolant pump\n---\n\n# Make safe",
    ),
    # the data -------------------------------------------------------------------------------------
    "yaml-wrong": Code(
        "The data cannot be read",
        "Everything after the place would be guessed at. Most often it is an indentation, a bracket, or a "
        "text with “: ” in it that needs quotes.",
        "name: pump: the long one",
        'name: "pump: the long one"',
    ),
    "yaml-alias": Code(
        "Anchors and aliases are not read",
        "A value written elsewhere cannot be checked where it is used, and aliases can be made to explode.",
        "b: *a",
        "declare it once in the front matter and name its id",
    ),
    "yaml-tag": Code(
        "Tags are not read",
        "The schema decides what a value is.",
        "count: !!int 4",
        "count: 4",
    ),
    "yaml-too-deep": Code(
        "The data is nested too deep",
        "Nothing in the pack language needs it; most often a bracket is missing.",
        "[[[[[[[[[[[[[4]]]]]]]]]]]]]",
        "[4]",
    ),
    "yaml-too-many": Code(
        "One block of data holds too many values",
        "No job needs so many, and a phone could not hold it.",
        "20 001 tools",
        "several packs",
    ),
    "key-twice": Code(
        "A key is written twice",
        "One of the two would be lost without a word.",
        "count: 4\ncount: 5",
        "count: 4",
    ),
    "key-unknown": Code(
        "The pack language has no such key here",
        "A misspelt key would be dropped without a word, and what it says with it.",
        "tourque: 25 N·m",
        "torque: 25 N·m",
    ),
    "key-missing": Code(
        "Something that must be said is not said",
        "It cannot be shown, checked or followed without it.",
        "pump: {kind: part}",
        "pump: {kind: part, name: coolant pump}",
    ),
    "value-missing": Code(
        "A key has no value",
        "An empty value is neither yes nor no.",
        "torque:",
        "torque: 25 N·m",
    ),
    "value-wrong": Code(
        "A value is of the wrong kind",
        "A value that cannot be read cannot be checked.",
        "count: four",
        "count: 4",
    ),
    "choice-unknown": Code(
        "The word is none of those that this key can be",
        "Each word has a meaning that is checked and shown.",
        "kind: hose",
        "kind: connection",
    ),
    "action-unclear": Code(
        "An action names no verb, or two",
        "Each action does one thing to one object, so that it can be counted, undone and checked.",
        "- {disconnect: hose, remove: pump}",
        "- disconnect: hose\n- remove: pump",
    ),
    # ids and order --------------------------------------------------------------------------------
    "id-wrong": Code(
        "The id has signs that an id cannot have",
        "Ids are used in addresses, data and messages.",
        "## Tighten the pump {#Pump Tight}",
        "## Tighten the pump {#pump-tight}",
    ),
    "id-twice": Code(
        "An id is used twice",
        "A tick, a clock, a `needs` or a link could mean either of them.",
        "two steps {#tighten}",
        "{#pump-tight} and {#pipe-tight}",
    ),
    "name-unknown": Code(
        "Something is named that nothing declares",
        "A name that leads nowhere cannot be shown, ordered, counted or waited for.",
        "- tighten: pump-bolt",
        "- tighten: pump-bolts",
    ),
    "answer-unknown": Code(
        "A condition names an answer that its question does not have",
        "A condition that no answer meets hides its step for ever.",
        "when: {pipe-bolts: three}",
        "when: {pipe-bolts: two}",
    ),
    "needs-circle": Code(
        "Steps need each other in a circle",
        "None of them could ever be begun.",
        "a needs b, b needs a",
        "b needs a",
    ),
    "needs-later": Code(
        "A step needs something that is printed later",
        "The printed order must be one that can be followed.",
        "needs: [a step further down]",
        "needs: [a step further up]",
    ),
    "unused": Code(
        "Something is declared and never used",
        "It is either forgotten in a step, or needless on the list.",
        "items: {heat-shield: …} and no step that removes it",
        "- remove: heat-shield",
    ),
    # the Markdown ---------------------------------------------------------------------------------
    "no-steps": Code(
        "The pack has no step",
        "A job is followed step by step.",
        "# Make safe",
        "# Make safe\n\n## Disconnect the battery",
    ),
    "too-many-steps": Code(
        "The pack has more steps than a phone can hold",
        "Nobody could follow them.",
        "2 001 steps",
        "several packs",
    ),
    "title-missing": Code(
        "A heading has no words",
        "The heading is what is read at arm's length.",
        "## {#pump-tight}",
        "## Tighten the pump {#pump-tight}",
    ),
    "phase-empty": Code(
        "A phase has no step",
        "Text alone cannot be ticked.",
        "# Make safe",
        "# Make safe\n\n## Disconnect the battery",
    ),
    "step-misplaced": Code(
        "A step stands before the first phase",
        "Phases are how a person finds the way in a long job.",
        "## Disconnect the battery",
        "# Make safe\n\n## Disconnect the battery",
    ),
    "prose-misplaced": Code(
        "Text stands before the first phase",
        "It belongs to no step, so nobody would see it.",
        "Read this first. …",
        "summary: Read this first. …",
    ),
    "step-data-missing": Code(
        "A step has no data",
        "Without data there is no time, no figure and no check.",
        "## Tighten the pump",
        "## Tighten the pump\n\n```step\nhands-on: 6 min\nactions:\n  - tighten: pump-bolts\n```",
    ),
    "step-data-misplaced": Code(
        "A block of step data belongs to no step",
        "Data without a step would be lost.",
        "# Make safe\n\n```step",
        "# Make safe\n\n## Disconnect the battery\n\n```step",
    ),
    "step-data-unclosed": Code(
        "A block of step data has no end",
        "Everything below would be read as data, and every step after it lost.",
        "```step\nhands-on: 3 min\n\nNegative first.",
        "```step\nhands-on: 3 min\n```\n\nNegative first.",
    ),
    "step-data-twice": Code(
        "A step has two blocks of data",
        "One of the two would be lost without a word.",
        "two ```step blocks under one heading",
        "one block, or two steps",
    ),
    "block-unknown": Code(
        "A named block is not step data",
        "The only block with a name is a step's data.",
        "```steps",
        "```step",
    ),
    "html-off": Code(
        "Raw HTML stands in the prose",
        "Packs are Markdown alone, so that nothing in them can act on a phone.",
        "<b>Stop.</b>",
        "**Stop.**",
    ),
    "link-wrong": Code(
        "A link leads out of the pack, and not to the web",
        "A pack stands alone on the phone: a link can lead to one of its steps, or to the web.",
        "[the torques](../torques.md)",
        "[the torques](#pump-tight)",
    ),
    # amounts --------------------------------------------------------------------------------------
    "amount-unclear": Code(
        "An amount can be read in two ways, or in none",
        "The wrong guess is ten times the torque, and the thread goes with it.",
        "torque: 25,5 N·m",
        "torque: 25.5 N·m",
    ),
    "unit-unknown": Code(
        "The unit is none that is known",
        "A unit that is guessed at is a figure that is guessed at.",
        "torque: 25 Nn",
        "torque: 25 N·m",
    ),
    "unit-wrong-kind": Code(
        "The unit measures something else",
        "A torque is not an energy, and a temperature is not a time.",
        "torque: 25 mm",
        "torque: 25 N·m",
    ),
    "prose-disagrees": Code(
        "The prose says one amount, the data another",
        "Somebody will use the wrong one.",
        "torque: 20 lbf·ft, and in the prose “to 25 lbf·ft”",
        "the same amount in both; or `mentions: [25 lbf·ft]` when it is something else",
    ),
    "prose-untyped": Code(
        "An action or a torque stands in the prose alone",
        "It is not checked, not followed bolt by bolt, and not on the list of what is open. A torque without "
        "data is an error; an action without data is a warning, which `silence` can turn off for a pack.",
        "“Tighten to 20 lbf·ft.” with no action",
        "actions: [tighten: pump-bolts]",
    ),
    "prose-long": Code(
        "A sentence of the prose has more than 20 words",
        "With dirty hands it is read twice. `silence` turns this off for a pack.",
        "Slide the pan under the drain, which is behind the lower hose on the left, and see that nothing "
        "stands in the way of the stream.",
        "Slide the pan under the drain. It is behind the lower hose on the left. Keep the way free.",
    ),
    "prose-two-actions": Code(
        "One sentence of the prose says two actions",
        "The second is the one that is forgotten. `silence` turns this off for a pack.",
        "Shut the drain and tighten the bolts.",
        "Shut the drain. Tighten the bolts.",
    ),
    # declarations ---------------------------------------------------------------------------------
    "count-missing": Code(
        "Something has no count and no amount",
        "Fasteners out must equal fasteners in, and what has no amount cannot be bought.",
        "pump-bolts: {name: pump bolts, thread: M8x1.25}",
        "pump-bolts: {name: pump bolts, count: 4, thread: M8x1.25}",
    ),
    "count-wrong": Code(
        "Two counts of the same thing differ",
        "The odd bolt is in the valley, or missing from the joint.",
        "count: 4, pattern: {circle: 5}",
        "count: 4, pattern: {circle: 4}",
    ),
    "thread-unclear": Code(
        "The thread cannot be read",
        "Strength, drill and figure all hang on the thread.",
        "thread: 8 mm",
        "thread: M8x1.25",
    ),
    "pattern-wrong": Code(
        "A pattern names no layout, or more than one",
        "One drawing shows one layout.",
        "pattern: {circle: 4, row: 4}",
        "pattern: {circle: 4}",
    ),
    "passes-wrong": Code(
        "The passes do not rise to the full figure, or one is asked for that is not there",
        "The last pass is what holds the joint.",
        "passes: [50 %, 80 %]",
        "passes: [50 %, 100 %]",
    ),
    "figure-missing": Code(
        "A group is tightened or turned, but has no figure for it",
        "A bolt without a figure is tight by guess.",
        "pump-bolts: {name: pump bolts, count: 4, thread: M8x1.25}",
        "… torque: 20 lbf·ft, or touch-plus: 1/4 turn, or snug: true",
    ),
    "figure-twice": Code(
        "A group has two ways to be tight",
        "Two ways are two different clamp loads.",
        "torque: 20 lbf·ft, snug: true",
        "torque: 20 lbf·ft",
    ),
    "sealant-incomplete": Code(
        "A sealant lacks a time that its method needs",
        "Each method hangs on its own time, and full cure is always another.",
        "method: close-wet, to-fluid: 24 h",
        "method: close-wet, open-time: 10 min, to-fluid: 24 h",
    ),
    "sealant-times": Code(
        "A sealant is fully cured before it has set",
        "One of the two times was mistaken for the other.",
        "to-torque: 24 h, to-fluid: 1 h",
        "to-torque: 1 h, to-fluid: 24 h",
    ),
    "wait-wrong": Code(
        "The numbers of a wait do not fit together",
        "A clock may lengthen what the label says, never shorten it.",
        "least: 30 min, most: 10 min",
        "least: 10 min, most: 30 min",
    ),
    "reading-open": Code(
        "A reading cannot be judged, or does not say what to do",
        "A value that cannot be judged proves nothing; a bad value leaves a person standing there.",
        "oil-pressure: {ask: Oil pressure at idle?}",
        "oil-pressure: {ask: Oil pressure at idle?, range: at least 1.0 bar, if-outside: Stop the engine.}",
    ),
    "hazard-fact": Code(
        "A danger or warning has no fact to answer it with",
        "“OK” is tapped without reading; a fact has to be looked at.",
        "word: danger, and no fact",
        "fact: {ask: What does it stand on?, statement: Stands locked and shaken}",
    ),
    # pictures -------------------------------------------------------------------------------------
    "picture-missing": Code(
        "A picture is not in the pack's folder",
        "The step would show an empty box.",
        "![Housing bolts](bolt.svg)",
        "![Housing bolts](bolts.svg)",
    ),
    "picture-outside": Code(
        "A picture is not a file of the pack's folder",
        "A pack stands alone: nothing is fetched from elsewhere on the disk or the network.",
        "![Housing bolts](../other/bolts.svg)",
        "![Housing bolts](bolts.svg)",
    ),
    "picture-no-alt": Code(
        "A picture has no words",
        "A screen reader, and a sheet whose picture is missing, have nothing else.",
        "![](bolts.svg)",
        "![Housing bolts, numbered in tightening order](bolts.svg)",
    ),
    "picture-unfit": Code(
        "A picture cannot be shown safely",
        "A drawing must not act or fetch; a photo must be one that every phone can show.",
        "an SVG with a script, a BMP, a photo of 12 MB",
        "a plain SVG line drawing; a PNG, JPEG or WebP under 2 MB",
    ),
    # acceptance -----------------------------------------------------------------------------------
    "accept-refused": Code(
        "This finding cannot be accepted",
        "It can hurt someone, or the pack cannot be read with it.",
        "accept: [{code: figure-missing, at: pump-bolts, reason: it is always fine}]",
        "cure what the finding says",
    ),
    "accept-unused": Code(
        "An acceptance matches no finding",
        "An acceptance of nothing hides the next real finding.",
        "accept: [{code: R54, at: pump-bolts, …}] where there is no R54",
        "remove it",
    ),
    # bounds of the proof -----------------------------------------------------------------------------
    "answers-too-many": Code(
        "One thing hangs on too many questions",
        "Every combination of answers that touches a thing is walked, up to a bound. Beyond it a fault could "
        "stay hidden.",
        "a plug that nine steps move, each under a question of its own",
        "fewer questions in the steps that move it, or a pack for each kind of vehicle",
    ),
    "order-too-free": Code(
        "One thing is moved in too many orders",
        "Every order that `needs` allow is walked, up to a bound. Beyond it a fault could stay hidden.",
        "twelve steps with `needs: []` that all open or shut the same drain",
        "`needs` that say which of them comes first",
    ),
}
