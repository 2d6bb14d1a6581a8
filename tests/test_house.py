"""Conventions that no linter knows: who may write, how long a module may be, what a signal may be used for."""

from __future__ import annotations

import ast
import re
import subprocess
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
APPS = ("fleet", "equipment", "scheduling")
WRITES = {
    "save",
    "create",
    "update",
    "delete",
    "bulk_create",
    "bulk_update",
    "get_or_create",
    "update_or_create",
}
RAW_WRITE = re.compile(
    r"^\s*(INSERT\s+INTO|UPDATE\s+\w+\s+SET|DELETE\s+FROM|TRUNCATE|COPY\s+\S+.*FROM\s+STDIN)", re.I
)
# Where writing is the purpose; the writers of the ledger and of due items; tables of a bench's own; the
# house's own row of signs of life.
MAY_WRITE = ("acts", "keeping", "reckoning", "migrations", "bench", "config")
CEILING = 300
LONGEST_FUNCTION = 40
MOST_IN_A_ROOM = 15
#: So many modules of a room that begin with the same word are a room of their own.
FAMILY = 3
WIDEST = 160  # columns of a template's line
MOST_IN_A_ROOM_OF_TEMPLATES = 20
#: Django finds these by their names.
FOUND_BY_NAME = {f"{code}.html" for code in ("400", "403", "403_csrf", "404", "500")}
TEMPLATE_NAMED = re.compile(r"""["']([a-z0-9_/]+\.html)["']""")


def modules() -> list[Path]:
    return sorted(path for app in APPS for path in (ROOT / app).rglob("*.py"))


def is_of_a_dict(call: ast.Call) -> bool:
    """``update(other)`` is a dict's, set's or digest's; ``update(name=value)`` a queryset's."""
    return bool(call.args)


def writes_in(tree: ast.AST) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            name = node.func.attr
            if name in WRITES and not (name == "update" and is_of_a_dict(node)):
                yield node.lineno, f".{name}()"
        text = node.value if isinstance(node, ast.Constant) else None
        if isinstance(text, str) and RAW_WRITE.match(text):
            yield node.lineno, text.strip().split("\n")[0][:40]


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_only_acts_write(path):
    if set(MAY_WRITE) & set(path.relative_to(ROOT).parts):
        return

    found = [f"line {line}: {what}" for line, what in writes_in(ast.parse(path.read_text()))]

    assert not found, f"{path.relative_to(ROOT)} writes outside an acts room: {'; '.join(found)}"


def test_a_write_outside_acts_is_found():
    source = "Unit.objects.filter(pk=1).update(x=2)\nunit.save()\ncursor.execute('DELETE FROM unit')\nd.update({1: 2})"

    assert [line for line, _ in writes_in(ast.parse(source))] == [1, 2, 3]


def test_no_module_is_longer_than_the_ceiling():
    lengths = {
        path: len(path.read_text().splitlines())
        for path in [*modules(), *(ROOT / "demo_fixtures").rglob("*.py")]
        if "migrations" not in path.parts
    }

    assert not {str(p.relative_to(ROOT)): n for p, n in lengths.items() if n > CEILING}


def templates() -> list[Path]:
    return sorted((ROOT / "templates").rglob("*.html"))


def test_no_template_line_is_wider_than_a_screen():
    wide = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in templates()
        for number, line in enumerate(path.read_text().splitlines(), start=1)
        if len(line) > WIDEST
    ]

    assert templates()
    assert not wide


def template_rooms() -> dict[Path, list[str]]:
    """The templates of each folder, by their names; a fragment's begins with ``_``."""
    found: dict[Path, list[str]] = {}
    for path in templates():
        found.setdefault(path.parent.relative_to(ROOT / "templates"), []).append(path.stem)
    return found


def families_of(names: list[str]) -> list[str]:
    """The first words that so many names share; a page and its fragment of one name are one."""
    first = Counter(name.split("_")[0] for name in {name.removeprefix("_") for name in names})
    return sorted(word for word, count in first.items() if count >= FAMILY)


