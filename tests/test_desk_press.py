"""Publishing at the desk: jobs in their own process, with their progress; what fails or is stopped leaves what was there."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import job_works
from accessibility import serious_findings
from desk_server import DeskVisit, RefusedError, RunningDesk, running_desk
from inkstep.archive import keeping
from inkstep.archive.keeping import Job
from inkstep.archive.logs import begin
from inkstep.archive.opening import Archive, ArchiveError, open_archive
from inkstep.cli.main import main
from inkstep.desk.desk import Desk
from inkstep.desk.jobs import Jobs, job_json
from inkstep.desk.making import Order, Work, make_lesson
from inkstep.desk.naming import attachment, slug
from inkstep.desk.press_page import default_folder, usable_folder
from inkstep.ground.errors import InputError, UsageError
from inkstep.lesson.plan import write_plan
from inkstep.press.edition import write_edition
from inkstep.press.formats import FORMATS, chosen_formats
from inkstep.review.findings import Review
from inkstep.review.reviewing import review_sheet
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.writing import write_sheet
from inkstep.workshop.publishing import publish

DEMO = Path(__file__).parents[1] / "examples" / "harbour-spring.sheet"
#: how long a job may take on a busy machine
PATIENCE_S = 60.0


def short_solve(strokes: int = 12) -> Sheet:
    """The beginning of the demo: it is quick to review."""
    sheet = read_sheet(DEMO.read_bytes()).sheet
    return replace(sheet, strokes=sheet.strokes[:strokes])


def opened(path: Path, *keys: str) -> Archive:
    names = iter(keys)
    return open_archive(path, now=lambda: 1_760_000_000_000, new_key=lambda: next(names))


@pytest.fixture(scope="module")
def review() -> Review:
    return review_sheet(short_solve())


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    archive = opened(tmp_path / "archive.db", "demo", "other")
    begin(archive, short_solve())
    begin(archive, short_solve(3))
    yield Desk(archive, tmp_path / "lessons")
    archive.close()


Begin = Callable[[Work], tuple[Jobs, Job]]


@pytest.fixture
def begun(desk: Desk, tmp_path: Path) -> Iterator[Begin]:
    """Begins a job that does a work into the folder ``out``."""
    made: list[Jobs] = []

    def begin_one(work: Work) -> tuple[Jobs, Job]:
        jobs = Jobs(desk, work)
        made.append(jobs)
        return jobs, jobs.start("demo", ("script",), str(tmp_path / "out"))

    yield begin_one
    for jobs in made:
        jobs.close()


def ended(jobs: Jobs, job: Job) -> Job:
    """The job once it has ended."""
    return waited(lambda: jobs.one(job.key, job.id), lambda found: found.state in ("done", "failed", "stopped"))


def waited(look: Callable[[], Any], good: Callable[[Any], bool]) -> Any:
    late = time.monotonic() + PATIENCE_S
    while not good(found := look()):
        assert time.monotonic() < late, found
        time.sleep(0.05)
    return found


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# --- choosing formats


def test_some_formats_alone_leave_the_others_as_they_are(review: Review, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    publish(review, tmp_path / "none.plan.json", folder)
    before = contents(folder)
    told: list[tuple[float, str]] = []
    plan = tmp_path / "none.plan.json"
    made = publish(review, plan, folder, only=["stills", "script"], progress=lambda *each: told.append(each))
    names = {path.relative_to(folder).parts[0] for path in made.edition.written}
    assert names == {"script.md", "stills", "manifest.json"}
    assert contents(folder) == before
    shares = [share for share, _ in told]
    assert shares == sorted(shares) and shares[0] == 0 and shares[-1] < 1
    assert [doing for _, doing in told] == ["making the script", "making the stills", "putting the files in place"]
    assert not any("Open" in line for line in made.lines())


def test_every_format_says_how_long_it_takes_and_a_strange_one_is_refused() -> None:
    assert all(each.weight > 0 for each in FORMATS)
    assert chosen_formats([]) == FORMATS
    assert [each.name for each in chosen_formats(["chapters", "page"])] == ["page", "chapters"]
    with pytest.raises(UsageError, match="page, script, captions, chapters, stills"):
        chosen_formats(["hologram"])


def test_the_command_takes_formats_by_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "solve.sheet"
    sheet.write_text(write_sheet(short_solve()))
    assert main(["press", str(sheet), "--to", str(tmp_path / "out"), "--only", "script, captions"]) == 0
    assert sorted(contents(tmp_path / "out")) == ["captions.srt", "captions.vtt", "manifest.json", "script.md"]
    capsys.readouterr()
    assert main(["press", str(sheet), "--to", str(tmp_path / "none"), "--only", "hologram"]) == 2
    assert "formats, any of" in capsys.readouterr().err and not (tmp_path / "none").exists()


# --- jobs


def test_a_job_ends_with_what_was_made_and_what_there_is_to_know(desk: Desk, begun: Begin) -> None:
    told: list[dict[str, Any]] = []
    desk.hub.tell = lambda topic, event, data: told.append(data)  # type: ignore[method-assign]
    jobs, job = begun(job_works.quick)
    done = ended(jobs, job)
    assert (done.state, done.share, done.said) == ("done", 1.0, "One thing to know.")
    assert job_json(done)["files"] == ["script.md"]
    assert keeping.job_of(desk.archive, job.id) == done
    assert [each["state"] for each in told][-1] == "done"
    assert jobs.of("demo") == (done,) and jobs.of("other") == ()
    with pytest.raises(InputError):
        jobs.one("other", job.id)


@pytest.mark.parametrize(
    ("work", "said"),
    [
        (job_works.ink_runs_dry, "the ink ran dry <b>&</b>"),
        (job_works.ends_unasked, "by signal 9"),
        (job_works.disk_fills_up, "expected room on the disk"),
    ],
)
def test_a_failed_job_says_why_and_leaves_earlier_results(begun: Begin, tmp_path: Path, work: Work, said: str) -> None:
    write_edition(tmp_path / "out", {"script.md": "an earlier script", "notes.txt": "mine"})
    before = contents(tmp_path / "out")
    jobs, job = begun(work)
    failed = ended(jobs, job)
    assert failed.state == "failed" and said in failed.said
    assert "What lay in the folder is as it was." in failed.said
    assert contents(tmp_path / "out") == before


def test_a_job_stopped_between_two_files_puts_the_earlier_ones_back(begun: Begin, tmp_path: Path) -> None:
    write_edition(tmp_path / "out", {"script.md": "earlier", "captions.vtt": "earlier"})
    before = contents(tmp_path / "out")
    jobs, job = begun(job_works.slow_to_put_in_place)
    waited(lambda: jobs.one("demo", job.id), lambda found: found.said == "one is in place")
    assert contents(tmp_path / "out")["script.md"] == b"new"
    assert jobs.stop("demo", job.id).state == "stopped"
    assert contents(tmp_path / "out") == before


def test_a_stopped_job_ends_its_process_and_lets_the_next_begin(begun: Begin, desk: Desk, tmp_path: Path) -> None:
    jobs, job = begun(job_works.takes_its_time)
    waiting = jobs.start("other", ("script",), str(tmp_path / "next"))
    process = int(waited(lambda: tmp_path / "out" / "begun", lambda path: path.exists() and path.read_text()).read_text())
    assert jobs.one("other", waiting.id).state == "waiting"
    stopped = jobs.stop("demo", job.id)
    assert stopped.state == "stopped" and "You stopped it." in stopped.said
    with pytest.raises(ProcessLookupError):
        os.kill(process, 0)
    waited(lambda: jobs.one("other", waiting.id), lambda found: found.state == "running")
    assert jobs.stop("other", waiting.id).state == "stopped"
    assert jobs.stop("other", waiting.id) == jobs.one("other", waiting.id)


def test_a_job_is_never_taken_for_left_behind_while_it_begins_or_ends(desk: Desk, begun: Begin) -> None:
    jobs, job = begun(job_works.quick)
    seen: list[str] = []
    while not seen or seen[-1] not in ("done", "failed", "stopped"):
        seen.append(jobs.one("demo", job.id).state)
        if len(seen) % 50 == 0:
            time.sleep(0.01)
    time.sleep(0.1)
    assert seen[-1] == jobs.one("demo", job.id).state == keeping.job_of(desk.archive, job.id).state == "done"


def test_a_job_whose_end_the_archive_cannot_take_is_still_told(
    desk: Desk, begun: Begin, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_given: Any, **_named: Any) -> Job:
        raise ArchiveError("room on the disk", got="a full one")

    monkeypatch.setattr(keeping, "change_job", full)
    jobs, job = begun(job_works.quick)
    assert ended(jobs, job).state == "done"
    time.sleep(0.1)
    assert jobs.one("demo", job.id).state == "done"


def test_a_job_that_a_desk_left_behind_is_told_by_the_next(desk: Desk) -> None:
    asked = {"formats": ["script"], "host": os.uname().nodename, "process": 2**22 + 1}
    left = keeping.begin_job(desk.archive, "demo", asked, "/nowhere")
    keeping.change_job(desk.archive, left.id, state="running", share=0.4)
    elsewhere = keeping.begin_job(desk.archive, "demo", {**asked, "process": os.getppid()}, "/nowhere")
    afar = keeping.begin_job(desk.archive, "demo", {**asked, "host": "another computer"}, "/nowhere")
    found = {job.id: job for job in Jobs(desk).of("demo")}
    assert found[left.id].state == "failed" and "was closed" in found[left.id].said
    assert found[elsewhere.id].state == "waiting", "another desk on this computer runs it"
    assert found[afar.id].state == "waiting"
    assert keeping.job_of(desk.archive, left.id).state == "failed"


def test_a_lesson_is_made_by_the_teachers_plan(desk: Desk, tmp_path: Path) -> None:
    studies = desk.studies
    _, planned = studies.plan(desk.study("demo"))
    from_plan = replace(planned.plan, title="The title of the teacher")
    keeping.keep_plan(desk.archive, "demo", write_plan(from_plan), None)
    told: list[float] = []
    where = desk.archive.engine.url.render_as_string(hide_password=False)
    order = Order(where, "demo", ("page",), str(tmp_path / "out"))
    made = make_lesson(order, lambda share, _doing: told.append(share))
    assert "The title of the teacher" in (tmp_path / "out" / "lesson.html").read_text()
    assert [Path(path).name for path in made.written] == ["lesson.html", "manifest.json"]
    assert told == sorted(told) and len(told) >= 2 and 0.8 < told[-1] < 1


# --- folders and names


def test_a_folder_must_be_one_that_can_be_written(tmp_path: Path) -> None:
    files = tmp_path / "lessons"
    assert usable_folder("spring", files) == files / "spring"
    assert usable_folder(f"  {tmp_path}/new/deep ", files) == tmp_path / "new" / "deep"
    assert usable_folder("~/x", files) == Path.home() / "x"
    (tmp_path / "file").write_text("")
    for wrong in ("", "  ", "a\0b", f"{tmp_path}/file", f"{tmp_path}/file/below", "~nobody-of-this-name/x"):
        with pytest.raises(InputError):
            usable_folder(wrong, files)


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="whoever may write everywhere is refused nowhere")
def test_a_folder_without_permission_is_refused_at_once(tmp_path: Path) -> None:
    shut = tmp_path / "shut"
    shut.mkdir(mode=0o500)
    with pytest.raises(InputError, match="no permission"):
        usable_folder(str(shut / "below"), tmp_path)


def test_two_lessons_of_one_title_have_two_folders(tmp_path: Path) -> None:
    assert default_folder(tmp_path, "Été: 4/5").name == "ete-4-5"
    write_edition(tmp_path / "ete-4-5", {"script.md": ""})
    assert default_folder(tmp_path, "Été: 4/5").name == "ete-4-5-2"


@pytest.mark.parametrize(
    ("title", "plain"),
    [("", "solve"), ("../../etc/passwd", "etc-passwd"), ("CON", "con-solve"), ("数独", "solve"), ("a" * 300, "a" * 60)],
)
def test_names_of_files_are_plain(title: str, plain: str) -> None:
    assert slug(title) == plain


def test_a_hostile_title_cannot_break_out_of_the_header() -> None:
    made = attachment('x"; filename="evil.exe\r\nSet-Cookie: a=b\u202e/..\\', ".sheet")
    assert "\r" not in made and "\n" not in made and made.count('"') == 2 and made.isascii()
    assert "/" not in made.replace("UTF-8''", "") and "%2F" not in made and "%5C" not in made and "%E2%80%AE" not in made


# --- the page and its data


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningDesk]:
    folder = tmp_path_factory.mktemp("desk")
    archive = opened(folder / "archive.db", "demo", "empty")
    begin(archive, short_solve())
    hostile = replace(short_solve(4).header, title="<img src=x onerror=alert(1)></script>", source="", credit="")
    begin(archive, replace(short_solve(4), header=hostile))
    archive.close()
    with running_desk(folder / "archive.db", folder) as desk:
        yield desk


def job_done(desk: RunningDesk, key: str, number: int) -> dict[str, Any]:
    def look() -> dict[str, Any]:
        return next(job for job in desk.ask(f"/solve/{key}/press/jobs") if job["id"] == number)

    found: dict[str, Any] = waited(look, lambda job: job["state"] in ("done", "failed", "stopped"))
    return found


def test_what_was_made_is_served_and_nothing_else(served: RunningDesk, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "diary.txt").write_text("private")
    job = served.ask("/solve/demo/press", {"formats": ["page", "chapters"], "folder": str(tmp_path / "out")})
    done = job_done(served, "demo", job["id"])
    assert done["state"] == "done" and done["files"][0] == "lesson.html"
    path = f"/solve/demo/press/{job['id']}/file"
    answer = served._opener.open(f"{served.origin}{path}/lesson.html")
    assert answer.read() == (tmp_path / "out" / "lesson.html").read_bytes()
    assert answer.headers["Content-Security-Policy"].startswith("sandbox allow-scripts")
    assert "allow-same-origin" not in answer.headers["Content-Security-Policy"]
    for other in ("diary.txt", "../archive.db", "..%2Fdiary.txt", "%2Fetc%2Fhostname", "", "lesson.html/"):
        with pytest.raises(RefusedError):
            served.ask(f"{path}/{other}x" if other.endswith("/") else f"{path}/{other}")
    with pytest.raises(RefusedError, match="a job of this solve"):
        served.ask(f"/solve/empty/press/{job['id']}/file/lesson.html")
    assert done["folder"] == str(tmp_path / "out")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"formats": [], "folder": "x"}, "one format at least"),
        ({"formats": ["hologram"], "folder": "x"}, "formats, any of"),
        ({"formats": ["page"], "folder": "/dev/null/x"}, "got a file"),
        ({"formats": ["page"]}, "a text for the folder"),
        ({"formats": "page", "folder": "x"}, "one format at least"),
    ],
)
def test_an_order_that_cannot_be_done_is_refused(served: RunningDesk, asked: dict[str, Any], said: str) -> None:
    with pytest.raises(RefusedError, match=said):
        served.ask("/solve/demo/press", asked)


def test_a_solve_whose_puzzle_has_no_one_solution_says_so(tmp_path: Path) -> None:
    archive = opened(tmp_path / "archive.db", "open")
    sheet = short_solve(1)
    begin(archive, replace(sheet, strokes=(), header=replace(sheet.header, givens=(1, *[0] * 80))))
    archive.close()
    with running_desk(tmp_path / "archive.db", tmp_path) as desk:
        job = desk.ask("/solve/open/press", {"formats": ["page"], "folder": "out"})
        failed = job_done(desk, "open", job["id"])
    assert failed["state"] == "failed" and "exactly one solution" in failed["said"][0]
    assert not (tmp_path / "inkstep" / "lessons" / "out").exists()


def test_a_desk_that_was_killed_says_of_its_job_that_it_was_left_behind(tmp_path: Path) -> None:
    archive = opened(tmp_path / "archive.db", "demo")
    begin(archive, read_sheet(DEMO.read_bytes()).sheet)
    archive.close()
    with running_desk(tmp_path / "archive.db", tmp_path) as desk:
        job = desk.ask("/solve/demo/press", {"formats": ["page"], "folder": "out"})
        waited(lambda: desk.ask("/solve/demo/press/jobs")[0], lambda found: found["share"] > 0)
        desk.kill()
    with running_desk(tmp_path / "archive.db", tmp_path) as desk:
        (found,) = desk.ask("/solve/demo/press/jobs")
        assert (found["id"], found["state"]) == (job["id"], "failed")
        assert "The desk was closed before this was done." in found["said"]
    assert not (tmp_path / "inkstep" / "lessons" / "out" / "lesson.html").exists()


def until(page: Any, expression: str, *given: Any) -> None:
    """Wait until the expression is true in the page, asked from outside: the page's policy allows no ``eval`` within."""
    late = time.monotonic() + 20
    while not page.evaluate(expression, *given):
        assert time.monotonic() < late, expression
        time.sleep(0.03)


