"""The check of accessibility itself: it finds what is wrong, and nothing on a page that is sound."""

from __future__ import annotations

from typing import Any

import pytest

from accessibility import serious_findings

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>A page</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'"></head><body><main>
<h1>A page</h1>{}</main></body></html>"""
FAULTS = '<button id="mute"></button><p id="pale"><font color="#bbbbbb">hardly to be read</font></p>'


@pytest.mark.browser
def test_faults_are_told_by_rule_place_and_remedy(browser: Any) -> None:
    context = browser.new_context(offline=True, color_scheme="light")
    page = context.new_page()
    page.set_content(PAGE.format("<p>Sound.</p>"))
    assert serious_findings(page) == []
    page.set_content(PAGE.format(FAULTS))
    mute, pale = sorted(serious_findings(page))
    assert mute.startswith("button-name (critical) at #mute: ")
    assert pale.startswith("color-contrast (serious) at font: ")
    context.close()
