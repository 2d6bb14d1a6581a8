"""Static files as they are served: a script's modules under names that carry their content."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from django.core.files.storage import FileSystemStorage

from fleet.screens.statics import Statics

FACE = Path(__file__).resolve().parents[3] / "fleet" / "static" / "face"
IMPORTED = re.compile(r'from "\./([^"]+)"')
CARRIES_CONTENT = re.compile(r"\.[0-9a-f]{12}\.js")


def gathered(folder: Path) -> dict[str, str]:
    """The names under which the scripts in a folder's ``face`` are served."""
    names = [f"face/{path.name}" for path in sorted((folder / "face").glob("*.js"))]
    own = FileSystemStorage(location=folder)
    storage = Statics(location=folder, base_url="/static/")
    processed = list(storage.post_process({name: (own, name) for name in names}))
    assert not [outcome for *_, outcome in processed if isinstance(outcome, Exception)]
    return {name: storage.stored_name(name) for name in names}


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "face").mkdir()
    for path in FACE.glob("*.js"):
        shutil.copy(path, tmp_path / "face")
    return tmp_path


def test_modules_import_each_other_under_the_names_that_are_served(folder):
    served = gathered(folder)

    imported = {
        name: IMPORTED.findall((folder / stored).read_text()) for name, stored in served.items()
    }

    assert len(imported["face/swap.js"]) > 1
    for name in [each for names in imported.values() for each in names]:
        assert CARRIES_CONTENT.search(name) and (folder / "face" / name).exists()


def test_a_changed_module_changes_the_name_of_what_imports_it(folder, tmp_path_factory):
    later = tmp_path_factory.mktemp("later")
    shutil.copytree(folder, later, dirs_exist_ok=True)
    with (later / "face" / "kept-here.js").open("a") as script:
        script.write("// changed\n")

    before, after = gathered(folder), gathered(later)

    assert before["face/swap.js"] != after["face/swap.js"]
    assert before["face/theme.js"] == after["face/theme.js"]
