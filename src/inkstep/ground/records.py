"""Files that outlive the program: ``kind/version``, one upgrade function a step, unknown fields kept."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from inkstep.ground.errors import InputError, shown

Fields = dict[str, Any]
Upgrade = Callable[[Fields], Fields]


@dataclass(frozen=True)
class RecordKind:
    """A kind of record that this program keeps in files.

    ``upgrades[v]`` turns the fields of version ``v`` into those of version ``v + 1``.
    """

    name: str
    version: int
    upgrades: Mapping[int, Upgrade]

    @property
    def tag(self) -> str:
        """The text under ``"record"`` in the file, as ``inkstep-plan/1``."""
        return f"{self.name}/{self.version}"

    def dump(self, fields: Fields) -> str:
        """One canonical JSON text, newest version, ending in a line feed."""
        return json.dumps({"record": self.tag, **fields}, ensure_ascii=False, indent=1) + "\n"

    def load(self, text: str, where: str = "") -> Fields:
        """The fields of a record of this kind, brought to the newest version; unknown fields stay.

        Raises:
            InputError: the text is no JSON object, another kind, or newer than this program.
        """
        try:
            fields: Fields = json.loads(text)
        except (ValueError, RecursionError) as fault:
            raise InputError(f"an {self.name} record in JSON", where=where, got=shown(str(fault), 80)) from None
        if not isinstance(fields, dict):
            raise InputError(f"an {self.name} record (a JSON object)", where=where, got=type(fields).__name__)
        version = self._version(fields.pop("record", None), where)
        while version < self.version:
            fields = self.upgrades[version](fields)
            version += 1
        return fields

    def _version(self, tag: object, where: str) -> int:
        name, _, number = str(tag).rpartition("/")
        if name != self.name or not (number.isascii() and number.isdigit()):
            raise InputError(f'"record": "{self.tag}"', where=where, got=shown(str(tag)))
        # a number of more digits than any version has is not even turned into one
        if len(number) > 9 or not 1 <= int(number) <= self.version:
            hint = "a newer Inkstep wrote it; update this one"
            raise InputError(f"version 1 to {self.version}", where=where, got=number[:12], hint=hint)
        return int(number)
