"""The narration script, and writing a lesson's files whole or not at all."""

from __future__ import annotations

import hashlib
import json
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.ground.errors import InputError
from inkstep.press.edition import write_edition, write_whole
from inkstep.press.phrases import plain
from inkstep.press.script import escaped, escaped_line, script
from inkstep.press.telling import Passage, PauseText, Telling, timed

CALM = settings(deadline=None)  # a busy machine is no fault of the code

TOLD = Telling(
    title="The spring *final*",
    passages=(
        Passage("p1", "The first five", "Three digits at once.\n\n1. Then a rest.", 5, 4_250),
        Passage(
            "p2",
            "A held pair #",
            "Nobody wrote it down.",
            1,
            None,
            PauseText("Which digit goes into r4c6?", ("Look at row 4.", "1 < 3"), "The 7.", 8_500),
        ),
    ),
    solver="table 11",
    source="harbour_hall.mp4",
    clock_ms=83_000,
)

SCRIPT = r"""# The spring \*final\*

Narration of 0:21 at 145 words a minute, with 1 pause.

- Solver: table 11
- Recording: harbour\_hall.mp4

## 1. The first five

*lesson 0:00 to 0:04 · clock 0:04.250 · recording 1:27.250 · 5 strokes on the paper*

Three digits at once.

1\. Then a rest.

## 2. A held pair \#

*lesson 0:04 to 0:21 · 1 stroke on the paper*

Nobody wrote it down.

> **Pause** (8.5 seconds): Which digit goes into r4c6?
>
> 1. Hint: Look at row 4.
> 2. Hint: 1 \< 3
>
> **Answer:** The 7.
"""


def test_the_script_by_the_letter() -> None:
    assert script(TOLD, timed(TOLD)) == SCRIPT


def test_an_empty_telling_is_still_a_script() -> None:
    empty = Telling("", ())
    assert script(empty, timed(empty)) == "# Lesson\n\nNarration of 0:00 at 145 words a minute, with 0 pauses.\n"


SIGNS = st.text(st.sampled_from("*_`[]()<>#+-.!|~&;=\\$1a \n"), max_size=20)
TEXTS = st.one_of(SIGNS, st.text(max_size=20))


@CALM
@given(TEXTS)
def test_markdown_shows_the_text_as_it_was_written(text: str) -> None:
    """Read by a CommonMark reader, every form of block that the script uses gives the text back."""
    reader = pytest.importorskip("markdown_it", reason="needs markdown-it-py").MarkdownIt("commonmark")
    for source in (
        escaped_line(text),
        f"# {escaped(text)}",
        f"- Credit: {escaped(text)}",
        f"> **Pause**: {escaped(text)}",
    ):
        inline = [token for token in reader.parse(source) if token.type == "inline"]
        kinds = {child.type for token in inline for child in token.children or ()}
        assert kinds <= {"text", "text_special", "strong_open", "strong_close"}
        shown = "".join(child.content for token in inline for child in token.children or ())
        assert shown.removeprefix("Credit:").removeprefix("Pause:").strip(" ") == plain(text).strip(" ")
    assert [token.type for token in reader.parse(escaped_line(text))] in (
        [],
        ["paragraph_open", "inline", "paragraph_close"],
    )


@CALM
@given(TEXTS)
def test_taking_the_backslashes_away_gives_the_text(text: str) -> None:
    for source in (escaped(text), escaped_line(text)):
        out, signs = "", iter(source)
        for sign in signs:
            out += next(signs) if sign == "\\" else sign
        assert out == plain(text)


