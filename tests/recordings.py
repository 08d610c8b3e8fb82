"""Real videos for the tests: a sheet of paper on which the strokes of a solve appear at their times.

Every frame carries its own number, so that a test can read back which one a player shows: sixteen squares along the
bottom edge, white for 1 and black for 0, the greatest first.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest

from inkstep.press.drawing import drawing_of_page
from inkstep.press.layout import Margins, Spot, lay_out, margins_for
from inkstep.press.manner import BOX, SIDE, manner
from inkstep.trace.pages import moments, pages
from inkstep.trace.sheet import Header, Sheet

av = pytest.importorskip("av", reason="PyAV is not installed, so there is no video to try")
np = pytest.importorskip("numpy", reason="numpy is not installed, so there is no video to try")

BITS = 16
#: height in pixels of the squares that number a frame
STRIP = 32
_BLACK, _INK, _PENCIL, _THIN, _PAPER = 16, 40, 105, 170, 225
_WHITE = 235
_GREY = 128

#: digits 1 to 9 as seven rows of five dots, from the left the greatest bit
_DOTS = {
    1: (4, 12, 4, 4, 4, 4, 14),
    2: (14, 17, 1, 2, 4, 8, 31),
    3: (14, 17, 1, 6, 1, 17, 14),
    4: (2, 6, 10, 18, 31, 2, 2),
    5: (31, 16, 30, 1, 1, 17, 14),
    6: (6, 8, 16, 30, 17, 17, 14),
    7: (31, 1, 2, 4, 8, 8, 8),
    8: (14, 17, 17, 14, 17, 17, 14),
    9: (14, 17, 17, 15, 1, 2, 12),
}

#: how each codec is told to work fast; a key frame every 15 frames, none that leans on a later one
_OPTIONS = {
    "libx264": {"preset": "ultrafast", "crf": "26", "sc_threshold": "0"},
    "libx265": {"preset": "ultrafast", "crf": "30", "x265-params": "log-level=none"},
    "libvpx-vp9": {"deadline": "realtime", "cpu-used": "8", "row-mt": "1", "crf": "36", "b": "0"},
}


def frame_of(ms: Fraction | int, fps: Fraction) -> int:
    """The number of the frame that is on the screen at ``ms`` milliseconds, in a video of an even rate.

    >>> frame_of(100, Fraction(30)), frame_of(99, Fraction(30))
    (3, 2)
    """
    return int(ms * fps // 1000)


def ms_of(frame: int, fps: Fraction) -> Fraction:
    """The exact moment, in milliseconds, at which a frame of a video of an even rate appears.

    >>> ms_of(1, Fraction(30))
    Fraction(100, 3)
    """
    return 1000 * frame / fps


@dataclass(frozen=True)
class Recording:
    """A video that was made, and what is known of it: ``times_ms`` is the exact moment at which each frame appears."""

    path: Path
    sheet: Sheet
    clock_start_ms: int
    fps: Fraction
    times_ms: tuple[Fraction, ...]

    def frame_at(self, ms: Fraction | int) -> int:
        """The number of the frame that is on the screen at ``ms`` milliseconds of the video."""
        return max(0, bisect_right(self.times_ms, ms) - 1)

    def first_frame_of(self, number: int) -> int:
        """The first frame that shows stroke ``number``, counted from 1: the one on the screen at the stroke's time."""
        return self.frame_at(self.clock_start_ms + moments(self.sheet.strokes)[number - 1])

    def logged_ms(self, number: int) -> int:
        """The time after the clock's start that a log of stroke ``number`` is right with to the frame, in milliseconds."""
        return round(self.times_ms[self.first_frame_of(number)] - self.clock_start_ms)


def make_recording(
    path: Path,
    sheet: Sheet,
    *,
    clock_start_ms: int = 2000,
    fps: Fraction = Fraction(30),
    size: tuple[int, int] = (640, 480),
    tail_ms: int = 1500,
    codec: str = "libx264",
    jitter: int | None = None,
) -> Recording:
    """Film a solve: the printed digits from the start, each stroke from the frame that is on the screen at its time.

    ``path`` ends in ``.mp4`` for ``libx264`` and ``libx265``, in ``.webm`` for ``libvpx-vp9``. The video ends ``tail_ms``
    after the last stroke. With ``jitter``, a seed, frames come up to 0.4 of a frame early or late, as a phone's do.
    Width and height are even, the width a multiple of 16.
    """
    ends_ms = clock_start_ms + max(moments(sheet.strokes), default=0) + tail_ms
    base, times_ms = _timing(max(1, frame_of(ends_ms, fps)), fps, path.suffix, jitter)
    if len(times_ms) > 1 << BITS:
        raise ValueError(f"at most {1 << BITS} frames can be numbered: {len(times_ms)}")
    recording = Recording(path, sheet, clock_start_ms, fps, times_ms)
    _encode(path, codec, fps, size, base, zip(times_ms, _shown(recording, size), strict=True))
    return recording


