"""Names of files and folders made from titles, which may hold anything."""

from __future__ import annotations

import re
import unicodedata
from urllib.parse import quote

#: names that one file system or another keeps for itself (Microsoft, "Naming Files, Paths, and Namespaces")
_RESERVED = frozenset({"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))})
_MOST_SLUG, _MOST_NAME = 60, 100
#: what file systems refuse in a name, and what a reader could be misled by
_REFUSED = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]+')


def slug(title: str) -> str:
    """A plain name for a file or a folder: small letters of ASCII, digits, hyphens.

    >>> slug("Spring round, puzzle 4: table 4"), slug("../../Été"), slug("数独")
    ('spring-round-puzzle-4-table-4', 'ete', 'solve')
    """
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    made = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_MOST_SLUG].strip("-")
    return f"{made}-solve" if made in _RESERVED else made or "solve"


def attachment(title: str, ending: str) -> str:
    """The header ``Content-Disposition`` of a file to keep, under a plain name and under its own (RFC 6266, RFC 5987).

    >>> attachment("Été", ".sheet")
    'attachment; filename="ete.sheet"; filename*=UTF-8\\'\\'%C3%89t%C3%A9.sheet'
    """
    own = _REFUSED.sub(" ", title)
    own = " ".join(own.split())[:_MOST_NAME].strip(" .") or slug(title)
    return f"attachment; filename=\"{slug(title)}{ending}\"; filename*=UTF-8''{quote(own + ending, safe='')}"
