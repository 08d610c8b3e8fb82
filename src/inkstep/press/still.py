"""An SVG still of any moment: one self-contained file, digits as paths, nothing left to chance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from xml.sax.saxutils import escape, quoteattr

from inkstep.press.drawing import Drawing, Ink
from inkstep.press.layout import Margins, lay_out, margins_for
from inkstep.press.lines import Shape, num, rect
from inkstep.press.manner import SIDE, Manner, manner
from inkstep.press.shapes import shapes_of, view_box

#: what XML 1.0 cannot hold (W3C, Extensible Markup Language 1.0, 2.2): dropped from texts
_UNWRITABLE = dict.fromkeys([*range(9), 11, 12, *range(14, 32), 0xFFFE, 0xFFFF, *range(0xD800, 0xE000)])


def still_svg(
    drawing: Drawing,
    *,
    width: int = 920,
    background: bool = True,
    margins: Margins | None = None,
    theme: str = "light",
    share: float = 1.0,
) -> str:
    """The drawing as a self-contained SVG, ``width`` pixels wide; the same drawing gives the same text.

    ``margins`` widen the paper around the frame (as :func:`inkstep.press.layout.margins_for` says unless given, so a run of
    stills should be given the widest). ``theme`` is ``light`` or ``dark``. ``share`` from 0 to 1 is how much of the
    digits of ``evidence.written`` has been written.
    """
    way = manner()
    margins = margins or margins_for(lay_out(drawing.ink, way), way)
    left, top, wide, high = view_box(margins, way)
    height = round(width * high / wide)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="{num(left)} {num(top)} {num(wide)} {num(high)}" role="img" aria-labelledby="t d">'
    )
    ground = rect("paper", left, top, wide, high)
    shapes = ((ground,) if background else ()) + shapes_of(drawing, share=share, way=way)
    lines = [
        head,
        f'<title id="t">{_text(drawing.title or "A page")}</title>',
        f'<desc id="d">{_text(described(drawing.ink))}</desc>',
        *(_element(shape, theme, way) for shape in shapes),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def described(ink: tuple[Ink, ...]) -> str:
    """The digits of a page in words, row by row, for those who cannot see the picture.

    >>> described((Ink("given", (1,), (7,)),))[:27]
    'Row 1: - 7 - - - - - - -. R'
    """
    return " ".join(_rows_in_words(digits_on(ink)))


def digits_on(ink: tuple[Ink, ...]) -> dict[int, int]:
    """The digit that stands in each cell that has one."""
    return {item.cells[0]: item.digits[0] for item in ink if item.kind in ("given", "pen") and item.state == "standing"}


def _rows_in_words(digits: Mapping[int, int]) -> Iterator[str]:
    for row in range(SIDE):
        signs = (str(digits.get(row * SIDE + column, "-")) for column in range(SIDE))
        yield f"Row {row + 1}: {' '.join(signs)}."


def _text(words: str) -> str:
    return escape(words.translate(_UNWRITABLE))


def _element(shape: Shape, theme: str, way: Manner) -> str:
    colours = way.colours[theme]
    attributes = {
        name: colours.get(str(value), value) if name in ("fill", "stroke") else value
        for name, value in way.paints[shape.paint].items()
    } | dict(shape.attributes)
    if shape.stroke:
        attributes["data-stroke"] = str(shape.stroke)
    worn = "".join(f" {name}={quoteattr(str(value))}" for name, value in attributes.items())
    if shape.text:
        return f"<{shape.tag}{worn}>{_text(shape.text)}</{shape.tag}>"
    return f"<{shape.tag}{worn}/>"
