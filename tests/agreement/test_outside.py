"""What users' programs and spreadsheets rely on changes only on purpose."""

import pytest

from tests.agreement import outside


@pytest.mark.parametrize("name", outside.OUTSIDE)
def test_stays_as_it_was(name: str) -> None:
    kept = (outside.KEPT / name).read_text(encoding="utf-8")

    now = outside.OUTSIDE[name]()

    assert now.splitlines() == kept.splitlines()
