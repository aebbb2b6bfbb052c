"""Data → types. Every error of every value becomes a finding; what is well typed goes on being checked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from . import schema
from .actions import VERBS, action_unclear, verb_of
from .draft import Draft, StepDraft
from .fields import AmountOf, Strict
from .findings import Place, did_you_mean, listed, nearest
from .yamltree import Mapping, Path, Refused, Spot, Tree, read_yaml, words_of

M = TypeVar("M", bound=BaseModel)

STAND_INS: dict[type[BaseModel], dict[str, Any]] = {
    schema.FrontMatter: {
        "title": "-",
        "vehicle": "-",
        "summary": "-",
        "for": "-",
        "not-for": ["-"],
        "units": "si",
    },
    schema.Step: {"hands-on": "1 min"},
}
"""What stands in for a missing value so that the rest is still checked; such a pack never compiles."""


def type_front_matter(draft: Draft) -> None:
    """Type the front matter."""
    if draft.front_tree:
        draft.front = read_model(draft, schema.FrontMatter, draft.front_tree, Place(draft.file, 1, 1, 3))


def type_steps(draft: Draft) -> None:
    """Read and type the data of every step."""
    for outline in draft.outline.steps() if draft.outline else ():
        tree = Tree(Mapping(()), {}, outline.place)
        data = None
        errors = draft.errors
        if outline.block:
            try:
                tree, found = read_yaml(outline.block.text, draft.file, outline.block.line)
            except Refused as refused:
                draft.add([refused.finding])
                draft.unread.update(words_of(outline.block.text))
            else:
                draft.add(found)
                data = read_model(draft, schema.Step, tree, outline.place)
        draft.steps.append(StepDraft(outline.id, outline.place, tree, data, draft.errors == errors))


def read_model(draft: Draft, cls: type[M], tree: Tree, owner: Place) -> M | None:
    """Return the typed model, or what is left of it after dropping what could not be typed.

    owner: the place that a missing key is reported at.
    """
    unknown: list[tuple[Mapping, str, type[Strict]]] = []
    empty: list[tuple[Mapping, str]] = []
    problems: list[ErrorDetails] = []
    model: M | None = None
    try:
        model = cls.model_validate(tree.root, context={"unknown": unknown, "empty": empty})
    except ValidationError as error:
        problems = error.errors(include_url=False)
    if not unknown and not empty and not problems:
        return model
    spoiled = [path_of(tree, problem["loc"]) for problem in problems]
    meant: set[Path] = set()  # keys that are there, but misspelt
    for mapping, key, holder in unknown:
        spoiled.append((*mapping.path, key))
        meant.add((*mapping.path, nearest(key, holder.keys()) or ""))
        draft.report(
            "key-unknown",
            tree.key_place((*mapping.path, key)),
            f"“{key[:60]}” is no key here{did_you_mean(key, holder.keys())}",
            "a misspelt key would be dropped without a word, and what it says with it",
            f"one of: {listed(holder.keys(), 30)}",
        )
    for mapping, key in empty:
        if mapping.get(key) is None and (*mapping.path, key) not in spoiled:
            spoiled.append((*mapping.path, key))
            draft.report(
                "value-missing",
                tree.place((*mapping.path, key)),
                f"`{key}` has no value",
                "an empty value is neither yes nor no",
                f"{key}: {example(cls, (*mapping.path, key))}, or leave the key out",
            )
    for problem in problems:
        if problem["type"] != "missing" or (*path_of(tree, problem["loc"]), problem["loc"][-1]) not in meant:
            report_problem(draft, cls, tree, owner, problem)
    draft.unread.update(words_of(drop(tree, spoiled)))
    for key, value in STAND_INS[cls].items():
        if tree.root.get(key) is None:
            tree.root[key] = value
    try:
        return cls.model_validate(tree.root)
    except ValidationError:
        return None


def path_of(tree: Tree, loc: tuple[str | int, ...]) -> Path:
    """Return the path in the tree that a validation error speaks of; names of types in it are passed over."""
    node: Any = tree.root
    path: Path = ()
    for at, part in enumerate(loc):
        if path[:1] == ("actions",) and at == 2 and loc[3:] and part in node:
            continue  # the verb, which names the action's type here and not its key
        index = isinstance(node, list) and isinstance(part, int) and part < len(node)
        if index or (isinstance(node, dict) and part in node):
            node = node[part]
            path = (*path, part)
    return path


def drop(tree: Tree, paths: list[Path]) -> list[Any]:
    """Take what could not be typed out of the tree, and return it: entries of tables and lists, or keys."""
    dropped: list[Any] = []
    holes: dict[str, list[int]] = {}
    for key, *entry in {path[:2] for path in paths if path}:
        owner = tree.root.get(str(key))
        if entry and isinstance(owner, list):
            holes.setdefault(str(key), []).append(int(entry[0]))
        elif entry and isinstance(owner, dict):
            dropped.append({str(entry[0]): owner.pop(str(entry[0]), None)})
        else:
            dropped.append({str(key): tree.root.pop(str(key), None)})
    for name, bad in holes.items():
        entries = tree.root.get(name, [])
        dropped += [one for at, one in enumerate(entries) if at in bad]
        entries[:] = [one for at, one in enumerate(entries) if at not in bad]
    if holes:
        tree.spots = dict(close_holes(tree.spots, holes))
    return dropped


def close_holes(
    spots: dict[Path, tuple[Spot, Spot]], holes: dict[str, list[int]]
) -> Iterator[tuple[Path, tuple[Spot, Spot]]]:
    """Yield the spots of a tree after entries of its lists are gone, so that the others keep theirs."""
    for path, found in spots.items():
        bad = holes.get(str(path[0])) if len(path) > 1 else None
        if not bad:
            yield path, found
        elif path[1] not in bad:
            at = int(path[1])
            yield (path[0], at - sum(one < at for one in bad), *path[2:]), found


def report_problem(
    draft: Draft, cls: type[BaseModel], tree: Tree, owner: Place, problem: ErrorDetails
) -> None:
    """Turn one validation error into a finding."""
    kind, loc = problem["type"], problem["loc"]
    path = path_of(tree, loc)
    place = tree.place(path) if path else owner
    context = problem.get("ctx", {})
    key = next((str(part) for part in reversed(path) if isinstance(part, str)), "this")
    value = problem.get("input")
    if kind == "finding":
        draft.report(context["code"], place, context["what"], context["why"], context["write"])
    elif kind == "union_tag_not_found":
        draft.report("action-unclear", place, *action_unclear(value))
    elif kind == "missing":
        missing = str(loc[-1])
        owner_place = tree.key_place(path) if path else owner
        if not path:
            noun = "the front matter" if cls is schema.FrontMatter else "this step's data"
        else:
            noun = f"“{path[-1] if isinstance(path[-1], str) else verb_of(value) or 'this entry'}”"
        draft.report(
            "key-missing",
            owner_place,
            f"{noun} has no `{missing}`",
            "it cannot be shown, checked or followed without it",
            f"{missing}: {example(cls, loc)}",
        )
    elif kind == "literal_error":
        words = [
            word.strip("' ") for word in str(context.get("expected", "")).replace(" or ", ", ").split(", ")
        ]
        draft.report(
            "choice-unknown",
            place,
            f"“{str(value)[:60]}” is none of the words that `{key}` can be{did_you_mean(str(value), words)}",
            "each word has a meaning that is checked and shown",
            f"one of: {listed(words, 30)}",
        )
    elif kind == "string_pattern_mismatch":
        draft.report(
            "id-wrong",
            tree.key_place(path) if loc[-1] == "[key]" else place,
            f"“{str(value)[:60]}” cannot be an id",
            "ids are used in addresses, data and messages",
            "small letters, digits and hyphens, beginning with a letter: pump-bolts",
        )
    else:
        what, write = WRONG.get(kind, ("has a value of the wrong kind", ""))
        what = "has no value" if value is None else what.format(**context)
        if not write or (value is None and kind != "not_a_mapping"):
            write = f"{key}: {example(cls, loc)}"
        draft.report(
            "value-missing" if value is None else "value-wrong",
            place,
            f"`{key}` {what}" + (f" (“{value[:60]}”)" if isinstance(value, str) else ""),
            "a value that cannot be read cannot be checked",
            write.format(key=key, **context),
        )


WRONG = {
    "int_parsing": ("is not a whole number", "{key}: 4"),
    "int_from_float": ("is not a whole number", "{key}: 4"),
    "bool_parsing": ("is neither true nor false", "{key}: true"),
    "float_parsing": ("is not a number", "{key}: 1.5"),
    "finite_number": ("is not a number", "{key}: 1.5"),
    "greater_than_equal": ("is less than {ge}", "{ge} or more"),
    "less_than_equal": ("is more than {le}", "{le} or less"),
    "string_too_long": ("has more than {max_length} characters", "a shorter text"),
    "string_too_short": ("has fewer than {min_length} characters", "a fuller text"),
    "too_short": ("has fewer than {min_length} entries", "at least {min_length} entries"),
    "too_long": ("has more than {max_length} entries", "at most {max_length} entries"),
    "string_type": ("is a list or a mapping where a text is meant", "{key}: some words"),
    "dict_type": ("is not a table of ids", "{key}: followed by one “id: …” a line"),
    "list_type": ("is not a list", "{key}: [one, two]"),
    "amount": ("is not an amount", "{key}: {example}"),
    "not_a_mapping": ("is not “key: value” data", "the keys {keys} …"),
}
"""Pydantic's error types in a person's words: what is wrong, and what to write."""


def example(cls: type[BaseModel], loc: tuple[str | int, ...]) -> str:
    """Return an example of what belongs at a place of the schema, from its description or its type."""
    model: Any = cls
    found: Any = None
    for at, part in enumerate(loc):
        if loc[0] == "actions" and at == 2 and part in VERBS:
            model = VERBS[str(part)]  # the verb, which names the action's type
        elif isinstance(model, type) and issubclass(model, BaseModel):
            field = next((f for name, f in model.model_fields.items() if part in (name, f.alias)), None)
            if field is None:
                continue
            found = field
            model = inner_model(field.annotation)
    if found is None:
        return "…"
    amount = find_mark(found.annotation, tuple(found.metadata), AmountOf)
    if amount:
        return str(amount.examples[0])
    words = choices(found.annotation)
    if words:
        return " | ".join(words)
    return str(found.description or "some words")


def choices(annotation: Any) -> list[str]:
    """Return the words of a Literal, or nothing."""
    if get_origin(annotation) is Literal:
        return [str(word) for word in get_args(annotation)]
    return [word for inner in get_args(annotation) for word in choices(inner)]


def inner_model(annotation: Any) -> Any:
    """Return the model inside an annotation such as dict[Id, Item] or list[Lengths]."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in get_args(annotation):
        model = inner_model(inner)
        if model is not None:
            return model
    return None


def find_mark(annotation: Any, metadata: tuple[Any, ...], kind: type) -> Any:
    """Return the first mark of a kind in a type, or None."""
    for mark in (*metadata, *getattr(annotation, "__metadata__", ())):
        if isinstance(mark, kind):
            return mark
    if get_origin(annotation) is Literal:
        return None
    for inner in get_args(annotation):
        found = find_mark(inner, (), kind)
        if found:
            return found
    return None
