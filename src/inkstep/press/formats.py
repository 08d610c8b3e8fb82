"""The formats of an edition, in one table. A new format is one function here and one file beside it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from inkstep.ground.errors import UsageError, shown
from inkstep.lesson.plan import Plan
from inkstep.press import captions as captioning
from inkstep.press.chapters import Chapters, chapters
from inkstep.press.drawing import drawing_of_page
from inkstep.press.lesson_page import lesson_page
from inkstep.press.reading_aloud import telling_of
from inkstep.press.script import script
from inkstep.press.staging import story_of
from inkstep.press.still import still_svg
from inkstep.press.story import Story
from inkstep.press.telling import Telling, TimedPassage, timed
from inkstep.review.findings import Review

Outputs = Mapping[str, str]


@dataclass(frozen=True)
class Material:
    """What every format is made from; the parts that several share are made once."""

    review: Review
    plan: Plan

    @cached_property
    def story(self) -> Story:
        """The lesson as scenes."""
        return story_of(self.plan, self.review)

    @cached_property
    def telling(self) -> Telling:
        """The lesson as it is read aloud."""
        return telling_of(self.plan, self.review)

    @cached_property
    def passages(self) -> tuple[TimedPassage, ...]:
        """The passages of the telling with their times."""
        return timed(self.telling, self.plan.words_per_minute)

    @cached_property
    def chapters(self) -> Chapters:
        """The chapters, or why there can be none."""
        return chapters(self.passages)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What the user should know of formats that could not say everything."""
        return (f"chapters.txt: {self.chapters.remark}",) if self.chapters.remark else ()


@dataclass(frozen=True)
class Format:
    """One format: its name, what it is for, and the files it writes.

    ``weight`` says how long it takes beside the others, for a bar of progress: about tenths of a second for a solve of two
    minutes.
    """

    name: str
    purpose: str
    write: Callable[[Material], Outputs]
    weight: float = 1.0


def _page(material: Material) -> Outputs:
    return {"lesson.html": lesson_page(material.story)}


def _script(material: Material) -> Outputs:
    return {"script.md": script(material.telling, material.passages, material.plan.words_per_minute)}


def _captions(material: Material) -> Outputs:
    cues = captioning.cues(material.passages)
    return {"captions.vtt": captioning.webvtt(cues), "captions.srt": captioning.subrip(cues)}


def _chapters(material: Material) -> Outputs:
    text = material.chapters.text
    return {} if text is None else {"chapters.txt": text}


def _stills(material: Material) -> Outputs:
    outputs: dict[str, str] = {}
    for scene in material.story.scenes:
        if scene.pause:
            drawing = drawing_of_page(material.review.pages[scene.page], scene.evidence, scene.pause.question)
            outputs[f"stills/{len(outputs) + 1:02d}-pause.svg"] = still_svg(drawing)
    last = material.review.pages[-1]
    outputs["stills/last-page.svg"] = still_svg(drawing_of_page(last, title="The page at the end"))
    return outputs


FORMATS = (
    Format("page", "the lesson for viewers, one file that works from disk", _page, weight=2.0),
    Format("script", "the narration to read aloud", _script),
    Format("captions", "captions for the lesson video, WebVTT and SubRip", _captions, weight=0.2),
    Format("chapters", "chapters for the video's description", _chapters, weight=0.1),
    Format("stills", "pictures of the pauses and of the last page", _stills),
)


def chosen_formats(names: Sequence[str]) -> tuple[Format, ...]:
    """The formats of these names in the order of the table; with no name, all of them.

    Raises:
        UsageError: a name is none of theirs.
    """
    known = [each.name for each in FORMATS]
    for name in names:
        if name not in known:
            raise UsageError(f"formats, any of {', '.join(known)}", got=shown(name))
    return tuple(each for each in FORMATS if not names or each.name in names)
