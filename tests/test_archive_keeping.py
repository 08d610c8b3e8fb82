"""What the archive keeps beside strokes: plans, choices, recordings, settings, jobs and reviews."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import text

import archives
from archives import opened, sheet, stroke
from inkstep.archive.exchange import remove_solve
from inkstep.archive.keeping import (
    Choice,
    Happening,
    Recording,
    begin_job,
    change_job,
    choices_of,
    job_of,
    jobs_of,
    keep_choice,
    keep_plan,
    keep_recording,
    keep_review,
    keep_setting,
    keep_state,
    plan_of,
    recording_of,
    setting,
)
from inkstep.archive.logs import ClashError, begin
from inkstep.archive.opening import Archive
from inkstep.ground.errors import InputError

place = archives.place


@pytest.fixture
def archive(place: str) -> Iterator[Archive]:
    made = opened(place)
    yield made
    made.close()


@pytest.fixture
def key(archive: Archive) -> str:
    return begin(archive, sheet(stroke("r1c1 = 7"))).key


def test_a_plan_is_kept_in_place_of_the_one_it_was_made_from(archive: Archive, key: str) -> None:
    assert plan_of(archive, key) is None
    assert keep_plan(archive, key, "one", None) == 1
    assert keep_plan(archive, key, "two", 1) == 2
    assert plan_of(archive, key) == (2, "two")
    for have in (None, 1, 3):
        with pytest.raises(ClashError) as clash:
            keep_plan(archive, key, "ours", have)
        assert (clash.value.theirs, clash.value.ours) == ("two", "ours")
    assert plan_of(archive, key) == (2, "two")


def test_choices_are_kept_changed_and_taken_back(archive: Archive, key: str) -> None:
    keep_choice(archive, key, 1, Choice("hidden single in box 1", "Look at 7."))
    keep_choice(archive, key, 2, Choice(words="Mine"))
    keep_choice(archive, key, 1, Choice("naked single"))
    assert choices_of(archive, key) == {1: Choice("naked single"), 2: Choice(words="Mine")}
    keep_choice(archive, key, 1, Choice())
    assert choices_of(archive, key) == {2: Choice(words="Mine")}


def test_a_recording_and_how_it_was_watched(archive: Archive, key: str) -> None:
    assert recording_of(archive, key) == Recording()
    for kept in (Recording("round 4.mp4", {"speed": 0.5, "loop": [1, 2]}), Recording("", {"zoom": 2})):
        keep_recording(archive, key, kept)
        assert recording_of(archive, key) == kept


def test_settings_are_of_the_whole_desk(archive: Archive) -> None:
    assert setting(archive, "keys") is None
    assert setting(archive, "keys", {}) == {}
    for value in ({"play": "Space", "ü": ["“"]}, False, None, 0):
        keep_setting(archive, "keys", value)
        assert setting(archive, "keys", "default") == value


def test_jobs_survive_and_change(archive: Archive, key: str) -> None:
    first = begin_job(archive, key, {"formats": ["page"]}, "lessons/one")
    assert (first.state, first.share, first.written, first.ended_at, first.key) == ("waiting", 0, (), None, key)
    second = begin_job(archive, key, {}, "lessons/two")
    changed = change_job(archive, first.id, state="done", share=1.0, written=["lesson.html"], ended_at=5, said="done")
    assert (changed.state, changed.written, changed.asked) == ("done", ("lesson.html",), {"formats": ["page"]})
    assert job_of(archive, first.id) == changed
    assert [job.id for job in jobs_of(archive, key)] == [second.id, first.id]
    assert jobs_of(archive, key, most=1) == (second,)
    with pytest.raises(InputError, match="a job that is there"):
        job_of(archive, 999)


def test_a_review_moves_only_a_fresh_solve_on(archive: Archive, key: str) -> None:
    def state() -> str:
        with archive.reading() as connection:
            return str(connection.execute(text("SELECT state FROM solves")).scalar())

    keep_review(archive, key, 0, effort=10, hardest=None, happened=())
    assert state() == "reviewed"
    keep_state(archive, key, "published")
    keep_review(archive, key, 1, effort=11, hardest="x-wing", happened=())
    assert state() == "published"


def test_happenings_are_kept_once_each_with_the_greatest(archive: Archive, key: str) -> None:
    lengths = (3000.0, 9000.0, 4000.0, 9000.0)
    waits = [Happening("wait", value=value, stroke=number) for number, value in enumerate(lengths, 1)]
    keep_review(archive, key, 0, effort=1, hardest=None, happened=[*waits, Happening("held", "hidden pair", stroke=7)])
    with archive.reading() as connection:
        rows = connection.execute(text("SELECT kind, name, value, times, stroke FROM happenings ORDER BY kind")).all()
    assert [tuple(row) for row in rows] == [("held", "hidden pair", 0, 1, 7), ("wait", "", 9000, 4, 2)]


def test_of_a_solve_that_is_taken_out_nothing_is_left(archive: Archive, key: str) -> None:
    keep_plan(archive, key, "one", None)
    keep_choice(archive, key, 1, Choice(words="Mine"))
    keep_recording(archive, key, Recording("a.mp4"))
    keep_review(archive, key, 0, effort=1, hardest=None, happened=[Happening("wait", value=1)])
    job = begin_job(archive, key, {}, "lessons")
    remove_solve(archive, key)
    with archive.reading() as connection:
        tables = ("solves", "strokes", "edits", "plans", "choices", "recordings", "happenings", "jobs", "words")
        left = {name: connection.execute(text(f"SELECT count(*) FROM {name}")).scalar() for name in tables}
    assert set(left.values()) == {0}
    with pytest.raises(InputError):
        job_of(archive, job.id)
    for use in (plan_of, choices_of, recording_of, jobs_of, remove_solve):
        with pytest.raises(InputError, match="a solve that is in the archive"):
            use(archive, key)