def names(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_an_edition_is_written_with_its_manifest(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "lesson"
    told = write_edition(folder, {"script.md": "Für ≠\n", "stills/page-1.svg": b"\x00<svg/>"})
    assert told.written == (folder / "script.md", folder / "stills/page-1.svg", folder / "manifest.json")
    assert told.kept == ()
    assert (folder / "script.md").read_bytes() == "Für ≠\n".encode()
    assert names(folder) == ["manifest.json", "script.md", "stills/page-1.svg"]
    manifest = json.loads((folder / "manifest.json").read_bytes())
    assert manifest["record"] == "inkstep-edition/1"
    for row in manifest["files"]:
        data = (folder / row["name"]).read_bytes()
        assert (row["sha256"], row["size"]) == (hashlib.sha256(data).hexdigest(), len(data))
    assert [row["name"] for row in manifest["files"]] == ["script.md", "stills/page-1.svg"]


def test_a_second_run_replaces_its_own_files_and_remembers_the_others(tmp_path: Path) -> None:
    write_edition(tmp_path, {"script.md": "one", "captions.vtt": "WEBVTT\n", "gone.txt": "x"})
    (tmp_path / "gone.txt").unlink()
    told = write_edition(tmp_path, {"script.md": "two"})
    assert told.kept == ()
    assert (tmp_path / "script.md").read_text() == "two"
    assert names(tmp_path) == ["captions.vtt", "manifest.json", "script.md"]
    rows = json.loads((tmp_path / "manifest.json").read_bytes())["files"]
    assert [row["name"] for row in rows] == ["captions.vtt", "script.md"]


def test_what_a_person_wrote_is_kept_under_another_name(tmp_path: Path) -> None:
    (tmp_path / "script.md").write_text("my own")
    (tmp_path / "notes").write_text("mine")
    first = write_edition(tmp_path, {"script.md": "one", "notes": "mine"})
    assert first.kept == (tmp_path / "script.kept-1.md",)
    (tmp_path / "script.md").write_text("one, mended by hand")
    second = write_edition(tmp_path, {"script.md": "two"})
    assert second.kept == (tmp_path / "script.kept-2.md",)
    kept = {name: (tmp_path / name).read_text() for name in names(tmp_path) if name != "manifest.json"}
    assert kept == {
        "notes": "mine",
        "script.kept-1.md": "my own",
        "script.kept-2.md": "one, mended by hand",
        "script.md": "two",
    }


@pytest.mark.parametrize("name", ["", "/etc/x", "../x", "a/../b", "./a", "a//b", "a\\b", "a\0b", "a/", "manifest.json"])
def test_names_that_lead_elsewhere_are_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="a file's name inside the folder"):
        write_edition(tmp_path / "lesson", {"ok.txt": "x", name: "x"})
    assert not (tmp_path / "lesson").exists()


def test_a_path_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "lesson").write_text("a file")
    with pytest.raises(InputError, match="lesson: expected a folder, got a file"):
        write_edition(tmp_path / "lesson", {"script.md": "x"})
    with pytest.raises(InputError, match="expected a folder, got a file"):
        write_edition(tmp_path / "lesson" / "deeper", {"script.md": "x"})
    assert (tmp_path / "lesson").read_text() == "a file"


@pytest.mark.parametrize(
    "foreign",
    [
        '{"name": "another program", "icons": []}',
        "{",
        '{"record": "inkstep-edition/9"}',
        '{"record": "inkstep-edition/1", "files": [{"name": "x"}]}',
        '{"record": "inkstep-edition/1", "files": 3}',
    ],
)
def test_a_manifest_that_is_not_ours_is_left_alone(tmp_path: Path, foreign: str) -> None:
    (tmp_path / "manifest.json").write_text(foreign)
    with pytest.raises(InputError, match=r"manifest\.json"):
        write_edition(tmp_path, {"script.md": "x"})
    assert names(tmp_path) == ["manifest.json"]
    assert (tmp_path / "manifest.json").read_text() == foreign


def test_a_folder_in_the_way_of_a_file_stops_the_whole_edition(tmp_path: Path) -> None:
    write_edition(tmp_path, {"a.txt": "one"})
    before = (tmp_path / "manifest.json").read_bytes()
    (tmp_path / "script.md").mkdir()
    with pytest.raises(InputError, match=r"script\.md: expected a file, got a folder"):
        write_edition(tmp_path, {"a.txt": "two", "script.md": "x"})
    assert (tmp_path / "a.txt").read_text() == "one"
    assert (tmp_path / "manifest.json").read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.txt", "manifest.json", "script.md"]


def failing_at(call: int, real: Callable[..., None]) -> Callable[..., None]:
    """``real``, but its ``call``-th call meets a disk that fails."""
    calls = iter(range(1, 100))

    def replace(source: Path, target: Path) -> None:
        if next(calls) == call:
            raise OSError(5, "Input/output error")
        real(source, target)

    return replace


@pytest.mark.parametrize("call", [1, 2, 3, 4])
def test_a_fault_while_putting_in_place_puts_everything_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: int
) -> None:
    write_edition(tmp_path, {"a.txt": "one", "b.txt": "one"})
    (tmp_path / "a.txt").write_text("one, by hand")
    before = {name: (tmp_path / name).read_bytes() for name in names(tmp_path)}
    monkeypatch.setattr(os, "replace", failing_at(call, os.replace))
    with pytest.raises(InputError, match="Input/output error"):
        write_edition(tmp_path, {"a.txt": "two", "new/c.txt": "two", "b.txt": "two"})
    assert {name: (tmp_path / name).read_bytes() for name in names(tmp_path)} == before
    assert not (tmp_path / "new").exists()


def test_a_file_system_without_links_is_served_by_copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    (tmp_path / "a.txt").write_text("mine")
    write_edition(tmp_path, {"a.txt": "one"})
    assert names(tmp_path) == ["a.kept-1.txt", "a.txt", "manifest.json"]
    assert (tmp_path / "a.kept-1.txt").read_text() == "mine"


