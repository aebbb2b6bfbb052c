"""The bench: the figures of the trade, each a form whose answer is a plain link, with its working."""

from __future__ import annotations

from flask import Blueprint, Response, make_response, render_template, request
from markupsafe import Markup, escape
from werkzeug.exceptions import RequestEntityTooLarge

from webapp import figures
from webapp.drawing import adapter_svg, pattern_svg
from webapp.graph import graph_svg, said
from webapp.pack.amounts import Amount
from webapp.pack.render import quantity_html
from webapp.trade.answer import Answer, Ask, Declared, Line
from webapp.trade.refusal import Refused
from webapp.trade.units import Figure

from ..errors import Gone, Unclear

bp = Blueprint("bench", __name__, template_folder="templates")

ON_THE_PHONE = ("wrench", "adapter", "drill", "cure", "cool-down", "freeze", "protect", "fill", "convert")
"""What is needed at the car: these pages are kept, and static/js/bench answers them without a network."""

FILL = "fill-in"  # no name of an ask holds a hyphen
LARGEST = 2_000_000  # bytes of a form: a table takes up to three times its size on the way
POINTS = 200  # rows of a table beside a drawing


@bp.get("/bench")
def bench() -> str:
    """Show every figure and what it is for."""
    return render_template("bench/bench.html", groups=figures.GROUPS)


@bp.route("/bench/<name>", methods=["GET", "POST"])
def figure(name: str) -> Response:
    """Ask for one figure, and show its answer when something is asked; only the answer when htmx asks."""
    try:
        declared = figures.find(name)
    except figures.Unknown as unknown:
        raise Gone(unknown.what, "The bench lists every figure there is.") from unknown
    texts, asked = typed(declared)
    fields, folded = in_order(declared)
    view = "bench/_answer.html" if htmx_part() else "bench/figure.html"
    response = make_response(
        render_template(
            view,
            declared=declared,
            texts=texts,
            tables=any(map(figures.of_many_lines, declared.asks)),
            many_lines=figures.of_many_lines,
            units_of=figures.units_of,
            usual_units=figures.usual_units,
            fill=FILL,
            fields=fields,
            folded=folded,
            more_said=any(texts[one.name] for one in declared.asks if not one.required),
            on_the_phone=declared.name in ON_THE_PHONE,
            part=htmx_part(),
            **(answered(declared, texts) if asked else NOTHING),
        )
    )
    response.vary.add("HX-Request")  # or a browser might show the part where the page belongs
    return response


def htmx_part() -> bool:
    """Return whether htmx asks for the answer alone, and not for a page it has lost."""
    return "HX-Request" in request.headers and "HX-History-Restore-Request" not in request.headers


def typed(declared: Declared) -> tuple[dict[str, str], bool]:
    """Return what was typed into each field, and whether anything was asked at all."""
    if request.args.get(FILL):
        return figures.examples(declared), True
    request.max_form_memory_size = request.max_content_length = LARGEST
    try:
        given = request.form if request.method == "POST" else request.args
    except RequestEntityTooLarge as error:
        raise Unclear(
            "That is more than a figure needs", "Go back and send fewer rows, such as every tenth."
        ) from error
    names = [one.name for one in declared.asks]
    asked = request.method == "POST" or any(name in given for name in names)
    return {name: given.get(name, "") for name in names}, asked


FEW = 5  # fields that fit under a thumb: with more, those that may be left blank are folded away


def in_order(declared: Declared) -> tuple[list[Ask], bool]:
    """Return the fields as they stand, and whether those that may be left blank are folded away."""
    asks = list(declared.asks)
    if len(asks) <= FEW or all(one.required for one in asks):
        return asks, False
    return sorted(asks, key=lambda one: not one.required), True


NOTHING: dict[str, object] = {"answer": None, "refused": None, "problems": {}}


def answered(declared: Declared, texts: dict[str, str]) -> dict[str, object]:
    """Return the answer, or why there is none: as a whole, or by field."""
    try:
        return {**NOTHING, "answer": figures.ask(declared, texts)}
    except Refused as refused:
        return {**NOTHING, "refused": refused}
    except figures.Problems as found:
        return {**NOTHING, "problems": {one.field: one for one in found.problems}}


@bp.app_template_filter("figure_line")
def figure_line(line: Line) -> Markup:
    """Return the text of a line, its figure marked up for the unit toggle."""
    if line.figure is None:
        return escape(line.text)
    before, found, after = line.text.partition(line.figure.written)
    return escape(before) + quantity_html(amount(line.figure)) + escape(after) if found else escape(line.text)


def amount(own: Figure) -> Amount:
    """Return a figure as an amount that was written as it is."""
    return Amount(own.kind, own.form, own.low, own.high, own.nominal, own.unit, own.written, text=own.written)


@bp.app_template_filter("graph")
def graph(answer: Answer, title: str) -> Markup:
    """Return the curves of an answer as a drawing."""
    return graph_svg(answer.curves, answer.axes or ("", ""), title)


@bp.app_template_filter("drawing")
def drawing(answer: Answer, title: str) -> Markup:
    """Return what an answer looks like at the joint: the bolts in their order, the adapter on its wrench."""
    value = answer.value
    if "positions" in value:
        order = " ".join(map(str, value["order"]))
        return pattern_svg(value["positions"], value["order"], f"{title}: {order}", ring=value["ring"])
    if "extension" in value:
        length, arm = (float(value[name].m_as("mm")) for name in ("length", "extension"))
        angle = float(value["angle"].m_as("degree"))
        said_of_it = f"{title}: the adapter stands at {said(angle)}° to the line of the handle"
        return adapter_svg(length, arm, angle, said_of_it)
    return Markup("")


@bp.app_template_filter("axis_number")
def axis_number(value: float) -> str:
    """Return a number as it stands on an axis."""
    return said(value)


@bp.app_template_filter("some_points")
def some_points(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """Return the points of a curve, or every so many of them where a table would have no end."""
    every = max(1, -(-len(points) // POINTS))
    return list(points[::every])
