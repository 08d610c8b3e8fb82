"""The commands as a user runs them: answers, JSON, exit codes, and no traceback whatever comes in."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.cli.main import COMMANDS, main, parser
from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.facts import Fact
from inkstep.reasoning.proof import rules

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "examples" / "harbour-spring.sheet"

#: the worked example of Wikipedia's page "Sudoku" (origin from memory; its solution is checked by two solvers elsewhere)
WORKED = "530070000600195000098000060800060003400803001700020006060000280000419005000080079"
#: a puzzle with exactly two solutions, see data/wrong-inputs.jsonl
TWO = "1.....58.8....1..6.6..2.......59........7.....93..2....1....8.4...9.7.5.6..2..71."


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Run a command in this process: exit code, standard output, standard error."""
    try:
        code = main(arguments)
    except SystemExit as stop:
        code = int(stop.code or 0)
    out = capsys.readouterr()
    return code, out.out, out.err


def run_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    """The JSON answer of a command that succeeds."""
    code, out, _ = run(capsys, *arguments, "--json")
    assert code == 0
    return json.loads(out)


def test_why_gives_a_naked_single_its_eight_digits(capsys: pytest.CaptureFixture[str]) -> None:
    answer = run_json(capsys, "why", WORKED, "r5c5")
    assert answer["goal"] == "r5c5=5"
    techniques = [a["steps"][-1]["technique"] for a in answer["arguments"]]
    assert "naked single" in techniques
    assert all(a["proved"] for a in answer["arguments"])
    assert [a["effort"] for a in answer["arguments"]] == sorted(a["effort"] for a in answer["arguments"])


def test_a_step_is_proved_from_its_json_alone(capsys: pytest.CaptureFixture[str]) -> None:
    for argument in run_json(capsys, "chances", WORKED):
        for step in argument["steps"]:
            assert set(step) == {"technique", "houses", "cells", "digits", "premises", "conclusions", "held"}
            houses = [CLASSIC.house(name) for name in step["houses"]]
            premises = [Fact.parse(text) for text in step["premises"]]
            conclusions = [Fact.parse(text) for text in step["conclusions"]]
            assert conclusions
            assert rules(CLASSIC).follow(houses, premises, conclusions)


def test_why_takes_removals_and_known_facts(capsys: pytest.CaptureFixture[str]) -> None:
    plain = run_json(capsys, "why", WORKED, "r3c4!=2", "--most", "1")
    assert len(plain["arguments"]) == 1
    known = run_json(capsys, "why", WORKED, "r1c4=6", "--known", "r1c6!=6,r1c6=8")
    assert known["arguments"][0]["effort"] < run_json(capsys, "why", WORKED, "r1c4=6")["arguments"][0]["effort"]


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("why", WORKED, "r5c5=4"), 1, "the solution has 5"),
        (("why", WORKED, "r1c1"), 1, "where a 5 stands"),
        (("why", WORKED, "r0c5"), 1, "r4c7"),
        (("why", WORKED, "r5c5", "--most", "0"), 2, "from 1 on"),
        (("why", WORKED, "r5c5", "--known", "r1c1=6"), 1, "agrees with the 5"),
        (("why", WORKED, "r3c7", "--known", "r3c7!=5"), 1, "known facts that are true"),
        (("chances", WORKED, "--limit", "-1"), 2, "above 0"),
        (("still", str(DEMO), "--at", "zz"), 2, "a time such as"),
        (("check", ""), 1, "got nothing"),
        (("why", TWO, "r1c2"), 1, "no one solution"),
        (("why", WORKED[:80], "r1c3"), 1, "80"),
        (("why", "no-such-file.sheet", "r1c3"), 1, "a file that is there"),
        (("review", "no-such-folder/x.sheet"), 1, "a file that is there"),
        (("frobnicate",), 2, "invalid choice"),
        (("why",), 2, "required"),
        (("check", TWO), 1, ""),
    ],
)
def test_what_is_wrong_is_said_with_its_exit_code(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], code: int, said: str
) -> None:
    got, out, err = run(capsys, *arguments)
    assert got == code
    assert said in err + out
    assert "Traceback" not in err


