"""Text cut into phrases that fit one caption each: after a sentence, else after a clause, else between words.

The limits are those of published guides: two lines of 42 characters, at most 17 characters a second (its
limit for children), at most seven seconds on the screen, two frames between captions (Netflix, English
Timed Text Style Guide; TED's subtitling tips give 42 x 2 too). The frames are reckoned at 24 a second, the
slowest in use; a caption stands for at least one second, where that guide allows five sixths.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from math import ceil, inf

LINE_CHARS = 42
CHARS_PER_S = 17
SHORTEST_MS = 1_000
LONGEST_MS = 7_000
GAP_MS = 84

_CUE_COST = 6.0  # what one caption more costs, beside the cost of the break it needs
_FLASH_COST = 8.0  # a caption of one or two words is gone before it is noticed
_IMBALANCE_COST = 3.0  # one line full and the other empty
_BEFORE_LINK, _PLAIN_BREAK, _TORN = 5.0, 9.0, 16.0

_PARAGRAPH = re.compile(r"\n[^\S\n]*\n")
_SPOKEN = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*|\d|[=≠]")
#: what a phrase likes best to end with, and what the break after it costs
_ENDS = (
    (re.compile(r"[.?!…][\"'”’)\]]*$"), 0.0),
    (re.compile(r"(?:[;:—–]|[;:,][\"'”’)\]]+)$"), 1.0),
    (re.compile(r"[,)\]”]$"), 2.0),
)
#: words before which a break is easy to read, and words that belong to what follows them
_LINKS = re.compile(
    r"(?:and|or|but|so|because|since|which|that|who|where|when|while|if|then|for|with|before|after|as)$", re.I
)
_TIED = re.compile(
    r"(?:an?|the|this|that|its|of|in|on|at|to|from|by|with|for|and|or|but|not?|only|is|are|was|were|ha[sd]|must|can|could"
    r"|one|two|three|four|five|six|seven|eight|nine|(?:row|column|cell|digit|table)s?|box(?:es)?)$",
    re.I,
)
_LISTED = re.compile(r"\d (?:and|or) |\d, (?:\d|column )")


@dataclass(frozen=True, slots=True)
class Phrase:
    """One caption's worth of text: its one or two lines, and how many words a voice says for it."""

    lines: tuple[str, ...]
    words: int

    @property
    def chars(self) -> int:
        """Characters to read, the line break counted as one."""
        return sum(map(len, self.lines)) + len(self.lines) - 1

    def slot_ms(self, words_per_minute: int) -> int:
        """Milliseconds until the next phrase: its words at that pace, or longer where reading is slower."""
        shown = max(SHORTEST_MS, ceil(self.chars * 1000 / CHARS_PER_S))
        return max(ceil(self.words * 60_000 / words_per_minute), shown + GAP_MS)


def plain(text: str) -> str:
    """``text`` on one line as any file can hold it: white space folded, control characters dropped.

    >>> plain(" the 5\\n goes\\x00 here ")
    'the 5 goes here'
    """
    kept = (_printable(char) for char in " ".join(text.split()))
    return " ".join("".join(kept).split())


def _printable(char: str) -> str:
    category = unicodedata.category(char)
    if category == "Cc":
        return ""
    return "\N{REPLACEMENT CHARACTER}" if category == "Cs" else char


def paragraphs(text: str) -> tuple[str, ...]:
    """The paragraphs of ``text``, parted by blank lines, each as :func:`plain` gives it, none empty."""
    return tuple(part for part in map(plain, _PARAGRAPH.split(text)) if part)


def spoken_words(text: str) -> int:
    """How many words a voice says: each digit is one, so a cell's name is four.

    >>> spoken_words("so r4c7 is 5")
    7
    """
    return len(_SPOKEN.findall(text))


def phrases(paragraph: str, words_per_minute: int) -> tuple[Phrase, ...]:
    """``paragraph`` (one line, as :func:`plain` gives it) cut into phrases; no word is added or dropped.

    The cut is the cheapest over the whole paragraph. A word longer than a line is cut where the line ends.
    """
    pieces = tuple(_pieces(paragraph))
    if not pieces:
        return ()
    return tuple(_Cut(paragraph, pieces, words_per_minute).phrases())


