"""Small pictures of finished pages: the digits are drawn once a page of the shelf, and then only pointed to."""

from __future__ import annotations

from functools import cache

from markupsafe import Markup

from inkstep.press.manner import BOX, SIDE, Manner, manner

#: how large digits are in a cell, and how heavy the pen is: small pictures need more of both than the paper itself
_GIVEN, _PEN, _WEIGHT = 0.56, 0.62, 7
_EMPTY = ".0"


@cache
def drawn_once() -> Markup:
    """The definitions that the pictures of a page point to: the ruled sheet, nine printed digits and nine written ones."""
    way = manner()
    side = way.grid
    thin = "".join(_ruled(at * way.cell, side, 0) for at in range(SIDE + 1) if at % BOX)
    box = "".join(_ruled(at * way.cell, side, 2 * way.overshoot) for at in range(0, SIDE + 1, BOX))
    sheet = f'<rect class="mini-sheet" width="{side}" height="{side}"/><path class="mini-thin" d="{thin}"/>'
    digits = "".join(_digit(digit, way) for digit in range(1, SIDE + 1))
    return Markup(
        '<svg class="unseen" aria-hidden="true" focusable="false"><defs>'
        f'<g id="ruled">{sheet}<path class="mini-box" d="{box}"/></g>{digits}</defs></svg>'
    )


def _ruled(at: int, side: int, over: int) -> str:
    return f"M{at} {-over}V{side + over}M{-over} {at}H{side + over}"


def _digit(digit: int, way: Manner) -> str:
    strokes = "".join(f'<path d="{stroke.d}"/>' for stroke in way.pen[digit])
    return (
        f'<path id="g{digit}" class="mini-given" transform="scale({_GIVEN})" d="{way.printed[digit]}"/>'
        f'<g id="p{digit}" class="mini-pen" stroke-width="{_WEIGHT / _PEN:.1f}" transform="scale({_PEN})">{strokes}</g>'
    )


def picture(puzzle: str, last_page: str) -> Markup:
    """A page as it stood at the end, from the 81 characters of its puzzle and the 81 digits on it."""
    way = manner()
    room = 3 * way.overshoot
    used = "".join(
        f'<use href="#{_id(given, written)}" x="{cell % SIDE * way.cell + way.cell // 2}" '
        f'y="{cell // SIDE * way.cell + way.cell // 2}"/>'
        for cell, (given, written) in enumerate(zip(puzzle, last_page or puzzle, strict=False))
        if f"{given}{written}".strip(_EMPTY)
    )
    view = f"{-room} {-room} {way.grid + 2 * room} {way.grid + 2 * room}"
    return Markup(f'<svg class="mini" viewBox="{view}" aria-hidden="true"><use href="#ruled"/>{used}</svg>')


def _id(given: str, written: str) -> str:
    return f"p{int(written)}" if given in _EMPTY else f"g{int(given)}"