def test_check_names_two_solutions_and_where_they_differ(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "check", TWO, "--json")
    answer = json.loads(out)
    assert code == 1
    (problem,) = answer["problems"]
    assert len(problem["solutions"]) == 2
    one, two = problem["solutions"]
    differ = {CLASSIC.cell_name(c) for c in range(81) if one[c] != two[c]}
    assert set(problem["cells"]) == differ


def test_a_puzzle_comes_from_a_file_or_standard_input(tmp_path: Path) -> None:
    file = tmp_path / "puzzle.txt"
    file.write_text("\n".join(WORKED[i : i + 9] for i in range(0, 81, 9)))
    for argument, given_in in ((str(file), b""), ("-", file.read_bytes())):
        done = subprocess.run(
            [sys.executable, "-m", "inkstep", "check", argument, "--json"], input=given_in, capture_output=True, check=True
        )
        assert json.loads(done.stdout)["sound"]


def test_a_candidate_grid_counts_as_known(capsys: pytest.CaptureFixture[str]) -> None:
    digits = [[c] if c != "0" else [str(d) for d in CLASSIC.digits] for c in WORKED]
    digits[CLASSIC.cell("r1c6")] = ["8", "2"]
    grid = " ".join("".join(group) for group in digits)
    answer = run_json(capsys, "why", grid, "r1c6!=4")
    assert answer["arguments"] == [] or answer["arguments"][0]["effort"] <= 2


@pytest.mark.parametrize("command", COMMANDS, ids=lambda c: c.__name__.rpartition(".")[2])
def test_help_shows_an_example_and_the_manual_has_every_option(capsys: pytest.CaptureFixture[str], command: Any) -> None:
    name = command.__name__.rpartition(".")[2]
    code, out, _ = run(capsys, name, "--help")
    assert code == 0
    assert "example:" in out
    manual = (ROOT / "docs" / "commands.md").read_text()
    section = manual.split(f"## inkstep {name} ")[1].split("\n## ")[0]
    for option in re.findall(r"--[a-z]+", out.split("example:")[0]):
        if option != "--help":
            assert option in section, f"{option} of {name} is not in docs/commands.md"


def test_help_loads_nothing_heavy() -> None:
    code = "import sys; from inkstep.cli.main import parser; parser(); print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True).stdout.split()
    heavy = {"pysat", "inkstep.reasoning", "inkstep.review", "inkstep.press", "inkstep.lesson", "json.tool"}
    assert not heavy & set(loaded)
    assert parser().prog == "inkstep"


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text(max_size=120), max_size=4))
def test_no_words_on_the_command_line_give_a_traceback(words: list[str]) -> None:
    for name in ("check", "why", "chances"):
        try:
            code = main([name, *words])
        except SystemExit as stop:
            code = int(stop.code or 0)
        assert code in (0, 1, 2)


