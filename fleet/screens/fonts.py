"""The type face, served out of the installed package: nothing of it is copied into this project.

Named in ``STATICFILES_FINDERS``. The face is IBM Plex Sans (SIL Open Font Licence), a variable
font with tabular figures, as the PyPI package ``fontpkg-ibm-plex-sans`` brings it.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

from django.contrib.staticfiles.finders import BaseFinder
from django.core.files.storage import FileSystemStorage

PACKAGE = "fontpkg_ibm_plex_sans"
# Our name -> the name in the package: its square brackets do not survive a URL in a style sheet.
FACES = {"face/plex-sans.ttf": "files/IBMPlexSans[wdth,wght].ttf"}


class PackagedFonts(FileSystemStorage):
    """The package's folder under our own names."""

    def path(self, name: str) -> str:
        return str(Path(self.location) / FACES[name])


class FontFinder(BaseFinder):
    """This will find the type face in the installed package."""

    def __init__(self, *_: Any, **__: Any) -> None:
        self.storage = PackagedFonts(location=str(files(PACKAGE)))

    def check(self, **_: Any) -> list[Any]:
        return []

    def find(self, path: str, find_all: bool = False, **_: Any) -> Any:
        found = [self.storage.path(path)] if path in FACES else []
        return found if find_all else (found[0] if found else None)

    def list(self, ignore_patterns: Any) -> Iterator[tuple[str, FileSystemStorage]]:
        for name in FACES:
            yield name, self.storage