def test_templates_lie_in_the_rooms_of_the_code():
    folders = [room for room in template_rooms() if room.parts and room.parts[0] in APPS]

    # Deeper folders are a room's own; beside the apps lies only what every page has.
    assert folders
    assert not [str(room) for room in folders if not (ROOT / Path(*room.parts[:2])).is_dir()]
    assert not [str(room) for room in folders if len(room.parts) < 2]
    assert {room.parts[0] for room in template_rooms() if room.parts} == {*APPS}


def test_no_room_of_templates_is_too_full_and_no_family_hides_in_it():
    full = {
        str(room): len(names)
        for room, names in template_rooms().items()
        if len(names) > MOST_IN_A_ROOM_OF_TEMPLATES
    }
    hidden = {
        str(room): found
        for room, names in template_rooms().items()
        if (found := families_of(names))
    }

    assert not full
    assert not hidden


def test_a_family_is_found():
    assert families_of(["swap", "_swap", "swap_sign", "unit"]) == []
    assert families_of(["swap", "_swap_line", "swap_sign", "unit"]) == ["swap"]


def test_every_template_is_used_and_whatever_is_used_is_there():
    there = {str(path.relative_to(ROOT / "templates")) for path in templates()}
    sources = [*modules(), *templates(), *(ROOT / "tests" / "fleet" / "drawing").glob("*.py")]
    named = {name for path in sources for name in TEMPLATE_NAMED.findall(path.read_text())}

    assert named - there == set()
    assert there - named <= FOUND_BY_NAME


def test_no_function_is_longer_than_the_ceiling():
    assert not [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in modules()
        if "migrations" not in path.parts
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef)
        and (node.end_lineno or 0) - node.lineno >= LONGEST_FUNCTION
    ]


def rooms() -> dict[Path, list[str]]:
    """The modules of each room, by their names; migrations are Django's."""
    found: dict[Path, list[str]] = {}
    for path in modules():
        if path.stem != "__init__" and "migrations" not in path.parts:
            found.setdefault(path.parent.relative_to(ROOT), []).append(path.stem)
    return found


def test_no_room_is_too_full_to_find_ones_way():
    assert not {
        str(room): len(names) for room, names in rooms().items() if len(names) > MOST_IN_A_ROOM
    }


def test_no_family_of_names_hides_in_a_room():
    families = {
        (str(room), first): count
        for room, names in rooms().items()
        for first, count in Counter(name.split("_")[0] for name in names if name[0] != "_").items()
        if count >= FAMILY
    }

    assert not families


def test_tests_lie_in_the_rooms_of_the_code():
    of_apps = {
        path.parent.relative_to(ROOT / "tests")
        for app in APPS
        for path in (ROOT / "tests" / app).rglob("test_*.py")
    }

    assert of_apps
    assert not [str(room) for room in of_apps if not (ROOT / room).is_dir()]
    assert {path.stem for path in (ROOT / "tests").glob("test_*.py")} == {"test_house"}


def test_every_room_says_what_it_is():
    silent = [
        str(room)
        for room in rooms()
        if "management" not in room.parts
        and not ast.get_docstring(ast.parse((ROOT / room / "__init__.py").read_text()))
    ]

    assert not silent


def test_no_import_waits_inside_a_function():
    # The composition root, an app that gets ready and a command may: models are ready only then.
    may = {"config", "commands"}
    found = [
        f"{path.relative_to(ROOT)}:{inner.lineno}"
        for path in modules()
        if not may & set(path.parts) and path.name != "apps.py"
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef)
        for inner in ast.walk(node)
        if isinstance(inner, ast.Import | ast.ImportFrom)
    ]

    assert not found


