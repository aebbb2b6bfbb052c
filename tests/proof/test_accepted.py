"""What an author accepts with a reason is not asked again at the vehicle."""

import pytest

from webapp.compile import compile_bytes
from webapp.proof import examples

SHIELD = """\
items:
  shield: {kind: part, name: heat shield}
  rag: {kind: temporary, name: rag}
"""
STEPS = """\
---

# The job

## Take the shield off

```step
hands-on: 5 min
actions:
  - remove: shield
  - place: rag
```

## Look behind it

```step
hands-on: 5 min
actions:
  - take-out: rag
```
"""
REASON = "reason: The shield is scrapped with the old exhaust."


def compiled(accept):
    """Compile a job that leaves a shield off."""
    text = f"{SHIELD}{f'accept: [{accept}]' if accept else ''}\n{STEPS}"
    return compile_bytes(examples.whole(text).encode(), "pack.md", {}, "example")


def asked(pack, rule):
    """Return the things for which the phone asks this rule at the end."""
    tables = pack.model.plain()
    texts = {index for index, text in enumerate(tables["texts"]) if text[0] == rule}
    return {
        variable["id"]
        for variable in tables["variables"]
        for step, _, _, text in variable["needs"]
        if step == "" and text in texts
    }


def test_what_is_not_accepted_does_not_compile():
    result = compiled("")
    assert result.pack is None
    assert [finding.code for finding in result.findings] == ["R02"]


@pytest.mark.parametrize("at", ["take-the-shield-off", "look-behind-it"])
def test_what_is_accepted_is_not_asked_again(at):
    result = compiled(f"{{code: R02, at: {at}, {REASON}}}")
    assert result.findings == ()
    assert asked(result.pack, "R02") == set()


def test_what_nobody_accepted_is_still_asked():
    result = compiled(f"{{code: R02, at: take-the-shield-off, {REASON}}}")
    assert asked(result.pack, "R01") == {"temporary:rag"}


def test_what_could_hurt_someone_is_asked_whatever_is_accepted():
    result = compiled(f"{{code: R01, at: rag, {REASON}}}")
    assert result.pack is None
    assert {finding.code for finding in result.findings} == {"R02", "accept-refused"}
