import json

import pytest

from softseat import service
from softseat.errors import InputError, SoftseatError


def test_answers_as_they_are_typed():
    assert service.answers_of(["place=face", "when=new,months"]) == {"place": ["face"], "when": ["new", "months"]}
    with pytest.raises(InputError, match="question=answer"):
        service.answers_of(["leaks"])


def test_causes_come_with_check_and_cure_and_a_report(tmp_path):
    found = service.trouble({"place": ["hub"], "when": ["years"]}, out=tmp_path / "report.pdf")
    told = service.trouble_words(found)
    assert found[0].cure in told
    assert "no probability" in told
    assert (tmp_path / "report.pdf").read_bytes().startswith(b"%PDF")
    assert json.loads(service.as_json(found))[0]["id"] == found[0].id
    with pytest.raises(SoftseatError, match=r"allowed|known"):
        service.trouble({"place": ["roof"]})


def test_the_questions_are_listed_as_they_are_typed():
    assert "place=face" in service.question_list()


LIFE = """
[compound]
name = "own EPDM"
end_point = "compression set 80 %"
temperature_c = [110, 125, 140]
hours = [12000, 4500, 1800]
[[duty]]
temperature_c = 85
share = 1.0
[spare]
pieces = 12
in_service = "2026-01-01"
lead_time_days = 90
liner = "EPDM"
[store]
liner = "EPDM"
cured = "2024-05-01"
on = "2026-05-01"
"""


def test_life_spares_and_store_from_one_file(tmp_path):
    file = tmp_path / "life.toml"
    file.write_text(LIFE)
    told = service.life_words(file)
    assert "compression set 80 %" in told
    assert "order by" in told
    file.write_text(LIFE.replace("hours", "days"))
    with pytest.raises(InputError, match="hours"):
        service.life_words(file)
    file.write_text("[other]\n")
    with pytest.raises(InputError, match="compound"):
        service.life_words(file)


def test_a_log_of_strokes_in_words(tmp_path):
    file = tmp_path / "log.csv"
    rows = [f"{n},{10 + 0.02 * n + 0.05 * (n % 3):.2f}" for n in range(1, 120)]
    file.write_text("stroke,stroke time [s]\n" + "\n".join(rows) + "\n")
    told = service.watched_words(service.watched(file))
    assert "119 strokes read" in told
    assert "cannot be told which" in told
    with pytest.raises(InputError, match="cannot be read"):
        service.watched(tmp_path / "none.csv")


def test_without_a_measured_torque_nothing_is_fed_back(tmp_path):
    enquiry = tmp_path / "one.csv"
    enquiry.write_text("Tag,Medium,Size,Rating,P max barg,T max C\nV-1,water,DN100,PN16,6,30\n")
    records = tmp_path / "records.json"
    service.works_blank(enquiry, records)
    with pytest.raises(InputError, match="nothing to feed back"):
        service.works_papers(enquiry, records, tmp_path / "out", feed=tmp_path / "fed")
    assert not (tmp_path / "fed").exists()
