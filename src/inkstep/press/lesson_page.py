"""The lesson page: one self-contained HTML file, made from a story, that asks nothing of any network.

What the sheet and the plan say travels as data: in two script elements of type ``application/json``, from which the
page's own script makes text nodes. A Content-Security-Policy allows that one script and style, by their hashes, and forbids
every load.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html import escape
from importlib.resources import files
from typing import Any

from inkstep.press.manner import manner, manner_for_browser
from inkstep.press.story import Story

#: the modules of the page, each leaning only on those before it
MODULES = (
    "layout",
    "lines",
    "evidence",
    "shapes",
    "elements",
    "board",
    "replay",
    "strip",
    "pause",
    "cards",
    "attempt",
    "printed",
    "page",
)

_START = """
const dataOf = (id) => JSON.parse(document.getElementById(id).textContent);
openLesson(dataOf("story"), dataOf("manner"));
"""

_IMPORT = re.compile(r"^import [^;]*;\n", re.MULTILINE)
#: what is meant for people who read the source need not travel with every lesson
_REMARK = re.compile(r"^ *(?://[^\n]*|/\*\*.*?\*/)\n", re.MULTILINE | re.DOTALL)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|class)\b)", re.MULTILINE)


def lesson_page(story: Story) -> str:
    """The whole page of a story as one HTML text."""
    style, script = theme_rules() + page_text("page.css"), joined_modules() + _START
    return _filled(
        page_text("page.html"),
        {
            "policy": _policy(style, script),
            "title": escape(story.title or "A lesson"),
            "style": style,
            "story": embedded(story.to_json()),
            "manner": embedded(manner_for_browser()),
            "script": script,
        },
    )


def page_text(name: str) -> str:
    """The text of one file of the ``page`` folder."""
    return files(__package__).joinpath("page", name).read_text(encoding="utf-8")


def joined_modules(names: tuple[str, ...] = MODULES) -> str:
    """The page's modules as one: imports and exports between them dropped, since they now share one scope."""
    return "\n".join(_bare(page_text(f"{name}.js")) for name in names)


def _bare(module: str) -> str:
    return _EXPORT.sub("", _IMPORT.sub("", _REMARK.sub("", module))).strip("\n")


def embedded(data: Any) -> str:
    """Data as JSON that cannot end the script element it stands in."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def theme_rules() -> str:
    """The colours of both themes as custom properties; on paper always those of daylight."""
    light, dark = (
        ";".join(f"--{role}:{value}" for role, value in manner().colours[theme].items()) for theme in ("light", "dark")
    )
    by_lamp = f"{dark};color-scheme:dark"
    return (
        f":root{{{light};color-scheme:light}}\n"
        f"@media screen{{:root[data-theme=dark]{{{by_lamp}}}}}\n"
        f"@media screen and (prefers-color-scheme:dark){{:root:not([data-theme=light]){{{by_lamp}}}}}\n"
    )


def _policy(style: str, script: str) -> str:
    rules = {
        "default-src": "'none'",
        "script-src": f"'{_hash(script)}'",
        "style-src": f"'{_hash(style)}'",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    return "; ".join(f"{name} {value}" for name, value in rules.items())


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _filled(template: str, parts: dict[str, str]) -> str:
    """The template with each ``{name}`` filled in once; what is filled in is not looked at again.

    Half of a surrogate pair, which a sheet can hold and no file can, becomes a question mark.
    """
    filled = re.sub(r"\{([a-z]+)\}", lambda match: parts[match[1]], template)
    return filled.encode("utf-8", "replace").decode("utf-8")
