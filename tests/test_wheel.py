"""The wheel, as a user gets it: built, installed into an empty environment, and run away from the source."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SCRIPTS = "Scripts" if sys.platform == "win32" else "bin"
OFFLINE = ("Failed to establish a new connection", "Max retries exceeded", "timed out", "Cannot connect to proxy")


def run(*command: str | Path, cwd: Path) -> str:
    """What ``command`` prints, away from the source tree and without its variables."""
    env = {name: value for name, value in os.environ.items() if name not in {"PYTHONPATH", "VIRTUAL_ENV"}}
    done = subprocess.run(command, cwd=cwd, env=env, capture_output=True, text=True, check=False)
    if done.returncode and any(sign in done.stdout + done.stderr for sign in OFFLINE):
        pytest.skip("pip cannot reach its package index, so there is no wheel to try")
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def built_wheel(folder: Path) -> Path:
    """The wheel, built from a copy, so that nothing is left behind in the source tree."""
    copy = folder / "copy"
    clutter = shutil.ignore_patterns("__pycache__", "*.egg-info")
    shutil.copytree(ROOT / "src", copy / "src", ignore=clutter)
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, copy)
    pip = (sys.executable, "-m", "pip", "wheel", "-q", "--retries", "1", "--no-deps", "-w", folder, copy)
    run(*pip, cwd=folder)
    (wheel,) = folder.glob("inkstep-*.whl")
    return wheel


def test_the_wheel_holds_every_file_and_works_without_the_tools_of_development(tmp_path: Path) -> None:
    wheel = built_wheel(tmp_path)
    with zipfile.ZipFile(wheel) as archive:
        packed = set(archive.namelist())
    source = {path for path in (ROOT / "src" / "inkstep").rglob("*") if path.is_file() and path.suffix != ".pyc"}
    assert {path.relative_to(ROOT / "src").as_posix() for path in source} - packed == set()
    assert any(name.endswith(".dist-info/licenses/LICENSE") for name in packed)

    place = tmp_path / "empty"
    venv.create(place, with_pip=True)
    python, inkstep = place / SCRIPTS / "python", place / SCRIPTS / "inkstep"
    run(python, "-m", "pip", "install", "-q", "--retries", "1", "-c", ROOT / "constraints.txt", wheel, cwd=tmp_path)
    installed = run(python, "-m", "pip", "list", "--format=freeze", cwd=tmp_path).lower()
    assert "inkstep" in installed
    assert "pytest" not in installed and "hypothesis" not in installed

    assert "press" in run(inkstep, "--help", cwd=tmp_path)
    run(inkstep, "press", ROOT / "examples" / "harbour-spring.sheet", "--to", tmp_path / "lesson", cwd=tmp_path)
    written = {path.name for path in (tmp_path / "lesson").iterdir()}
    assert {"lesson.html", "script.md", "captions.vtt", "captions.srt", "chapters.txt"} <= written
