"""Taking a solve out of the shelf as a file: a sheet, a table for a spreadsheet, a record for a notebook."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from inkstep.desk.desk import Desk
from inkstep.desk.naming import attachment
from inkstep.ground.errors import InputError
from inkstep.trace.plain import sheet_to_json
from inkstep.trace.sheet import Sheet
from inkstep.trace.tabular import sheet_to_csv
from inkstep.trace.writing import write_sheet


@dataclass(frozen=True)
class _Form:
    """One form of file."""

    kind: str
    write: Callable[[Sheet], str]


FORMS: Mapping[str, _Form] = {
    "sheet": _Form("text/plain; charset=utf-8", write_sheet),
    "csv": _Form("text/csv; charset=utf-8", lambda sheet: "\ufeff" + sheet_to_csv(sheet)),
    "json": _Form("application/json", sheet_to_json),
}


@dataclass(frozen=True)
class Parcel:
    """A file to be kept: its content, its media type, and the header that names it."""

    content: bytes
    kind: str
    disposition: str


def parcel(desk: Desk, key: str, form: str) -> Parcel:
    """The solve as a file of one of `FORMS`.

    Raises:
        InputError: there is no such solve or form.
    """
    if form not in FORMS:
        raise InputError(f"a form, one of {', '.join(FORMS)}", got=form[:40])
    sheet = desk.log(key).sheet
    text = FORMS[form].write(sheet)
    return Parcel(text.encode("utf-8"), FORMS[form].kind, attachment(sheet.header.title or key, f".{form}"))
