"""A sheet as one HTML document that stands alone: its style inside it, its pictures named by the pack."""

from __future__ import annotations

import re
from ipaddress import ip_address
from pathlib import Path
from typing import Literal
from urllib.parse import urlsplit

import segno
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from webapp import places
from webapp.pack.amounts import Amount, read
from webapp.pack.compiled import CompiledPack
from webapp.plan.answers import answered
from webapp.plan.time import duration
from webapp.trade.passes import written_in
from webapp.trade.units import UNITS, Figure, System, show

from .contents import Contents, numbers
from .passed import GATES, Passed

Units = Literal["us", "si", "both"]
Paper = Literal["a4", "letter"]

COLDEST = read("5 °C", "temperature")
"""Below it no moisture-curing sealant is trusted to cure: common practice, no source."""

_TEMPLATES = Path(__file__).with_name("templates")
_QUANTITY = re.compile(
    r'<span class="q q-a-(us|si)"><span class="q-us">(.*?)</span> <span class="q-si">(.*?)</span></span>'
)


def sheet_html(
    pack: CompiledPack,
    answers: dict[str, str],
    units: Units,
    paper: Paper,
    link: str = "",
    passed: tuple[Passed, ...] = (),
) -> str:
    """Return the HTML that a sheet is printed from; see `make_sheet` for the arguments and the errors."""
    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    environment.filters |= {
        "figure": lambda figure: figure_html(figure, units),
        "pass_of": lambda figure, full: pass_html(figure, full, units),
        "prose": lambda html: prose_html(html, units),
        "duration": duration,
        "steps": numbers,
        "symbol": symbol_svg,
    }
    return environment.get_template("sheet.html").render(
        sheet=Contents(pack, answered(pack, answers)),
        paper=paper,
        link=link,
        qr="" if not link or only_here(link) else qr_svg(link),
        coldest=COLDEST,
        passed=passed,
        gates=[words for gate, words in GATES.items() if pack.model.gates.get(gate)],
    )


def figure_html(figure: Figure, units: Units) -> Markup:
    """Return a figure in the chosen units; in both, as its source wrote it, then the other in brackets."""
    author = "us" if UNITS[figure.unit].system == "us" else "si"
    return in_units(shown(figure, "us"), shown(figure, "si"), author, units)


def pass_html(figure: Figure, full: Figure | None, units: Units) -> Markup:
    """Return the figure of a pass in the chosen units, in each on the scale that its full figure is on."""

    def on_the_same_scale(system: System) -> str:
        if full is None or figure is full or UNITS[figure.unit].system == system:
            return shown(figure, system)
        return written_in(figure, shown(full, system).rpartition(" ")[2]) or shown(figure, system)

    author = "us" if UNITS[figure.unit].system == "us" else "si"
    return in_units(on_the_same_scale("us"), on_the_same_scale("si"), author, units)


def shown(figure: Figure, system: System) -> str:
    """Return a figure for readers of one system; an author's amount may carry a second unit of its own."""
    return figure.shown(system) if isinstance(figure, Amount) else show(figure, system)


def prose_html(html: str, units: Units) -> Markup:
    """Return rendered prose with each of its marked quantities in the chosen units."""
    return Markup(  # noqa: S704 - the compiler's own rendering, in which raw HTML is off
        _QUANTITY.sub(lambda found: in_units(Markup(found[2]), Markup(found[3]), found[1], units), html)  # noqa: S704
    )


def in_units(us: str, si: str, author: str, units: Units) -> Markup:
    """Return one quantity as a span that does not break."""
    if us == si:
        return Markup('<span class="q">{}</span>').format(us)
    first, second = (us, si) if (author if units == "both" else units) == "us" else (si, us)
    if units == "both":
        return Markup('<span class="q">{}</span> <span class="q">({})</span>').format(first, second)
    return Markup('<span class="q">{}</span>').format(first)


def symbol_svg(name: str) -> Markup:
    """Return the safety symbol of a hazard as inline SVG."""
    return Markup((places.STATIC / "symbols" / f"{name}.svg").read_text("utf-8"))  # noqa: S704 - our own file


def only_here(link: str) -> bool:
    """Return whether an address leads no further than the machine that it is opened on: no phone gets there.

    Source: RFC 6761, 6.3 (localhost); RFC 1122, 3.2.1.3 and RFC 4291, 2.5.3 (loopback addresses).
    """
    host = urlsplit(link).hostname or ""
    try:
        return ip_address(host).is_loopback
    except ValueError:  # a name
        return host == "localhost" or host.endswith(".localhost")


def qr_svg(link: str) -> Markup:
    """Return the QR code of an address as inline SVG with the address for its title."""
    code = segno.make(link, error="m", micro=False)
    return Markup(code.svg_inline(border=2, omitsize=True, title=f"QR code of the job: {link}"))  # noqa: S704 - segno escapes
