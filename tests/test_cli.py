"""The commands as a user calls them."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[1] / "src" / "softseat" / "demo" / "waterworks.csv"


def softseat(*arguments, **more):
    return subprocess.run(
        [sys.executable, "-m", "softseat.cli", *map(str, arguments)], check=False, capture_output=True, text=True, timeout=180, **more
    )


def test_the_demo_writes_a_pack_and_says_where(tmp_path):
    done = softseat("demo", "--out", tmp_path / "pack")
    assert done.returncode == 0, done.stderr
    assert "pack:" in done.stdout
    names = {p.name for p in (tmp_path / "pack").iterdir()}
    assert {"items.json", "offer.pdf", "offer.docx", "offer.xlsx", "questions.pdf", "datasheets.pdf", "test-plan.pdf", "fitting-cards.pdf",
            "drawings"} <= names  # fmt: skip


def test_two_runs_are_byte_identical(tmp_path):
    for name in ("a", "b"):
        assert softseat("offer", DEMO, "--out", tmp_path / name).returncode == 0
    for file in (tmp_path / "a").rglob("*"):
        if file.is_file():
            assert file.read_bytes() == (tmp_path / "b" / file.relative_to(tmp_path / "a")).read_bytes(), file.name


def test_json_stands_alone_on_stdout_and_no_paper_is_made(tmp_path):
    done = softseat("offer", DEMO, "--out", tmp_path / "pack", "--papers", "none", "--format", "json")
    items = json.loads(done.stdout)
    assert len(items) == 15
    assert [p.name for p in (tmp_path / "pack").iterdir()] == ["items.json"]
    keys = {"n", "sheet", "row", "tag", "tags", "quantity", "as_asked", "offered", "choice", "other_family", "numbers", "points",
            "findings",
            "questions", "assumptions", "origins"}  # fmt: skip
    assert all(keys <= set(i) for i in items)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["offer", "nowhere.xlsx"], "nowhere.xlsx"),
        (["offer", str(DEMO), "--papers", "poster"], "poster"),
        (["calc", "no-such"], "no-such"),
        (["maker", "check", "nowhere"], "nowhere"),
    ],
)
def test_a_mistake_is_one_sentence_and_exit_2(arguments, words, tmp_path):
    done = softseat(*arguments, cwd=tmp_path, input="{}\n")
    assert done.returncode == 2
    assert words in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert not list(tmp_path.iterdir())


def test_calc_reads_and_answers_a_line_each():
    asked = '{"density": 998, "wave_speed": 1200, "velocity_change": 2}\n{"density": 998, "wave_speed": 1000, "velocity_change": 1}\n'
    done = softseat("calc", "joukowsky", input=asked)
    assert [json.loads(line)["pressure_rise"] for line in done.stdout.splitlines()] == [2395200.0, 998000.0]


def test_the_rulebook_is_evaluated_whole():
    rules = json.loads(softseat("rules", "--format", "json").stdout)
    assert len(rules) >= 184
    assert {r["evaluated"] for r in rules} == {"yes"}


def test_the_shipped_makers_data_pass_their_check():
    from softseat.maker.package import SHIPPED

    done = softseat("maker", "check", SHIPPED)
    assert done.returncode == 0, done.stdout