def make_undecodable(path: Path) -> Recording:
    """One second of a sound video that Chromium has no decoder for: HEVC, which is what phones record."""
    blank = Sheet(Header((0,) * (SIDE * SIDE)))
    return make_recording(path, blank, clock_start_ms=0, tail_ms=1000, codec="libx265")


def _timing(count: int, fps: Fraction, suffix: str, jitter: int | None) -> tuple[Fraction, tuple[Fraction, ...]]:
    """The unit of time in seconds in which a file of this kind counts, and each frame's moment: a whole number of units."""
    base = 1 / fps if jitter is None else Fraction(1, 90_000)
    if suffix == ".webm":
        base = Fraction(1, 1000)
    chance = Random(jitter)
    reach = 0 if jitter is None else Fraction(2, 5)
    late = (reach * Fraction(chance.uniform(-1, 1)) if frame else 0 for frame in range(count))
    moments_s = ((frame + shift) / fps for frame, shift in enumerate(late))
    return base, tuple(1000 * base * int(moment / base + Fraction(1, 2)) for moment in moments_s)


def _encode(
    path: Path, codec: str, fps: Fraction, size: tuple[int, int], base: Fraction, frames: Iterator[tuple[Fraction, Any]]
) -> None:
    with av.open(str(path), "w", options={"movflags": "+faststart"} if path.suffix == ".mp4" else {}) as out:
        stream = out.add_stream(codec, rate=fps, options={"g": "15", "bf": "0", **_OPTIONS[codec]})
        stream.width, stream.height = size
        stream.pix_fmt = "yuv420p"
        stream.codec_context.time_base = base
        if codec == "libx265":
            stream.codec_context.codec_tag = "hvc1"
        for at_ms, planes in frames:
            frame = av.VideoFrame.from_ndarray(planes, format="yuv420p")
            frame.pts, frame.time_base = int(at_ms / 1000 / base), base
            out.mux(stream.encode(frame))
        out.mux(stream.encode())


