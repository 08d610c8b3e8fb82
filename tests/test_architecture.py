"""The order of imports, what may touch the disk, and what a package must carry, read from the source itself."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path, PurePosixPath

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "inkstep"

#: who may lean on whom: a part imports only from parts of a lower number, so equal ones know nothing of each other
ORDER = {
    "ground": 0,
    "grid": 1,
    "reasoning": 2,
    "trace": 2,
    "review": 3,
    "lesson": 4,
    "practice": 4,
    "press": 5,
    "archive": 5,
    "workshop": 6,
    "desk": 7,
    "cli": 8,
}
#: clock, randomness, files and network are arguments here
PURE = {"grid", "reasoning", "trace", "review", "lesson", "practice"}
OUTSIDE = {
    *("asyncio", "datetime", "ftplib", "glob", "http", "io", "multiprocessing", "os", "pathlib", "secrets", "shutil"),
    *("socket", "sqlite3", "ssl", "subprocess", "tempfile", "threading", "time", "urllib", "uuid"),
}
#: modules outside ``cli`` that load something heavy only where it is used, and what they load
LATE: dict[str, set[str]] = {
    "inkstep.reasoning.proof": {"pysat"},
    "inkstep.archive.opening": {"inkstep.archive.migrating"},
}
FORBIDDEN_NAMES = {"util", "utils", "common", "core", "helper", "helpers", "misc"}


@dataclass(frozen=True)
class Import:
    """One import: of which module, on which line, and whether only when a function runs."""

    module: str
    line: int
    late: bool


def module_name(path: Path) -> str:
    parts = path.relative_to(SOURCE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def modules() -> dict[str, Path]:
    return {module_name(path): path for path in sorted(SOURCE.rglob("*.py"))}


@cache
def imports(module: str) -> tuple[Import, ...]:
    tree = ast.parse(modules()[module].read_text(encoding="utf-8"))
    return tuple(imports_below(tree, module, late=False))


def imports_below(node: ast.AST, module: str, late: bool) -> Iterator[Import]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.Import):
            for name in child.names:
                yield Import(name.name, child.lineno, late)
        elif isinstance(child, ast.ImportFrom):
            for target in imported_from(child, module):
                yield Import(target, child.lineno, late)
        else:
            function = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            yield from imports_below(child, module, late or function)


def imported_from(node: ast.ImportFrom, module: str) -> Iterator[str]:
    """The modules that ``from ... import ...`` loads: a name may itself be a module of ours."""
    base = node.module or ""
    if node.level:
        is_package = modules()[module].name == "__init__.py"
        package = module.split(".")[: None if is_package and node.level == 1 else -node.level + is_package]
        base = ".".join([*package, *filter(None, [node.module])])
    for name in node.names:
        inner = f"{base}.{name.name}"
        yield inner if inner in modules() else base


def part(module: str) -> str:
    """The part a module of ours belongs to; the package's own two top files go with the commands or with nobody."""
    names = module.split(".")
    return names[1] if len(names) > 1 and names[1] != "__main__" else {"inkstep": ""}.get(module, "cli")


def ours(module: str) -> bool:
    return module == "inkstep" or module.startswith("inkstep.")


def test_there_is_source_to_judge() -> None:
    assert {"inkstep", "inkstep.ground.errors", "inkstep.cli"} <= set(modules())
    assert any(found.module == "inkstep.ground.errors" for found in imports("inkstep.ground.clock"))


@pytest.mark.parametrize("module", modules())
def test_a_part_leans_only_on_those_before_it(module: str) -> None:
    here = part(module)
    assert here in ORDER or here == "", f"{module}: {here!r} is no part of the design"
    for found in imports(module):
        there = part(found.module) if ours(found.module) else ""
        allowed = there in ("", here) or (here and ORDER[there] < ORDER[here])
        assert allowed, f"{module}, line {found.line}: {here or 'the package'} must not import {found.module}"


def test_no_module_imports_itself_by_way_of_others() -> None:
    graph = {module: {found.module for found in imports(module)} & set(modules()) - {module} for module in modules()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as fault:
        pytest.fail("imports go round: " + " -> ".join(fault.args[1]))


@pytest.mark.parametrize("module", modules())
def test_imports_stand_at_the_top(module: str) -> None:
    if part(module) == "cli":
        return
    for found in imports(module):
        allowed = any(found.module.split(".")[0] == name or found.module == name for name in LATE.get(module, ()))
        assert not found.late or allowed, f"{module}, line {found.line}: {found.module} is imported inside a function"


@pytest.mark.parametrize("module", [module for module in modules() if part(module) in PURE])
def test_pure_parts_touch_neither_disk_nor_clock_nor_network(module: str) -> None:
    for found in imports(module):
        outside = found.module.split(".")[0] in OUTSIDE
        assert not outside, f"{module}, line {found.line}: {found.module} belongs to press, archive, desk or cli"
    for node in ast.walk(ast.parse(modules()[module].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in {"open", "input", "print", "exec", "eval"}, f"{module}, line {node.lineno}"
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "random":
            assert node.attr == "Random", f"{module}, line {node.lineno}: randomness is a random.Random from outside"


@pytest.mark.parametrize("module", modules())
def test_no_module_is_a_lumber_room(module: str) -> None:
    assert not set(module.split(".")) & FORBIDDEN_NAMES


@pytest.mark.parametrize("module", modules())
def test_every_module_says_what_it_is_for(module: str) -> None:
    tree = ast.parse(modules()[module].read_text(encoding="utf-8"))
    assert ast.get_docstring(tree) or not tree.body, f"{module} has no docstring"


def test_every_folder_of_source_is_a_package() -> None:
    folders = {path.parent for path in SOURCE.rglob("*.py")}
    assert [str(folder) for folder in folders if not (folder / "__init__.py").exists()] == []


def data_files() -> list[PurePosixPath]:
    found = (path for path in SOURCE.rglob("*") if path.is_file() and path.suffix not in {".py", ".pyc"})
    return [PurePosixPath(path.relative_to(SOURCE).as_posix()) for path in found]


def test_every_data_file_is_packed() -> None:
    """Each is matched by one of the patterns in pyproject.toml, so the wheel has it."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    patterns = settings["tool"]["setuptools"]["package-data"]["inkstep"]
    missing = [str(path) for path in data_files() if not any(matches(path, pattern) for pattern in patterns)]
    assert missing == []
    assert PurePosixPath("py.typed") in data_files()


def matches(path: PurePosixPath, pattern: str) -> bool:
    """Whether ``pattern`` takes in ``path``; ``**/`` stands for any folders, also for none."""
    deep = pattern.startswith("**/")
    return (deep or len(path.parts) == 1) and PurePosixPath(path.name).match(pattern.removeprefix("**/"))


PIN = re.compile(r"([A-Za-z0-9._-]+)==([A-Za-z0-9.+!]+)(?:\s*;\s*[^#]+)?")


def constraints() -> list[str]:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line and not line.startswith("#")]


def test_constraints_are_exact_and_hold_no_address() -> None:
    assert [line for line in constraints() if not PIN.fullmatch(line)] == []
    assert "://" not in (ROOT / "constraints.txt").read_text(encoding="utf-8")


def test_every_dependency_is_pinned() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    named = [*project["dependencies"], *(name for extra in project["optional-dependencies"].values() for name in extra)]
    wanted = {normal(re.split(r"[^A-Za-z0-9._-]", name)[0]) for name in named}
    pinned = {normal(line.split("==")[0]) for line in constraints()}
    assert wanted - pinned == set()


def normal(name: str) -> str:
    """A project's name as the packaging specifications compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()