FULL_DISK = """
import resource, sys
from pathlib import Path
from inkstep.ground.errors import InputError
from inkstep.press.edition import write_edition, write_whole
folder = Path(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
for write in (
    lambda: write_edition(folder, {"a.txt": "two", "big.html": "x" * 5000}),
    lambda: write_whole(folder / "plan.json", "y" * 5000),
):
    try:
        write()
    except InputError as fault:
        print(fault)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="needs a limit on file sizes, as POSIX has it")
def test_no_room_on_the_disk_leaves_what_was_there(tmp_path: Path) -> None:
    """A real failure half through a file: the system's limit on a file's size, in a process of its own."""
    write_edition(tmp_path, {"a.txt": "one"})
    write_whole(tmp_path / "plan.json", "my plan")
    before = {name: (tmp_path / name).read_bytes() for name in names(tmp_path)}
    command = [sys.executable, "-c", FULL_DISK, str(tmp_path)]
    ran = subprocess.run(command, capture_output=True, text=True, check=False, env=os.environ | {"PYTHONPATH": SOURCE})
    assert ran.stderr == ""
    assert ran.stdout.count("expected room on the disk, got a full one") == 2
    assert {name: (tmp_path / name).read_bytes() for name in names(tmp_path)} == before


SOURCE = str(Path(write_whole.__code__.co_filename).parents[2])


@contextmanager
def shut_folder() -> Iterator[Path]:
    """A folder that may be read and not written to, also where the tests run as root."""
    with tempfile.TemporaryDirectory() as outer:
        os.chmod(outer, 0o755)
        folder = Path(outer, "shut")
        folder.mkdir()
        (folder / "script.md").write_text("theirs")
        folder.chmod(0o555)
        root = os.geteuid() == 0
        try:
            if root:
                os.seteuid(65534)
            yield folder
        finally:
            if root:
                os.seteuid(0)
            folder.chmod(0o755)


@pytest.mark.skipif(sys.platform == "win32", reason="needs rights as POSIX has them")
def test_a_folder_without_leave_to_write_is_named() -> None:
    with shut_folder() as folder:
        for write in (
            lambda: write_edition(folder, {"script.md": "x"}),
            lambda: write_edition(folder / "new" / "lesson", {"script.md": "x"}),
            lambda: write_whole(folder / "script.md", "x"),
        ):
            with pytest.raises(InputError, match=r"shut.*: expected a place that may be written to, got no permission"):
                write()
        assert [path.name for path in folder.iterdir()] == ["script.md"]
        assert (folder / "script.md").read_text() == "theirs"


def test_write_whole_keeps_line_ends_rights_and_links(tmp_path: Path) -> None:
    path, link = tmp_path / "plan.json", tmp_path / "link.json"
    write_whole(path, "a\r\nb\n")
    assert path.read_bytes() == b"a\r\nb\n"
    if sys.platform != "win32":
        path.chmod(0o640)
        link.symlink_to(path)
        write_whole(link, b"new")
        assert link.is_symlink()
        assert stat.S_IMODE(path.stat().st_mode) == 0o640
        assert path.read_bytes() == b"new"
        path.unlink()
        old = os.umask(0o027)
        try:
            write_whole(path, "")
        finally:
            os.umask(old)
        assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert [found.name for found in tmp_path.iterdir() if found.name.startswith(".")] == []


def test_write_whole_says_what_is_in_the_way(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="expected a folder that exists"):
        write_whole(tmp_path / "none" / "plan.json", "x")
    with pytest.raises(InputError, match="expected a file, got a folder"):
        write_whole(tmp_path, "x")
    with pytest.raises(InputError, match="text that UTF-8 can hold, got half a character at place 3"):
        write_whole(tmp_path / "plan.json", "ab\ud800")
    with pytest.raises(InputError, match="File name too long"):
        write_whole(tmp_path / ("x" * 300), "x")
    assert list(tmp_path.iterdir()) == []


@settings(max_examples=30, deadline=None)  # every file goes to the disk
@given(st.dictionaries(st.from_regex(r"[a-c]{1,2}(/[a-c]{1,2})?", fullmatch=True), st.binary(max_size=20), max_size=5))
def test_any_set_of_files_is_there_as_given_or_not_at_all(outputs: dict[str, bytes]) -> None:
    with tempfile.TemporaryDirectory() as outer:
        folder = Path(outer, "lesson")
        try:
            write_edition(folder, outputs)
        except InputError:
            assert any(f"{name}/" in other for name in outputs for other in outputs)
            assert not folder.exists()
        else:
            there = {name: (folder / name).read_bytes() for name in names(folder) if name != "manifest.json"}
            assert there == outputs
