"""The command `droplight`. Exit 0: all well; 1: an error was found, or no honest answer; 2: wrong usage."""

from __future__ import annotations

import json
import os
import shlex
import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

import click

from webapp import __version__, places
from webapp.compile import Result, compile_folder
from webapp.pack.findings import did_you_mean, listed
from webapp.trade.units import Figure
from webapp.trade.units import show as show_in

if TYPE_CHECKING:
    from webapp.figures import Problems
    from webapp.sheet.page import Paper, Units
    from webapp.trade.answer import Answer, Declared
    from webapp.trade.refusal import Refused


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, package_name="droplight", message="droplight %(version)s")
def main() -> None:
    """A job written in Markdown becomes steps on a phone under the hood and a sheet on the wall."""


class PackFolder(click.ParamType):
    """A pack: its folder, its pack.md, or the slug of one that ships."""

    name = "pack"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> Path:
        """Return the folder that holds the pack."""
        text = str(value)
        shipped = sorted(path.parent.name for path in places.CONTENT.glob("*/pack.md"))
        folder = folder_of(Path(text)) or (places.CONTENT / text if text in shipped else None)
        if not folder and (inside := packs_in(Path(text))):
            self.fail(
                f"“{text}” is a folder of packs, not a pack. "
                f"Name the packs: {Path(text) / '*'} for all, {inside[0]} for one.",
                param,
                ctx,
            )
        if not folder:
            self.fail(
                f"“{text[:80]}” is no folder with a pack.md, and no pack of that name ships"
                f"{did_you_mean(text, shipped) or '.'} Those that ship: {listed(shipped) or 'none'}.",
                param,
                ctx,
            )
        return folder


def folder_of(path: Path) -> Path | None:
    """Return the folder of a pack that is named by its folder or by its pack.md, as it was written."""
    try:
        if path.name == "pack.md" and path.is_file():
            return path.parent
        return path if (path / "pack.md").is_file() else None
    except (OSError, ValueError):  # a name that no file can have
        return None


def packs_in(path: Path) -> list[Path]:
    """Return the folders in a folder that hold a pack."""
    try:
        return sorted(found.parent for found in path.glob("*/pack.md"))
    except (OSError, ValueError):  # a name that no file can have
        return []


