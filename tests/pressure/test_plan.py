"""Lines of the inspection and test plan."""

import pytest

from softseat.errors import UnknownName
from softseat.pressure.plan import inspection_plan, words_of_plan
from softseat.tables import read


def told(*build):
    return " | ".join(line.characteristic for line in inspection_plan(build))


def test_a_loose_liner_is_not_peeled():
    # R213: adhesion cannot be tested on a loose liner
    assert "Adhesion of rubber" in told("bonded")
    assert "Adhesion of rubber" not in told()


def test_conducting_rubber_is_surveyed_not_sparked():
    # R212: the spark passes through carbon-black rubber itself
    assert "Spark test of the lining" in told("bonded")
    assert "Spark test of the lining" not in told("bonded", "black_rubber")
    assert "Thickness survey" in told("bonded", "black_rubber")


def test_a_coated_disc_is_measured_after_its_coat():
    # R159: the coat is of the size of the interference
    assert "after coating" in told("coated_disc")
    assert "after coating" not in told()


def test_every_line_can_be_called_for_and_stands_in_order():
    rows = read("inspection_plan")
    numbers = [int(r["n"]) for r in rows]
    assert numbers == sorted(set(numbers))
    everything = {r["characteristic"] for r in rows}
    both = inspection_plan(words_of_plan()) + inspection_plan([w for w in words_of_plan() if w != "black_rubber"]) + inspection_plan([])
    assert {line.characteristic for line in both} == everything
    assert {r["point"] for r in rows} <= {"H", "W", "R"}


def test_the_item_fills_the_lines():
    values = {"standard": "EN 12266-1", "shell": "24 bar(g)", "shell_time": "120 s"}
    (shell,) = (line for line in inspection_plan([], values) if line.characteristic.startswith("Shell"))
    assert shell.acceptance == "24 bar(g) for 120 s: no visible leak"
    assert "as ordered" in next(line.acceptance for line in inspection_plan([]) if line.characteristic.startswith("Shell"))


def test_an_unknown_word_is_said():
    with pytest.raises(UnknownName, match=r"gold is not known.*bonded"):
        inspection_plan(["bonded", "gold"])
