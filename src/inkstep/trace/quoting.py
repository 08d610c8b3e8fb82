"""Text in double quotes, and where a line's comment begins."""

from __future__ import annotations

import re
from collections.abc import Sequence

from inkstep.ground.errors import InputError, shown

#: a quoted text as a pattern, its quotes included
QUOTED = r'"(?:[^"\\]++|\\.)*+"'
_COMMENT = re.compile(rf'((?:[^"#]++|{QUOTED})*+)(#.*)?', re.DOTALL)
_ESCAPE = re.compile(r"\\(u\{([0-9A-Fa-f]{1,6})\}|.)", re.DOTALL)
_SIGNS = {'"': '"', "\\": "\\", "n": "\n", "r": "\r", "t": "\t"}
_ESCAPES = {sign: f"\\{letter}" for letter, sign in _SIGNS.items()}
_CONTROL = re.compile(r'["\\\x00-\x1f\x7f\x85\u2028\u2029]')


def quoted(text: str) -> str:
    r"""``text`` in double quotes; quotes, backslashes and control characters escaped.

    >>> print(quoted('say "8"'))
    "say \"8\""
    """

    def escape(match: re.Match[str]) -> str:
        return _ESCAPES.get(match[0]) or f"\\u{{{ord(match[0]):x}}}"

    return f'"{_CONTROL.sub(escape, text)}"'


def unquoted(text: str) -> str:
    r"""The text that ``text`` quotes; the escapes are ``\"``, ``\\``, ``\n``, ``\r``, ``\t`` and ``\u{1f58a}``.

    Raises:
        InputError: another escape, or the number of no character.
    """
    return _ESCAPE.sub(_sign, text[1:-1])


def _sign(match: re.Match[str]) -> str:
    code = int(match[2], 16) if match[2] else None
    if code is None and match[1] in _SIGNS:
        return _SIGNS[match[1]]
    if code is None or code > 0x10FFFF or 0xD800 <= code <= 0xDFFF:
        raise InputError(r"an escape such as \" \\ \n or \u{1f58a} in the quotes", got=shown(match[0]))
    return chr(code)


def split_comment(line: str) -> tuple[str, str | None]:
    """What a line says and its comment without ``#``, None where it has none; ``#`` in quotes begins none.

    Raises:
        InputError: a quote is opened and not closed.
    """
    match = _COMMENT.fullmatch(line)
    if not match:
        raise InputError("a closing quote on the same line", got=shown(line))
    return match[1].rstrip(), None if match[2] is None else comment_text(match[2])


def comment_text(line: str) -> str:
    """The text of a comment line: without its ``#``, one space after it, and blanks at the end."""
    return line.removeprefix("#").removeprefix(" ").rstrip(" \t")


def comment_line(line: str) -> str:
    """A comment line in canonical form: ``# text``."""
    return f"# {comment_text(line)}".rstrip(" ")


def tidy_comment(lines: Sequence[str]) -> str:
    """The text of a comment: no blanks at the ends of its lines, no empty lines at its ends."""
    return "\n".join(line.rstrip(" \t") for line in lines).strip("\n")
