"""The pack as a whole: all or nothing, the same bytes, nothing of the user's lost. Properties; no outside source exists."""

import io
import json
import os
import re
import zipfile
from dataclasses import replace
from datetime import UTC, datetime

import docx
import pytest
from pypdf import PdfReader

from softseat.errors import InputError, PaperError
from softseat.papers import pack
from softseat.papers.order import Order
from softseat.papers.pack import PAPERS, write_pack

ORDER = Order(buyer="Buyer (invented)", reference="Q-17", revision="B", date="2026-01-07", validity="30 days", prepared_by="P. Engineer")
BOOKS = ("offer", "questions", "datasheets", "test-plan", "fitting-cards")
INVENTED = "demonstration data, invented"
CAUTION = "to be checked by a competent engineer; local codes and licensed practice rule"


def pages(path):
    return [re.sub(r"[\s\u200b]+", " ", p.extract_text()) for p in PdfReader(path).pages]


def squeezed(said):
    return re.sub(r"[\s\u200b\u202a-\u202e]+", "", said)


@pytest.fixture(scope="module")
def made(sample, tmp_path_factory):
    out = tmp_path_factory.mktemp("pack") / "out"
    paths = write_pack(sample.items(), out, name="sample enquiry", maker=sample.MAKER, order=ORDER, calculations=True)
    return out, paths


def test_all_papers_are_there(made):
    out, paths = made
    assert {p.name for p in out.iterdir()} == pack.FILES - {"returned.xlsx"}
    assert paths == sorted(p for p in out.rglob("*") if p.is_file())
    assert not [p for p in out.parent.iterdir() if p != out]


@pytest.mark.parametrize("book", BOOKS)
def test_every_page_says_whose_data_and_what_it_is_not(made, book):
    for number, page in enumerate(said := pages(made[0] / f"{book}.pdf"), start=1):
        assert CAUTION in page
        assert INVENTED in page.casefold()
        assert f"page {number} of {len(said)}" in page


def test_a_calculation_sheet_carries_the_caution(made):
    sheets = sorted((made[0] / "calculations").iterdir())
    assert len(sheets) == 8
    for sheet in sheets:
        assert all(CAUTION in page and INVENTED in page.casefold() for page in pages(sheet))


def test_two_runs_are_byte_identical(made, sample, tmp_path):
    out, _ = made
    again = tmp_path / "again"
    write_pack(sample.items(), again, name="sample enquiry", maker=sample.MAKER, order=ORDER, calculations=True)
    names = sorted(p.relative_to(out) for p in out.rglob("*") if p.is_file())
    assert names == sorted(p.relative_to(again) for p in again.rglob("*") if p.is_file())
    assert [n for n in names if (out / n).read_bytes() != (again / n).read_bytes()] == []


@pytest.mark.parametrize("book", ["offer", "datasheets"])
def test_every_tag_is_printed(made, sample, book):
    """Arabic letters leave a PDF reader in visual order, so only the figures of that tag are looked for."""
    said = squeezed(" ".join(pages(made[0] / f"{book}.pdf")))
    for item in sample.items():
        if book == "datasheets" and item.offered in ("no", "ask"):
            continue
        tag = item.tag or f"item {item.n}, without tag"
        tag = "1234" if "\u202e" in tag else tag
        tag = tag[:60] if book == "offer" else tag
        assert squeezed(tag) in said, tag


def test_a_sheet_for_each_item_that_can_be_offered_and_no_other(made, sample):
    outline = [entry.title for entry in PdfReader(made[0] / "datasheets.pdf").outline]
    assert len(outline) == sum(i.offered in ("yes", "if") for i in sample.items()) == 8
    assert "BV-1009" not in outline


def test_no_nan_reaches_a_paper(made):
    """The sample holds a nan and a None among its numbers."""
    for book in BOOKS:
        assert not re.search(r"\b(nan|None|null|inf)\b", " ".join(pages(made[0] / f"{book}.pdf")))
    assert '"noise"' in (made[0] / "items.json").read_text("utf-8")
    json.loads((made[0] / "items.json").read_text("utf-8"), parse_constant=pytest.fail)


def test_without_an_order_no_date_is_made_up(sample, tmp_path):
    write_pack(sample.items()[:2], tmp_path / "out", name="x", maker=sample.MAKER, papers={"offer", "docx"})
    said = " ".join(pages(tmp_path / "out" / "offer.pdf"))
    assert "Date" not in said
    assert str(datetime.now().year) not in said
    assert not {"/CreationDate", "/ModDate"} & set(PdfReader(tmp_path / "out" / "offer.pdf").metadata)


