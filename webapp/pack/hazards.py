"""The built-in hazards of the trade: signal word, what can hurt, what happens, how to avoid it, and the fact to state.

Signal words and their panels follow ANSI Z535.4/.6, symbols ISO 7010. DANGER will kill or maim, WARNING could,
CAUTION is for minor injury, NOTICE for damage only. DANGER and WARNING are answered with a fact, never with “OK”.
"""

from __future__ import annotations

from .amounts import read
from .schema import Fact, Hazard

BUILT_IN: dict[str, Hazard] = {}
