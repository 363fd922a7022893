"""The how-to page runs as it stands: each block after the other, in an empty folder."""

import re
from pathlib import Path

import pytest

import softseat

PAGE = Path(softseat.__file__).parents[2] / "docs" / "how-to" / "from-enquiry-to-forecast.md"


@pytest.fixture(scope="module")
def blocks():
    return re.findall(r"^```python\n(.*?)^```", PAGE.read_text("utf-8"), re.M | re.S)


def test_the_story_runs_from_enquiry_to_forecast(blocks, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert len(blocks) == 8
    names = {}
    for block in blocks:
        exec(compile(block, PAGE.name, "exec"), names)
    for paper in ("certificate", "labels", "site-report"):
        assert (tmp_path / f"{paper}.pdf").read_bytes().startswith(b"%PDF")
    assert "Strokes to it" in capsys.readouterr().out