def _pieces(text: str) -> Iterator[tuple[int, int]]:
    """Where the words lie in ``text``, longer ones in parts of one line each."""
    for match in re.finditer(r"\S+", text):
        start, end = match.span()
        while end - start > LINE_CHARS:
            cut = _whole_letters(text, start, start + LINE_CHARS)
            yield start, cut
            start = cut
        yield start, end


def _whole_letters(text: str, start: int, cut: int) -> int:
    """``cut``, or a little before it, where no mark or joiner is parted from its letter."""
    for place in range(cut, start, -1):
        parts_sign = unicodedata.category(text[place])[0] == "M" or "\u200d" in text[place - 1 : place + 1]
        if not parts_sign and text[place] not in "\U0001f3fb\U0001f3fc\U0001f3fd\U0001f3fe\U0001f3ff":
            return place
    return cut


class _Cut:
    """The cheapest cut of one paragraph, by dynamic programming over the ends of its pieces."""

    def __init__(self, text: str, pieces: tuple[tuple[int, int], ...], words_per_minute: int) -> None:
        self.text = text
        self.pieces = pieces
        self.most_words = LONGEST_MS * words_per_minute // 60_000
        said = (spoken_words(text[start:end]) for start, end in pieces)
        self.words = list(accumulate(said, initial=0))
        self.breaks = [self._break_cost(i) for i in range(len(pieces) - 1)] + [0.0]

    def phrases(self) -> Iterator[Phrase]:
        """The phrases of the cheapest cut, in order."""
        ends = [0]
        for end in self._ends():
            first = ends[-1]
            lines = self._lines(first, end)[1]
            yield Phrase(lines, self.words[end] - self.words[first])
            ends.append(end)

    def _ends(self) -> list[int]:
        costs, before = [0.0], [0]
        for end in range(1, len(self.pieces) + 1):
            cost, first = min((costs[first] + cost, first) for first, cost in self._cues_to(end))
            costs.append(cost)
            before.append(first)
        ends, end = [], len(self.pieces)
        while end:
            ends.append(end)
            end = before[end]
        return ends[::-1]

    def _cues_to(self, end: int) -> Iterator[tuple[int, float]]:
        """Where a phrase that stops before piece ``end`` may start, and what it costs."""
        for first in range(end - 1, -1, -1):
            words = self.words[end] - self.words[first]
            if first < end - 1 and (self._length(first, end) > 2 * LINE_CHARS + 1 or words > self.most_words):
                return
            flash = _FLASH_COST if words < 3 else 0.0
            yield first, _CUE_COST + flash + self.breaks[end - 1] + self._lines(first, end)[0]

    def _length(self, first: int, end: int) -> int:
        return self.pieces[end - 1][1] - self.pieces[first][0]

    def _slice(self, first: int, end: int) -> str:
        return self.text[self.pieces[first][0] : self.pieces[end - 1][1]]

    def _lines(self, first: int, end: int) -> tuple[float, tuple[str, ...]]:
        """The best one or two lines for the pieces, and their cost: infinite where two are too few."""
        if self._length(first, end) <= LINE_CHARS:
            return 0.0, (self._slice(first, end),)
        best: tuple[float, int] = (inf, 0)
        for turn in range(first + 1, end):
            upper, lower = self._length(first, turn), self._length(turn, end)
            if upper > LINE_CHARS:
                break
            if lower <= LINE_CHARS:
                slant = _IMBALANCE_COST * abs(upper - lower) / LINE_CHARS
                best = min(best, (self.breaks[turn - 1] / 2 + slant, turn))
        cost, turn = best
        return cost, (self._slice(first, turn), self._slice(turn, end)) if turn else ()

    def _break_cost(self, index: int) -> float:
        """What it costs to break after piece ``index``."""
        piece, following = (self.text[start:end] for start, end in self.pieces[index : index + 2])
        if self.pieces[index][1] == self.pieces[index + 1][0]:
            return _TORN
        if _TIED.match(piece) or _LISTED.match(f"{piece} {following} "):
            return _TORN
        for pattern, cost in _ENDS:
            if pattern.search(piece):
                return cost
        return _BEFORE_LINK if _LINKS.match(following) else _PLAIN_BREAK