def test_the_letter_can_be_edited_and_has_no_clock(made, sample):
    held = (made[0] / "offer.docx").read_bytes()
    document = docx.Document(io.BytesIO(held))
    said = squeezed(" ".join(c.text for t in document.tables for r in t.rows for c in r.cells))
    assert all(squeezed(i.tag.replace("\u202e", ""))[:60] in said for i in sample.items())
    assert document.core_properties.created == document.core_properties.modified == datetime(1980, 1, 1, tzinfo=UTC)
    assert {e.date_time for e in zipfile.ZipFile(io.BytesIO(held)).infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert CAUTION in document.sections[0].footer.paragraphs[0].text


def test_only_the_record(sample, tmp_path):
    assert [p.name for p in write_pack(sample.items(), tmp_path / "o", name="x", maker=sample.MAKER, papers=set())] == ["items.json"]


def test_nothing_to_offer_is_still_a_pack(sample, tmp_path):
    refused = [i for i in sample.items() if i.offered == "no"]
    write_pack(refused, tmp_path / "o", name="x", maker=sample.MAKER)
    assert "No item can be offered" in pages(tmp_path / "o" / "datasheets.pdf")[0]
    assert "No question is open" in pages(tmp_path / "o" / "questions.pdf")[0]
    write_pack([], tmp_path / "empty", name="x", maker=sample.MAKER, papers=set(PAPERS) - {"workbook"})


def test_a_wrong_word_is_named(sample, tmp_path):
    with pytest.raises(InputError, match=r"'brochure'.*offer, questions"):
        write_pack(sample.items(), tmp_path / "o", name="x", maker=sample.MAKER, papers={"brochure"})
    with pytest.raises(InputError, match=r"'a7'.*a4, letter"):
        write_pack(sample.items(), tmp_path / "o", name="x", maker=sample.MAKER, page="a7")
    assert not (tmp_path / "o").exists()


def test_a_file_in_the_way_and_a_closed_place(sample, tmp_path, monkeypatch):
    (tmp_path / "file").write_text("mine")
    with pytest.raises(InputError, match="is a file"):
        write_pack(sample.items(), tmp_path / "file", name="x", maker=sample.MAKER, papers=set())

    def closed(*_a, **_k):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(pack.tempfile, "mkdtemp", closed)  # the super-user of a test machine can write everywhere
    with pytest.raises(PaperError, match=r"no papers can be written there \(Permission denied\)"):
        write_pack(sample.items(), tmp_path / "o", name="x", maker=sample.MAKER, papers=set())


def test_no_partial_pack(sample, tmp_path, monkeypatch):
    """The last paper fails: the earlier pack stands untouched, and nothing is left beside it."""
    out = tmp_path / "o"
    write_pack(sample.items()[:1], out, name="x", maker=sample.MAKER, papers={"offer"})
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}

    def full(*_a, **_k):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pack, "letter", full)
    with pytest.raises(PaperError, match="No space left"):
        write_pack(sample.items(), out, name="x", maker=sample.MAKER, papers={"questions", "docx"})
    assert {p: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before
    assert os.listdir(tmp_path) == ["o"]


def test_an_earlier_pack_is_replaced_and_files_of_the_user_are_not(sample, tmp_path):
    out = tmp_path / "o"
    write_pack(sample.items(), out, name="x", maker=sample.MAKER, papers={"drawings", "offer"})
    write_pack(sample.items()[:1], out, name="x", maker=sample.MAKER, papers={"drawings"})
    assert {p.name for p in out.iterdir()} == {"items.json", "drawings"}
    assert len(list((out / "drawings").iterdir())) == 1
    (out / "mine.txt").write_text("mine")
    write_pack(sample.items(), out, name="x", maker=sample.MAKER, papers={"offer"})
    assert (out / "mine.txt").read_text() == "mine"
    assert {p.name for p in out.iterdir()} == {"items.json", "drawings", "offer.pdf", "mine.txt"}


def test_a_very_long_enquiry_has_its_datasheets_in_parts(sample, tmp_path, monkeypatch):
    monkeypatch.setattr(pack, "VOLUME", 3)
    out = tmp_path / "o"
    write_pack(sample.items(), out, name="x", maker=sample.MAKER, papers={"datasheets"})
    parts = [out / n for n in ("datasheets.pdf", "datasheets-2.pdf", "datasheets-3.pdf")]
    assert {p.name for p in out.iterdir()} == {"items.json", *(p.name for p in parts)}
    assert sum(len(PdfReader(p).outline) for p in parts) == 8
    assert "part 3 of 3, page 1 of" in pages(parts[2])[0]
    write_pack(sample.items(), out, name="x", maker=sample.MAKER, papers={"offer"})
    assert {p.name for p in out.iterdir()} == {"items.json", "offer.pdf"}


def test_progress_counts_every_step(sample, tmp_path):
    told = []
    write_pack(sample.items()[:1], tmp_path / "o", name="x", maker=sample.MAKER, papers={"offer"}, progress=lambda *a: told.append(a))
    assert told == [("items.json", 1, 2), ("offer", 2, 2)]


def test_letter_paper_and_letter_head(sample, tmp_path):
    head = "<svg xmlns='http://www.w3.org/2000/svg' width='170mm' height='12mm'><rect width='40' height='12'/></svg>"
    order = Order(letterhead=head, buyer="#pagebreak() $x$ *b* [c] \\ <d>")
    out = tmp_path / "o"
    write_pack(sample.items(), out, name="x", maker=sample.MAKER, order=order, papers={"offer"}, page="letter")
    first = PdfReader(out / "offer.pdf").pages[0]
    assert (round(float(first.mediabox.width)), round(float(first.mediabox.height))) == (612, 792)
    assert "#pagebreak() $x$ *b* [c] \\ <d>" in first.extract_text()


def test_a_set_that_is_not_invented_does_not_say_so(sample, tmp_path):
    maker = {"name": "works", "title": "Works range", "invented": "no"}
    write_pack(sample.items()[:1], tmp_path / "o", name="x", maker=maker, papers={"offer"})
    said = " ".join(pages(tmp_path / "o" / "offer.pdf"))
    assert "Works range" in said
    assert "invented" not in said.lower()


def test_strange_texts_can_be_set(sample, tmp_path):
    """Every kind of character that a cell can hold, half a surrogate pair among them."""
    odd = "a\x00b\ud800c\u2066d\u200be\n\tf 阀门 \U0001f600 \ufffe {x} %s </text> ]] \"' &amp;"
    items = [replace(sample.item(0), tag=odd, service=odd, medium=odd, sentence=odd, tags=(odd, odd))]
    write_pack(items, tmp_path / "o", name=odd, maker=sample.MAKER, calculations=True, papers=set(PAPERS) - {"workbook"})
    assert "{x} %s </text>" in pages(tmp_path / "o" / "datasheets.pdf")[0]
