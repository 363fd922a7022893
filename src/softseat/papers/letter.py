"""The offer as a letter that the office can edit (.docx): the same data as the PDF, the same bytes every time."""

import io
import zipfile
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import docx
from docx.oxml import parse_xml
from docx.oxml.ns import nsdecls, qn
from docx.shared import Mm, Pt, RGBColor

from softseat.papers.texts import text

FONT = "Times New Roman"
FIXED = datetime(1980, 1, 1)
SHAPES = {"yes": "●", "if": "◐", "no": "✕", "ask": "?"}
SHEETS = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
MARGIN = 20.0
NS = nsdecls("w")


def letter(data: Mapping[str, Any]) -> bytes:
    """The letter from the data of the offer."""
    document = _blank(data)
    title = document.add_paragraph().add_run(data["title"])
    title.font.size, title.bold = Pt(20), True
    _table(document, [], data["facts"], (1, 3))
    document.add_paragraph(text("letter.dear"))
    document.add_paragraph(text("letter.lead", name=_fact(data, "enquiry")))
    document.add_paragraph(data["lead"])
    counts = [[_verdict(v), text(f"verdict.{v}.means"), str(asked), str(offered)] for v, asked, offered in data["counts"]]
    _table(document, ["", "", text("asked"), text("offered")], counts, (1, 4, 1, 1))
    _table(document, [], data["totals"], (3, 1))
    for write in (_items, _told("conditions"), _deviations, _refused, _open, _assumptions, _told("advice"), _closing):
        write(document, data)
    return _packed(document)


def _blank(data: Mapping[str, Any]) -> Any:
    """An empty letter in one plain face, with the caution and the page number at its foot."""
    document = docx.Document()
    section = document.sections[0]
    width, height = SHEETS[data["page"]]
    section.page_width, section.page_height = Mm(width), Mm(height)
    section.left_margin = section.right_margin = section.top_margin = section.bottom_margin = Mm(MARGIN)
    for style in document.styles:
        if style.type in (1, 2) and style.name.startswith(("Normal", "Heading", "Title", "List", "Header", "Footer")):
            style.font.name = FONT
            style.font.color.rgb = RGBColor(0x1A, 0x1A, 0x1A)
            style.element.get_or_add_rPr().get_or_add_rFonts().set(qn("w:eastAsia"), FONT)
            for theme in ("asciiTheme", "hAnsiTheme", "eastAsiaTheme", "cstheme"):
                style.element.rPr.rFonts.attrib.pop(qn(f"w:{theme}"), None)
    document.styles["Normal"].font.size = Pt(10)
    foot = section.footer.paragraphs[0]
    foot.add_run(f"{data['caution']} {data['rests']} ").font.size = Pt(7.5)
    before, between, after = text("page", page="\0", pages="\0").split("\0")
    foot._p.extend([_run(before), _field("PAGE"), _run(between), _field("NUMPAGES"), _run(after)])
    section.header.paragraphs[0].add_run(data["running"]).font.size = Pt(8)
    core = document.core_properties
    core.author, core.title, core.comments, core.created, core.modified = "", data["title"], "", FIXED, FIXED
    core.last_modified_by, core.revision = "", 1
    return document


def _items(document: Any, data: Mapping[str, Any]) -> None:
    document.add_heading(text("offer.items"), 1)
    heads = [text(f"offer.items.{k}") for k in ("n", "tag", "quantity", "duty", "asked", "offered", "build", "mass")]
    rows = [
        [str(i["n"]), i["tag"], str(i["quantity"]), i["duty"], _verdict(i["asked"]), _verdict(i["offered"]), _build(i), i["mass"][0]]
        for i in data["items"]
    ]
    _table(document, heads, rows, (1, 3, 1.2, 3, 1.5, 1.5, 6, 1.5))


def _build(item: Mapping[str, Any]) -> str:
    can = item["offered"] in ("yes", "if") and item["choice"]
    parts = [" · ".join(p for p in (item["choice"], item["build"]) if p) if can else "", item["sentence"]]
    return ". ".join(p for p in parts if p)


def _told(kind: str) -> Any:
    """Writer of the conditions or of the advice."""

    def write(document: Any, data: Mapping[str, Any]) -> None:
        if not data[kind]:
            return
        document.add_heading(text(f"offer.{kind}"), 1)
        document.add_paragraph(text(f"offer.{kind}.lead"))
        for entry in data[kind]:
            for said in entry["said"]:
                document.add_paragraph(f"{said['text']} ({said['which']})", style="List Bullet")
            if entry["remedy"]:
                document.add_paragraph().add_run(entry["remedy"]).italic = True

    return write


def _deviations(document: Any, data: Mapping[str, Any]) -> None:
    keys = ("which", "field", "asked", "offered", "why")
    _listed(document, data, "deviations", keys, (2, 2, 2, 2, 4))


def _assumptions(document: Any, data: Mapping[str, Any]) -> None:
    _listed(document, data, "assumptions", ("which", "field", "value", "reason"), (2, 2, 2, 4))