@main.command()
@click.argument("packs", metavar="PACK…", type=PackFolder(), nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
def check(packs: tuple[Path, ...], as_json: bool) -> None:
    """Say what is wrong with packs: where, what, why it matters, what to write instead."""
    results = {folder: compile_folder(folder) for folder in packs}
    if as_json:
        found = [
            {
                "pack": str(folder),
                "hash": result.pack.hash if result.pack else None,
                "findings": [finding.plain() for finding in result.findings],
            }
            for folder, result in results.items()
        ]
        click.echo(json.dumps(found, ensure_ascii=False, indent=2))
    else:
        for folder, result in results.items():
            show(folder, result)
    sys.exit(1 if any(result.pack is None for result in results.values()) else 0)


def show(folder: Path, result: Result) -> None:
    """Print what the compiler says about one pack, coloured when somebody looks at a terminal."""
    for finding in result.findings:
        if sys.stdout.isatty():
            from rich.console import Console

            console = Console(highlight=False)
            first, _, rest = finding.text().partition("\n")
            console.print(
                first, style="bold red" if finding.severity == "error" else "bold yellow", markup=False
            )
            console.print(rest + "\n", markup=False, soft_wrap=True)
        else:
            click.echo(finding.text() + "\n")
    count = Counter(finding.severity for finding in result.findings)
    said = ", ".join(
        f"{count[kind]} {kind}{'s' * (count[kind] != 1)}" for kind in ("error", "warning") if count[kind]
    )
    compiled = f"compiles, {len(result.pack.steps)} steps" if result.pack else "does not compile"
    click.echo(f"{folder.resolve().name}: {compiled}{'; ' + said if said else ''}")
    if count:
        codes = ", ".join(dict.fromkeys(finding.code for finding in result.findings))
        click.echo(f"More about a code: droplight explain CODE  ({codes})")


@main.command()
@click.argument("code", metavar="CODE")
def explain(code: str) -> None:
    """Say what the code of a finding means, whether it may be accepted, and what is wrong and what right."""
    from webapp.proof.explain import explanations

    every = explanations()
    known = every.get(code)
    if not known:
        raise click.UsageError(f"There is no finding “{code[:60]}”{did_you_mean(code, every)}")
    click.echo(known.text())


@main.command()
def schema() -> None:
    """Print the JSON Schema of a pack's front matter and steps."""
    from webapp.pack.reference import json_schema

    click.echo(json.dumps(json_schema(), ensure_ascii=False, indent=2))


@main.command()
@click.argument("name", metavar="[NAME]", required=False)
@click.argument("given", metavar="[ASK=TEXT…]", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def figure(name: str | None, given: tuple[str, ...], as_json: bool) -> None:
    """Work out a figure of the trade: a wrench's setting, a drill, a mixture, a power.

    Without a name it lists the figures; with a name alone it says what that one asks.
    """
    from webapp import figures
    from webapp.trade.refusal import Refused

    if name is None:
        show_figures(figures.GROUPS, as_json)
        return
    try:
        declared = figures.find(name)
    except figures.Unknown as unknown:
        raise click.UsageError(unknown.what) from unknown
    if not given:
        show_asks(declared, as_json)
        return
    try:
        answer = figures.ask(declared, texts_of(given))
    except figures.Problems as problems:
        show_problems(problems, as_json)
        sys.exit(2)
    except Refused as refused:
        show_refusal(refused, as_json)
        sys.exit(1)
    if as_json:
        click.echo(json.dumps(figures.plain(answer), ensure_ascii=False, indent=2))
    else:
        show_answer(answer)


def texts_of(given: tuple[str, ...]) -> dict[str, str]:
    """Return what was written as ASK=TEXT, by ask."""
    texts: dict[str, str] = {}
    for written in given:
        key, equals, text = written.partition("=")
        if not equals:
            raise click.UsageError(
                f"“{written[:60]}” is not ASK=TEXT. Quote what holds a space: 'length=9/16 in'."
            )
        if key in texts:
            raise click.UsageError(
                f"“{key[:60]}” is given twice. Several entries of a list are parted by “;”."
            )
        texts[key] = text
    return texts


def show_figures(groups: dict[str, tuple[Declared, ...]], as_json: bool) -> None:
    """Print what figures there are and what each is for."""
    if as_json:
        found = [
            {"name": one.name, "title": one.title, "what": one.what}
            for group in groups.values()
            for one in group
        ]
        click.echo(json.dumps(found, ensure_ascii=False, indent=2))
        return
    width = max(len(one.name) for group in groups.values() for one in group)
    for title, group in groups.items():
        click.echo(title)
        for one in group:
            click.echo(f"  {one.name:{width}}  {one.title}. {one.what.rstrip('.')}.")
    click.echo("\nWhat one of them asks: droplight figure NAME")


def show_asks(declared: Declared, as_json: bool) -> None:
    """Print what a figure asks, with an example of each and of the whole command."""
    from webapp.figures import of_many_lines, units_of

    if as_json:
        asks = [
            {
                "name": ask.name,
                "ask": ask.ask,
                "kind": ask.kind,
                "example": ask.example,
                "required": ask.required,
                "many": ask.many,
                "choices": list(ask.choices),
                "help": ask.help,
            }
            for ask in declared.asks
        ]
        found = {"name": declared.name, "title": declared.title, "what": declared.what, "asks": asks}
        click.echo(json.dumps(found, ensure_ascii=False, indent=2))
        return
    click.echo(f"{declared.name}: {declared.title}\n\n{declared.what.rstrip('.')}.\n")
    for ask in declared.asks:
        click.echo(f"  {ask.name}{'' if ask.required else '  (may be left out)'}")
        click.echo(f"      {ask.ask}")
        for words in (
            ask.help,
            f"one of: {', '.join(ask.choices)}" if ask.choices else "",
            f"units: {', '.join(units_of(ask))}" if units_of(ask) else "",
            "several are parted by “;”" if ask.many and not of_many_lines(ask) else "",
            "several are parted by an empty line" if ask.many and of_many_lines(ask) else "",
        ):
            if words:
                click.echo(f"      {words}")
    example = [shlex.quote(f"{ask.name}={ask.example}") for ask in declared.asks if ask.example]
    click.echo(f"\nFor example: {' '.join(['droplight figure', declared.name, *example])}")


def show_answer(answer: Answer) -> None:
    """Print an answer with all that belongs to it."""
    for line in answer.lines:
        other = f"  ({'  '.join(others)})" if line.figure and (others := converted(line.figure)) else ""
        click.echo(f"{line.label}: {line.text}{other}")
    for title, texts in (
        ("Working", answer.working),
        ("Source", (answer.source,)),
        ("Holds for", (answer.validity,)),
        ("Mind", answer.cautions),
    ):
        if texts:
            click.echo(f"\n{title}")
        for text in texts:
            click.echo(f"  {text}")


def converted(figure: Figure) -> list[str]:
    """Return a figure in the systems of units that are not its own."""
    shown = dict.fromkeys(show_in(figure, system) for system in ("us", "si"))
    return [text for text in shown if text != figure.written]


def show_problems(problems: Problems, as_json: bool) -> None:
    """Print what cannot be read, field by field; to the errors, where a person looks at it."""
    if as_json:
        found = [problem.plain() for problem in problems.problems]
        click.echo(json.dumps({"problems": found}, ensure_ascii=False, indent=2))
        return
    for problem in problems.problems:
        click.echo(f"{problem.field}\n{three(problem.what, problem.why, problem.write)}\n", err=True)


def show_refusal(refused: Refused, as_json: bool) -> None:
    """Print why there is no honest answer."""
    if as_json:
        said = {"what": refused.what, "why": refused.why, "write": refused.write}
        click.echo(json.dumps({"refused": said}, ensure_ascii=False, indent=2))
        return
    click.echo(f"No honest answer\n{three(refused.what, refused.why, refused.write)}", err=True)


def three(what: str, why: str, write: str) -> str:
    """Return the three lines that every complaint has."""
    return f"  what   {what}\n  why    {why}\n  write  {write}"


@main.command()
@click.argument("pack", metavar="PACK", type=PackFolder())
@click.option(
    "-o",
    "--output",
    required=True,
    type=click.Path(dir_okay=False, allow_dash=True, path_type=Path),
    help="The PDF to write; - for standard output.",
)
@click.option(
    "--answer", "given", metavar="QUESTION=ANSWER", multiple=True, help="An answer; may be repeated."
)
@click.option("--units", type=click.Choice(["us", "si", "both"]), help="The author's own when left out.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
def sheet(pack: Path, output: Path, given: tuple[str, ...], units: Units | None, paper: Paper) -> None:
    """Print the job sheet of a pack to a PDF."""
    if not os.path.isdir(output.parent):  # unlike Path.is_dir, takes any name
        raise click.UsageError(f"{output} cannot be written: the folder {output.parent} does not exist.")
    result = compile_folder(pack)
    if not result.pack:
        show(pack, result)
        sys.exit(1)
    from webapp.plan.answers import AnswerError
    from webapp.sheet import SheetError, make_sheet

    answers = {name: answer for name, _, answer in (text.partition("=") for text in given)}
    try:
        pdf = make_sheet(result.pack, answers, units or result.pack.front.units, paper)
    except AnswerError as error:
        raise click.UsageError(str(error)) from error
    except SheetError as error:
        raise click.ClickException(str(error)) from error
    if str(output) == "-":
        sys.stdout.buffer.write(pdf)
        return
    try:
        output.write_bytes(pdf)
    except OSError as error:
        raise click.UsageError(f"{output} cannot be written: {error.strerror or error}.") from error
    click.echo(f"{output}: {result.pack.front.title}")


@main.command()
@click.option("--port", type=click.IntRange(1, 65535), default=8321, show_default=True)
@click.option(
    "--packs",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=places.CONTENT,
    help="The folder that holds the packs' folders; those that ship when left out.",
)
def serve(port: int, packs: Path) -> None:
    """Serve packs to a browser on this machine, until Ctrl-C."""
    from webapp import serve as server

    try:
        server.claim(port)
    except server.PortTakenError as error:
        raise click.UsageError(str(error)) from error
    click.echo(f"Droplight serves {packs} at http://{server.HOST}:{port}/  (Ctrl-C stops it)")
    server.serve(port, packs.absolute())
