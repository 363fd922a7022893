"""Mails, invented: sentences, tables, what holds for all, and what was not understood is shown."""

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softseat.enquiry.mail import read_mail, read_mail_file
from softseat.errors import InputError

WORDS = (
    "DN200",
    "PN16",
    "|",
    ";",
    "\n",
    "- ",
    "BV-1:",
    "sea water",
    "6 bar",
    "Tag",
    "Size",
    "Medium",
    '8"',
    "40 C",
    ">",
    "EPDM",
    ".",
    "2 nos",
    "\t",
    "Regards",
)
SENTENCES = """Dear colleagues,

please quote for our desalination plant (invented):
- BV-1001: 4 nos butterfly valves DN200 PN16 for sea water, 6 bar, 35 °C, lever
- BV-1002: 2 nos DN300 PN10 wafer, 400 m3/h, gear operated
  EPDM liner
All valves are for sea water at 5 bar. Flanges by others, and the moon is made of cheese.

Best regards,
Buyer One
DN500 tower, 12 bar street
"""

TABLE = """Hello,
we need the following:

Tag      | Qty | Size  | Rating | Medium         | Pressure [bar(g)] | Temp [C]
---------|-----|-------|--------|----------------|-------------------|---------
XV-1     | 2   | DN150 | PN16   | drinking water | 8                 | 20
XV-2     | 1   | DN250 | PN10   | drinking water | 4.5               | 15

and 3 pcs DN80 PN16 for compressed air 7 bar.
"""


def test_sentences_become_items_with_their_lines():
    read = read_mail(SENTENCES)
    assert [r.tag for r in read.rows] == ["BV-1001", "BV-1002"]
    assert [r.quantity for r in read.rows] == [4, 2]
    assert [r.row for r in read.rows] == [4, 5]
    assert read.sheet["dn"].tolist() == [200, 300]
    assert read.sheet["operator"].tolist() == ["lever", "gear"]
    assert read.sheet["liner"].tolist() == ["", "EPDM"]
    assert read.sheet["medium"].tolist() == ["sea water", "sea water"]
    assert read.sheet.origin[0, "pn"].row == 4


def test_what_is_said_for_all_fills_only_what_is_missing():
    read = read_mail(SENTENCES)
    assert (read.sheet["p1"] - 101325).round().tolist() == [6e5, 5e5]
    assert read.sheet.origin[1, "p1"].row == 7
    assert any("taken for all items" in n for n in read.notes)


def test_what_is_not_understood_is_shown_and_the_signature_is_no_item():
    notes = " ".join(read_mail(SENTENCES).notes)
    assert "the moon is made of cheese" in notes
    assert "DN500" not in notes
    assert "the end of the mail" in notes


def test_a_table_and_a_sentence_stand_in_the_order_of_the_mail():
    read = read_mail(TABLE)
    assert read.sheet["dn"].tolist() == [150, 250, 80]
    assert [r.n for r in read.rows] == [1, 2, 3]
    assert read.sheet["medium"].tolist() == ["drinking water", "drinking water", "compressed air"]
    assert read.sheet["pn"].tolist() == [16, 10, 16]
    assert read.sheet["quantity"].tolist() == [2, 1, 3]
    assert (read.sheet["p1"][:2] - 101325).round().tolist() == [8e5, 4.5e5]
    assert np.isclose(read.sheet["t_max"][0], 293.15)


@pytest.mark.parametrize("sign", ["\t", ";", "   "])
def test_tables_parted_otherwise(sign):
    rows = [("Tag", "Size", "Rating", "Medium"), ("XV-1", "DN150", "PN16", "sea water"), ("XV-2", "DN250", "PN10", "sewage")]
    read = read_mail("Please quote\n\n" + "\n".join(sign.join(row) for row in rows))
    assert read.sheet["dn"].tolist() == [150, 250]
    assert read.sheet["medium"].tolist() == ["sea water", "sewage"]


def test_a_quoted_mail_counts_too():
    assert read_mail("> > 2 pcs DN80 PN16 sea water 6 bar").sheet["dn"].tolist() == [80]