@pytest.mark.browser
def test_a_lesson_is_made_watched_over_a_reload_and_opened(browser: Any, served: RunningDesk, tmp_path: Path) -> None:
    visit = DeskVisit(browser, served, "/solve/demo/press", viewport={"width": 1360, "height": 860})
    page = visit.page
    page.fill("[name=folder]", str(tmp_path / "out"))
    page.wait_for_selector("body[data-keys=on]")
    page.keyboard.press("Control+Enter")
    page.wait_for_selector(".job")  # waiting, running, or done already: it is a short one
    assert serious_findings(page) == []
    page.reload()
    page.wait_for_selector(".job.is-done >> text=Open the lesson", timeout=PATIENCE_S * 1000)
    assert page.input_value("[name=folder]") == str(tmp_path / "out")
    with visit.context.expect_page() as opening:
        page.locator(".job.is-done >> text=Open the lesson").first.press("Enter")
    lesson = opening.value
    lesson.wait_for_selector(".board svg")
    assert lesson.evaluate("self.origin") == "null", "what a lesson runs can reach nothing of the desk"
    lesson.close()
    assert serious_findings(page) == []
    visit.close(allowed=("sandboxed", "Blocked"))


@pytest.mark.browser
def test_hostile_words_are_words_and_rights_are_asked_for(browser: Any, served: RunningDesk, tmp_path: Path) -> None:
    visit = DeskVisit(browser, served, "/solve/empty/press", viewport={"width": 390, "height": 844})
    page = visit.page
    assert page.locator("img").count() == 0
    assert page.locator("h1").inner_text() == "<img src=x onerror=alert(1)></script>"
    assert page.get_attribute("#rights", "data-empty") == "yes"
    for name in ("source", "credit"):
        page.fill(f"[name={name}]", f"the {name} <b>of table 4</b>")
        page.keyboard.press("Tab")
        until(page, f"document.getElementById('state').textContent === 'saved: {name}'")
    page.wait_for_selector("#rights[data-empty=no]")
    assert served.ask("/solve/empty/change")["head"]["source"] == "the source <b>of table 4</b>"
    page.fill("[name=folder]", str(tmp_path / "a <b>folder"))
    (tmp_path / "a <b>folder" / "lesson.html").mkdir(parents=True)
    page.press("[name=folder]", "Enter")
    page.wait_for_selector(".job.is-failed", timeout=PATIENCE_S * 1000)
    assert "a <b>folder/lesson.html: expected a file, got a folder" in page.inner_text(".job.is-failed")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    visit.close()


@pytest.mark.browser
def test_a_job_is_stopped_from_the_page(browser: Any, served: RunningDesk, tmp_path: Path) -> None:
    visit = DeskVisit(browser, served, "/solve/demo/press", color_scheme="dark")
    page = visit.page
    page.fill("[name=folder]", str(tmp_path / "out"))
    page.press("[name=folder]", "Enter")
    page.locator(".job.is-running, .job.is-waiting").get_by_role("button", name="Stop it").press("Enter")
    page.wait_for_selector(".job.is-stopped", timeout=PATIENCE_S * 1000)
    assert not (tmp_path / "out").exists()
    assert serious_findings(page) == []
    visit.close()