def _listed(document: Any, data: Mapping[str, Any], kind: str, keys: Sequence[str], widths: Sequence[float]) -> None:
    if not data[kind]:
        return
    document.add_heading(text(f"offer.{kind}"), 1)
    document.add_paragraph(text(f"offer.{kind}.lead"))
    heads = [text(f"offer.{kind}.{'items' if k == 'which' else k}") for k in keys]
    _table(document, heads, [[row[k] for k in keys] for row in data[kind]], widths)


def _refused(document: Any, data: Mapping[str, Any]) -> None:
    if not data["refused"]:
        return
    document.add_heading(text("offer.refused"), 1)
    document.add_paragraph(text("offer.refused.lead"))
    for row in data["refused"]:
        said = [f"{row['n']} {row['tag']}:", row["sentence"], *row["reasons"], row["family"], *row["why"]]
        document.add_paragraph(" ".join(s for s in said if s), style="List Bullet")


def _open(document: Any, data: Mapping[str, Any]) -> None:
    if not data["open"]:
        return
    document.add_heading(text("offer.open"), 1)
    document.add_paragraph(text("offer.open.lead"))
    for row in data["open"]:
        said = [f"{row['n']} {row['tag']}:", row["sentence"], row["questions"]]
        document.add_paragraph(" ".join(s for s in said if s), style="List Bullet")


def _closing(document: Any, data: Mapping[str, Any]) -> None:
    document.add_heading(text("offer.exclusions"), 1)
    document.add_paragraph(text("offer.exclusions.lead"))
    for line in data["exclusions"]:
        document.add_paragraph(line, style="List Bullet")
    document.add_heading(text("offer.cautions"), 1)
    for line in [*data["cautions"], data["rests"]]:
        document.add_paragraph(line)
    document.add_paragraph(text("letter.end"))
    document.add_paragraph(_fact(data, "prepared_by"))


def _fact(data: Mapping[str, Any], key: str) -> str:
    return next((said for name, said in data["facts"] if name == text(f"frame.{key}")), "")


def _verdict(verdict: str) -> str:
    return f"{SHAPES.get(verdict, '')} {text(f'verdict.{verdict}')}".strip()


def _table(document: Any, heads: Sequence[str], rows: Sequence[Sequence[str]], shares: Sequence[float]) -> None:
    """A table with hair lines, written row by row as XML: thousands of rows cost nothing to speak of."""
    if not rows:
        return
    room = (document.sections[0].page_width.mm - 2 * MARGIN) / sum(shares) * 1440 / 25.4
    widths = [round(room * share) for share in shares]
    edges = "".join(f'<w:{side} w:val="single" w:sz="4" w:color="9A9FA3"/>' for side in ("top", "bottom", "insideH"))
    grid = "".join(f'<w:gridCol w:w="{w}"/>' for w in widths)
    whole = f'<w:tblW w:w="{sum(widths)}" w:type="dxa"/><w:tblBorders>{edges}</w:tblBorders><w:tblLayout w:type="fixed"/>'
    table = parse_xml(f"<w:tbl {NS}><w:tblPr>{whole}</w:tblPr><w:tblGrid>{grid}</w:tblGrid></w:tbl>")
    if heads:
        table.append(_row(heads, widths, head=True))
    for row in rows:
        table.append(_row(row, widths))
    document.element.body.insert(len(document.element.body) - 1, table)
    document.add_paragraph()


def _row(cells: Sequence[str], widths: Sequence[int], head: bool = False) -> Any:
    row = parse_xml(f"<w:tr {NS}><w:trPr><w:cantSplit/>{'<w:tblHeader/>' if head else ''}</w:trPr></w:tr>")
    for said, width in zip(cells, widths, strict=True):
        cell = parse_xml(f'<w:tc {NS}><w:tcPr><w:tcW w:w="{width}" w:type="dxa"/></w:tcPr><w:p/></w:tc>')
        cell[1].append(_run(said, bold=head, points=8.5))
        row.append(cell)
    return row


def _run(said: str, bold: bool = False, points: float = 7.5) -> Any:
    look = f'{"<w:b/>" if bold else ""}<w:sz w:val="{round(2 * points)}"/>'
    run = parse_xml(f'<w:r {NS}><w:rPr>{look}</w:rPr><w:t xml:space="preserve"/></w:r>')
    run[1].text = said
    return run


def _field(name: str) -> Any:
    return parse_xml(f'<w:fldSimple {NS} w:instr="{name}"><w:r><w:rPr><w:sz w:val="15"/></w:rPr><w:t>1</w:t></w:r></w:fldSimple>')


def _packed(document: Any) -> bytes:
    """The file with its parts in order and one fixed time stamp."""
    held, out = io.BytesIO(), io.BytesIO()
    document.save(held)
    with zipfile.ZipFile(held) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name in sorted(source.namelist()):
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            target.writestr(entry, source.read(name))
    return out.getvalue()