@pytest.mark.parametrize("text", ["", "Dear all,\nthank you for the nice evening.", "Our number is 0123 456789."])
def test_a_mail_without_valves_says_what_is_wanted(text):
    with pytest.raises(InputError, match="no table of valves"):
        read_mail(text)


def test_an_eml_file_names_its_attachments(tmp_path):
    mail = (
        'Subject: Enquiry 7\nMIME-Version: 1.0\nContent-Type: multipart/mixed; boundary="b"\n\n--b\nContent-Type: text/plain\n\n'
        "2 pcs DN80 PN16 sea water 6 bar\n--b\nContent-Type: application/octet-stream\n"
        'Content-Disposition: attachment; filename="schedule.xlsx"\n\nx\n--b--\n'
    )
    (tmp_path / "m.eml").write_text(mail, "utf-8")
    read = read_mail_file(tmp_path / "m.eml")
    assert read.sheet["dn"].tolist() == [80]
    assert "m: attachment 'schedule.xlsx' was not read" in read.notes
    assert any("Enquiry 7" in n for n in read.notes)


def pdf(lines):
    """A PDF of one page, by hand: each line at its own height, in a face of fixed width."""
    shown = " ".join(f"1 0 0 1 40 {780 - 14 * n} Tm ({line}) Tj" for n, line in enumerate(lines))
    stream = f"BT /F1 9 Tf {shown} ET".encode()
    objects = [
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R/Resources<</Font<</F1 5 0 R>>>>>>",
        b"<</Length %d>>stream\n%s\nendstream" % (len(stream), stream),
        b"<</Type/Font/Subtype/Type1/BaseFont/Courier>>",
    ]
    out, at = io.BytesIO(b"%PDF-1.4\n"), []
    out.seek(0, 2)
    for n, held in enumerate(objects, start=1):
        at.append(out.tell())
        out.write(b"%d 0 obj\n%s\nendobj\n" % (n, held))
    start = out.tell()
    out.write(b"xref\n0 6\n0000000000 65535 f \n" + b"".join(b"%010d 00000 n \n" % a for a in at))
    out.write(b"trailer<</Size 6/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF" % start)
    return out.getvalue()


def test_a_text_pdf_with_a_table(tmp_path):
    lines = [
        "Enquiry",
        "",
        "Tag      Size     Rating   Medium",
        "XV-1     DN150    PN16     sea water",
        "XV-2     DN250    PN10     sewage",
    ]
    (tmp_path / "e.pdf").write_bytes(pdf(lines))
    read = read_mail_file(tmp_path / "e.pdf")
    assert read.sheet["dn"].tolist() == [150, 250]
    assert read.sheet["medium"].tolist() == ["sea water", "sewage"]


def test_a_scan_and_a_torn_file_are_refused(tmp_path):
    (tmp_path / "scan.pdf").write_bytes(pdf([]))
    with pytest.raises(InputError, match="holds no text"):
        read_mail_file(tmp_path / "scan.pdf")
    (tmp_path / "torn.pdf").write_bytes(b"%PDF-1.4 nothing")
    with pytest.raises(InputError, match="cannot be read as a PDF"):
        read_mail_file(tmp_path / "torn.pdf")
    with pytest.raises(InputError, match="cannot be read"):
        read_mail_file(tmp_path / "gone.txt")


@given(st.lists(st.sampled_from(WORDS), max_size=40).map(" ".join) | st.text(max_size=200))
@settings(max_examples=150, deadline=None)
def test_any_text_gives_items_or_one_sentence(text):
    try:
        read = read_mail(text)
    except InputError:
        return
    assert len(read.rows) == len(read.sheet) > 0
    assert [r.n for r in read.rows] == list(range(1, len(read.rows) + 1))


GERMAN = """Sehr geehrte Damen und Herren,
bitte bieten Sie an:
1. 3 Stück DN 150, PN 16, Trinkwasser, 8 bar, 20 °C

Mit freundlichen Grüßen
"""


def test_a_german_mail():
    read = read_mail(GERMAN)
    assert read.sheet["dn"].tolist() == [150]
    assert read.sheet["quantity"].tolist() == [3]
    assert read.sheet["medium"].tolist() == ["Trinkwasser"]
    assert not any("geehrte" in n for n in read.notes)
