"""An installation for the tests of one module, in the order in which they stand."""

from __future__ import annotations

from collections.abc import Iterator

import psutil
import pytest

from tests.fleet.config.installation import Installation


@pytest.fixture(scope="module")
def installation(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Installation]:
    """A new installation; whatever it still runs at the end is ended."""
    made = Installation(tmp_path_factory.mktemp("installation") / "data")
    yield made
    for process in psutil.process_iter():
        if made.owns(process):
            process.kill()