def test_no_module_imports_itself_the_long_way_round():
    graph = {name_of(path): imported_by(path) for path in modules()}
    # Whoever imports a module of a package has not imported what the package itself gathers.
    arrows = {
        name: {
            other
            for other in names
            if other in graph
            and not any(more.startswith(f"{other}.") and more in graph for more in names)
        }
        for name, names in graph.items()
    }

    # What imports nothing that is left goes; whatever stays stands on a circle or above one.
    while free := {name for name, names in arrows.items() if not names}:
        arrows = {name: names - free for name, names in arrows.items() if name not in free}

    assert not arrows


def name_of(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def test_the_formatter_is_obeyed():
    listed = subprocess.run(
        ["git", "grep", "-lE", "# fmt: (skip|off)", "--", "*.py"],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    skipping = set(listed.stdout.decode().split()) - {"tests/test_house.py"}

    assert not skipping


def test_no_file_names_a_package_registry_or_a_path_of_one_machine():
    # Put together here so that this file does not name them itself.
    names = [
        "/wor" + "k/",
        "pypi" + r"\.org",
        "python" + "hosted",
        "npmjs" + r"\.",
        "debian" + r"\.org",
    ]
    forbidden = re.compile("|".join(names).encode())
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True)
    files = [ROOT / name for name in listed.stdout.decode().split("\0") if name]

    assert files
    assert not [str(p) for p in files if p.is_file() and forbidden.search(p.read_bytes())]


def test_the_top_level_is_closed():
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "Makefile", "manage.py"}
    allowed |= {*APPS, "templates", "tests", "demo_fixtures"}

    assert (
        not {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}
        - allowed
        - {"__pycache__"}
    )


def imported_by(path: Path) -> set[str]:
    """Every dotted name that a module imports, relative ones resolved."""
    package = path.relative_to(ROOT).parent.parts
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        if isinstance(node, ast.ImportFrom):
            above = package[: len(package) - node.level + 1] if node.level else ()
            module = ".".join([*above, *([node.module] if node.module else [])])
            names |= {module} | {f"{module}.{alias.name}" for alias in node.names}
    return names


def test_nobody_imports_the_composition_root():
    root = ROOT / "fleet" / "config"
    outside = [path for path in modules() if root not in path.parents]

    assert not [
        str(path.relative_to(ROOT))
        for path in outside
        if any(f"{name}.".startswith("fleet.config.") for name in imported_by(path))
    ]


def declared_in(source: str, kind: str) -> dict[str, str]:
    """The names that are given to a ``Port`` or a ``Signal`` here, with its words."""
    found: dict[str, str] = {}
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Assign | ast.AnnAssign) or not isinstance(node.value, ast.Call):
            continue
        made, target = node.value, node.targets[0] if isinstance(node, ast.Assign) else node.target
        if isinstance(made.func, ast.Name) and made.func.id == kind:
            words = [each.value for each in made.args if isinstance(each, ast.Constant)]
            found[ast.unparse(target)] = "".join(words)
    return found


def declared_in_source(kind: str) -> dict[str, str]:
    """The same for the whole program."""
    return {
        name: words
        for path in modules()
        for name, words in declared_in(path.read_text(), kind).items()
    }


def answers_read(source: str) -> list[int]:
    """The lines that read what ``send`` answers."""
    tree = ast.parse(source)
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in {"send", "send_robust"}
        and id(node) not in told
    ]


def test_a_port_a_signal_and_an_answer_read_are_found():
    source = "told = Signal()\nasked: Port[[int], int] = Port('how many')\nx = told.send(y=1)\ntold.send(y=2)"

    assert declared_in(source, "Port") == {"asked": "how many"}
    assert declared_in(source, "Signal") == {"told": ""}
    assert answers_read(source) == [3]


def test_signals_only_tell_news():
    assert set(declared_in_source("Signal")) == {"facts_changed"}
    assert not {str(path): found for path in modules() if (found := answers_read(path.read_text()))}


def test_the_handbook_names_every_port_and_every_signal():
    handbook = (ROOT / "DEVELOPERS.md").read_text()
    names = [*declared_in_source("Port"), *declared_in_source("Signal")]

    assert names and not [name for name in names if f"`{name}`" not in handbook]
