"""A CSV made of nearly nothing but ends of lines and of cells costs no more than its size."""

from __future__ import annotations

import pytest

from .workbooks import peak_of


@pytest.mark.parametrize("content", [b"\n", b"\r", b"\r\n", b";", b"a;\n", b'"",'])
def test_a_csv_of_very_many_lines_or_cells_is_a_sentence(tmp_path, content):
    path = tmp_path / "many.csv"
    path.write_bytes(b"Part number;Serial number\n" + content * (40_000_000 // len(content)))

    peak, said = peak_of(path)

    assert said == "too_many_cells"
    assert peak < 250