def _shown(recording: Recording, size: tuple[int, int]) -> Iterator[Any]:
    """The picture of every frame: brightness, then the two halves of colour, which is always grey."""
    sheet = recording.sheet
    starts = [recording.first_frame_of(number) for number in range(1, len(sheet.strokes) + 1)]
    drawn = [lay_out(drawing_of_page(page).ink) for page in pages(sheet)]
    papers = _papers(drawn, size)
    planes = np.full((size[1] * 3 // 2, size[0]), _GREY, dtype=np.uint8)
    standing = -1
    for frame in range(len(recording.times_ms)):
        written = bisect_right(starts, frame)
        if written != standing:
            planes[: size[1]] = papers(written)
            standing = written
        planes[size[1] - STRIP : size[1]] = _numbered(frame, size[0])
        yield planes


def _numbered(frame: int, width: int) -> Any:
    bits = [_WHITE if frame >> (BITS - 1 - place) & 1 else _BLACK for place in range(BITS)]
    return np.repeat(np.array(bits, dtype=np.uint8), width // BITS)


def _papers(drawn: Sequence[tuple[Spot, ...]], size: tuple[int, int]) -> Callable[[int], Any]:
    """Draws the paper after any number of strokes; every one has the same margins, so that nothing moves."""
    margins = margins_for([spot for spots in drawn for spot in spots])
    camera = Camera.over(margins, size)

    def paper(written: int) -> Any:
        luma = np.full((size[1], size[0]), _PAPER, dtype=np.uint8)
        camera.draw(luma, drawn[written])
        return luma

    return paper


@dataclass(frozen=True)
class Camera:
    """Looks straight down on the paper: ``scale`` pixels a unit of the drawing, whose 0,0 lies at ``left``, ``top``."""

    scale: float
    left: float
    top: float

    @classmethod
    def over(cls, margins: Margins, size: tuple[int, int]) -> Camera:
        """So that the grid and all that was written outside it are in the picture, above the frame's number."""
        side = manner().grid
        width, height = margins.left + side + margins.right, margins.top + side + margins.bottom
        scale = min(size[0] / width, (size[1] - STRIP) / height)
        return cls(scale, (size[0] - scale * width) / 2 + scale * margins.left, scale * margins.top)

    def draw(self, luma: Any, spots: Sequence[Spot]) -> None:
        """The grid, and the ink."""
        way = manner()
        for index in range(SIDE + 1):
            at, thick = index * way.cell, (3, _BLACK) if index % BOX == 0 else (1, _THIN)
            self.fill(luma, (0, at, way.grid, at), *thick)
            self.fill(luma, (at, 0, at, way.grid), *thick)
        for spot in spots:
            self.write(luma, spot)

    def write(self, luma: Any, spot: Spot) -> None:
        """One piece of ink; words, which nobody reads in a test, are a grey bar."""
        shade = {"given": _BLACK, "pen": _INK}.get(spot.ink.kind, _PENCIL)
        for index, digit in enumerate(spot.ink.digits):
            self.stamp(luma, digit, spot.digit_x(index) if spot.pitch else spot.x, spot.y, spot.size, shade)
        left, _, right, _ = spot.box
        if spot.ink.text or spot.state in ("struck", "crossed"):
            self.fill(luma, (left, spot.y, right, spot.y), 3 if spot.ink.text else 2, shade)

    def fill(self, luma: Any, box: tuple[float, float, float, float], thick: int, shade: int) -> None:
        """A bar from corner to corner, at least ``thick`` pixels wide and high."""
        x1, y1 = self.pixel(box[0], box[1])
        x2, y2 = self.pixel(box[2], box[3])
        half = thick // 2
        luma[max(0, y1 - half) : y2 - half + thick, max(0, x1 - half) : x2 - half + thick] = shade

    def stamp(self, luma: Any, digit: int, x: float, y: float, height: float, shade: int) -> None:
        """A digit about a point."""
        tall = max(7, round(height * self.scale))
        wide = max(5, round(tall * 5 / 7))
        dots = _glyph(digit)[np.arange(tall) * 7 // tall][:, np.arange(wide) * 5 // wide]
        across, down = self.pixel(x, y)
        left, top = max(0, across - wide // 2), max(0, down - tall // 2)
        under = luma[top : top + tall, left : left + wide]
        under[dots[: under.shape[0], : under.shape[1]]] = shade

    def pixel(self, x: float, y: float) -> tuple[int, int]:
        """Where a point of the drawing is seen."""
        return round(self.left + x * self.scale), round(self.top + y * self.scale)


@cache
def _glyph(digit: int) -> Any:
    return np.array([[bool(row >> (4 - column) & 1) for column in range(5)] for row in _DOTS[digit]])


def frame_number(pixels: Any) -> int:
    """The number of the frame that an array of RGB pixels (height, width, 3) shows.

    Raises:
        ValueError: a square is neither black nor white, so this is no frame of a recording, or two of them at once.
    """
    height, width = pixels.shape[:2]
    number = 0
    for place in range(BITS):
        middle = int((place + 0.5) * (width // BITS))
        level = float(pixels[height - STRIP // 2 - 3 : height - STRIP // 2 + 3, middle - 3 : middle + 3].mean())
        if 64 < level < 192:
            raise ValueError(f"square {place} is neither black nor white: {level:.0f}")
        number = 2 * number + (level > 128)
    return number


#: a function of a <video> in the browser: the number of the frame that it shows, or -1 where none can be read. The video
#: comes from the page's own origin, or from a file picked in the page: of others a canvas may not be read.
READ_FRAME_JS = f"""(video) => {{
  const [bits, strip, width, height] = [{BITS}, {STRIP}, video.videoWidth, video.videoHeight];
  if (!width || video.readyState < 2) return -1;
  const canvas = new OffscreenCanvas(width, strip);
  const context = canvas.getContext("2d", {{willReadFrequently: true}});
  context.drawImage(video, 0, height - strip, width, strip, 0, 0, width, strip);
  const square = Math.floor(width / bits);
  let number = 0;
  for (let place = 0; place < bits; place += 1) {{
    const pixels = context.getImageData(Math.floor((place + 0.5) * square) - 3, strip / 2 - 3, 6, 6).data;
    let level = 0;
    for (let at = 0; at < pixels.length; at += 4) level += pixels[at] + pixels[at + 1] + pixels[at + 2];
    level /= (3 * pixels.length) / 4;
    if (level > 64 && level < 192) return -1;
    number = 2 * number + (level > 128 ? 1 : 0);
  }}
  return number;
}}"""


def kept_in(folder: Path) -> Callable[..., Recording]:
    """A function that films a sheet with the arguments of ``make_recording``, each once, into ``folder``."""
    made: dict[Any, Recording] = {}

    def of(sheet: Sheet, **how: Any) -> Recording:
        key = (sheet, *sorted(how.items()))
        if key not in made:
            suffix = ".webm" if how.get("codec") == "libvpx-vp9" else ".mp4"
            made[key] = make_recording(folder / f"recording-{len(made) + 1}{suffix}", sheet, **how)
        return made[key]

    return of
