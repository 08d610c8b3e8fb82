"""What a note outside the grid may stand for. A note claims nothing; these are offers, each with its evidence."""

from __future__ import annotations

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.trace.pages import Page
from inkstep.trace.strokes import Kind, Stroke


def readings(stroke: Stroke, page: Page, solution: tuple[int, ...]) -> tuple[str, ...]:
    """Offers of what a note of digits beside a house may mean, the likeliest first; empty for words."""
    digits = stroke.digits or _digits_in(stroke.text)
    if stroke.kind is not Kind.NOTE or not digits:
        return ()
    offers: list[str] = []
    for house in _houses(stroke):
        offers += _of_house(digits, house, page, solution)
    return tuple(dict.fromkeys(offers)) or ("digits noted for later; nothing on the page says what they stand for",)


def _digits_in(text: str) -> tuple[int, ...]:
    bare = text.replace(" ", "").replace(",", "")
    return tuple(int(c) for c in bare) if bare.isascii() and bare.isdigit() and "0" not in bare else ()


def _houses(stroke: Stroke) -> list[int]:
    """The house the note stands beside, then the boxes that this house runs through."""
    house = stroke.place.house
    if house is None:
        return []
    if house in CLASSIC.boxes:
        return [house]
    crossed = {CLASSIC.houses_of[cell][2] for cell in CLASSIC.house_cells[house]}
    return [house, *sorted(crossed)]


def _of_house(digits: tuple[int, ...], house: int, page: Page, solution: tuple[int, ...]) -> list[str]:
    name = CLASSIC.house_name(house)
    cells = CLASSIC.house_cells[house]
    lacks = set(CLASSIC.digits) - {page.digits[c] for c in cells}
    empty = [c for c in cells if not page.digits[c]]
    wanted = set(digits)
    offers = []
    if wanted == lacks:
        offers.append(f"{_listed(digits)}: what {name} still lacks")
    elif wanted < lacks and len(wanted) > 1:
        line = _line_of([c for c in empty if solution[c] in wanted], house)
        if line:
            offers.append(f"{_listed(digits)} of {name} lie together in {line}")
    elif len(wanted) == 1 and wanted < lacks:
        open_cells = [c for c in empty if _may_hold(page, c, digits[0])]
        places = " or ".join(CLASSIC.cell_name(c) for c in open_cells[:3])
        if len(open_cells) <= 3:
            offers.append(f"the {digits[0]} of {name}, to be placed: {places}")
    return offers


def _may_hold(page: Page, cell: int, digit: int) -> bool:
    return all(page.digits[peer] != digit for peer in bits(CLASSIC.peers[cell]))


def _line_of(cells: list[int], house: int) -> str:
    """The other house that holds all of ``cells``, in words; empty where there is none."""
    shared = [h for h in CLASSIC.shared_houses(sum(1 << c for c in cells)) if h != house]
    return CLASSIC.house_name(shared[0]) if shared and len(cells) > 1 else ""


def _listed(digits: tuple[int, ...]) -> str:
    words = [str(d) for d in digits]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
