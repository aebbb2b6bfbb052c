"""Prose → HTML with its quantities marked up, so that the unit toggle reaches them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markupsafe import Markup

from webapp.trade.units import UNITS

from .amounts import Amount
from .outline import MARKDOWN
from .pictures import name_of


def quantity_html(amount: Amount) -> Markup:
    """Return an amount as HTML that carries both systems; which one is the author's is told by a class."""
    us, si = amount.shown("us"), amount.shown("si")
    if us == si:
        return Markup('<span class="q">{}</span>').format(us)
    author = UNITS[amount.unit].system
    return Markup(
        '<span class="q q-a-{}"><span class="q-us">{}</span> <span class="q-si">{}</span></span>'
    ).format(author, us, si)


def render(tokens: Sequence[Token], files: dict[str, Any]) -> str:
    """Return block tokens as HTML. files: the pictures by the name that the author wrote."""
    return str(RENDERER.render(list(tokens), MARKDOWN.options, {"files": files}))


def render_inline(token: Token, files: dict[str, Any]) -> str:
    """Return the inline token of a heading as HTML."""
    return str(RENDERER.renderInline(token.children or [], MARKDOWN.options, {"files": files}))


def _quantity(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    return str(quantity_html(tokens[at].meta["amount"]))


def _image(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    token = tokens[at]
    picture = env["files"].get(name_of(token))
    if picture is None:
        return ""
    words = renderer.renderInlineAsText(token.children or [], options, env)
    return str(
        Markup('<img class="drawing" src="/pictures/{}" alt="{}" width="{}" height="{}">').format(
            picture.file, words, picture.width, picture.height
        )
    )


def _link(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    href = str(tokens[at].attrGet("href"))
    if href.startswith("#"):
        return str(Markup('<a href="#step-{0}" data-to="{0}">').format(href[1:]))
    return str(Markup('<a href="{}" rel="noreferrer">').format(href))


RENDERER = cast(RendererHTML, MARKDOWN.renderer)

MARKDOWN.add_render_rule("quantity", _quantity)
MARKDOWN.add_render_rule("image", _image)
MARKDOWN.add_render_rule("link_open", _link)
