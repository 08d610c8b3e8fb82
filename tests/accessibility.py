"""What axe-core, a published checker of accessible pages, says of a page as it stands in the browser.

Its script comes with the Python package axe-playwright-python. It is handed over by the debugger and not by the page,
so a page's own Content-Security-Policy stays as it is.
"""

from __future__ import annotations

from importlib.resources import files
from importlib.util import find_spec
from typing import Any

import pytest

PACKAGE = "axe_playwright_python"
#: the impacts that count; the checker also knows "minor" and "moderate"
SERIOUS = ("serious", "critical")

_RUN = """async (impacts) => {
  const {violations} = await window.axe.run(document, {resultTypes: ["violations"]});
  return violations.filter((each) => impacts.includes(each.impact)).flatMap((each) => each.nodes.map((node) =>
    `${each.id} (${each.impact}) at ${node.target.flat().join(" > ")}: ${each.help}`));
}"""


def serious_findings(page: Any) -> list[str]:
    """A line for each element at which the page breaks a rule of serious or critical impact: rule, selector, what helps."""
    if find_spec(PACKAGE) is None:
        pytest.skip("axe-playwright-python is not installed, so pages are not checked for accessibility")
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(files(PACKAGE).joinpath("axe.min.js").read_text(encoding="utf-8"))
    found = page.evaluate(_RUN, list(SERIOUS))
    assert isinstance(found, list)
    return [str(line) for line in found]
