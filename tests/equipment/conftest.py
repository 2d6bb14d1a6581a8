"""The line and its people, set up once for a module's tests and handed to each as its own copies."""

from __future__ import annotations

from copy import deepcopy

import pytest

from fleet.models import User

from .line_world import Line, a_line, crew


@pytest.fixture(scope="module")
def everybody(one_stage: None) -> dict[str, User]:
    return crew()


@pytest.fixture(scope="module")
def a_whole_line(one_stage: None) -> Line:
    return a_line()


@pytest.fixture
def line(a_whole_line: Line, db: None) -> Line:
    return deepcopy(a_whole_line)


@pytest.fixture
def people(everybody: dict[str, User], db: None) -> dict[str, User]:
    return deepcopy(everybody)