@pytest.fixture
def damaged(tmp_path: Path) -> Path:
    """The demo sheet cut off in the middle of a line."""
    sheet = tmp_path / "cut.sheet"
    text = DEMO.read_text()
    sheet.write_text(text[: len(text) * 2 // 3])
    return sheet


def test_a_damaged_sheet_still_gives_a_lesson_and_says_so(
    capsys: pytest.CaptureFixture[str], damaged: Path, tmp_path: Path
) -> None:
    lines = damaged.read_text().splitlines()
    lines.insert(len(lines) // 2, "0:1x.000  r3c6 = 1")
    damaged.write_text("\n".join(lines))
    code, out, err = run(capsys, "press", str(damaged), "--to", str(tmp_path / "out"))
    assert code == 1
    assert "line" in err
    assert (tmp_path / "out" / "lesson.html").exists()
    assert "The lesson lies in" in out


def test_a_failed_press_leaves_what_was_there(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert run(capsys, "press", str(DEMO), "--to", str(out))[0] == 0
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    plan = tmp_path / "bad.plan.json"
    plan.write_text("{ not a plan")
    code, _, err = run(capsys, "press", str(DEMO), "--to", str(out), "--plan", str(plan))
    assert code == 1
    assert "bad.plan.json" in err
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before
    assert plan.read_text() == "{ not a plan"


def test_lesson_then_press_keeps_the_teachers_words(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    sheet = tmp_path / "solve.sheet"
    sheet.write_bytes(DEMO.read_bytes())
    assert run(capsys, "lesson", str(sheet))[0] == 0
    path = tmp_path / "solve.plan.json"
    plan = json.loads(path.read_text())
    plan["title"] = "A title of the teacher's own"
    path.write_text(json.dumps(plan))
    assert run(capsys, "lesson", str(sheet))[0] == 0
    assert run(capsys, "press", str(sheet), "--to", str(tmp_path / "out"))[0] == 0
    assert "A title of the teacher's own" in (tmp_path / "out" / "lesson.html").read_text()
    assert "A title of the teacher's own" in (tmp_path / "out" / "script.md").read_text()


def test_press_reminds_of_rights_only_where_the_sheet_is_silent(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    _, out, _ = run(capsys, "press", str(DEMO), "--to", str(tmp_path / "one"))
    assert "Before you publish" not in out
    silent = tmp_path / "silent.sheet"
    silent.write_text(re.sub(r"(?m)^(source|permission|credit):.*\n", "", DEMO.read_text()))
    _, out, _ = run(capsys, "press", str(silent), "--to", str(tmp_path / "two"))
    assert "source, permission and credit" in out


def test_still_draws_a_moment_with_its_evidence(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, plain, _ = run(capsys, "still", str(DEMO), "--at", "0:20")
    assert code == 0
    assert plain.startswith("<svg")
    file = tmp_path / "moment.svg"
    assert run(capsys, "still", str(DEMO), "--at", "10", "--why", "--to", str(file))[0] == 0
    assert file.read_text().startswith("<svg")
    assert run(capsys, "still", str(DEMO), "--at", "5000")[0] == 2


def test_review_json_has_everything(capsys: pytest.CaptureFixture[str]) -> None:
    answer = run_json(capsys, "review", str(DEMO))
    assert len(answer["strokes"]) >= 110
    assert {"lying", "marks", "waits", "phases", "effort", "hardest"} <= set(answer)
    stroke = answer["strokes"][0]
    assert {"number", "at_ms", "wait_ms", "verdict", "argument", "runners_up", "open", "lightest_open"} <= set(stroke)


def test_the_sheet_in_the_readme_is_sound(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readme = (ROOT / "README.md").read_text()
    block = re.search(r"    inkstep sheet 1\n(?:    .*\n|\n)+", readme)
    assert block
    sheet = tmp_path / "readme.sheet"
    sheet.write_text("\n".join(line[4:] for line in block[0].splitlines()) + "\n")
    assert run(capsys, "check", str(sheet))[0] == 0
    strokes = run_json(capsys, "review", str(sheet))["strokes"]
    assert len(strokes) == 2
    assert all(stroke["verdict"] != "false" and stroke["argument"] for stroke in strokes)


def test_the_readme_example_is_what_the_command_says(capsys: pytest.CaptureFixture[str]) -> None:
    readme = (ROOT / "README.md").read_text()
    match = re.search(r"\$ \.venv/bin/inkstep (why .*)\n((?:    .*\n)+)", readme)
    assert match
    code, out, _ = run(capsys, *match[1].split())
    assert code == 0
    said = [line.strip() for line in match[2].splitlines() if line.strip() and line.strip() != "..."]
    words = " ".join(out.split())
    for line in said:
        assert " ".join(line.split()) in words
