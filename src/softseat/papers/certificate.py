"""Certificate to EN 10204 and label sheet of valves that passed their works test: the content comes judged, nothing is computed here."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from softseat.errors import PaperError
from softseat.papers.frame import Frame
from softseat.papers.texts import clean, text, titled, word
from softseat.papers.typeset import Press

BUILD = ("size", "rating", "body_style", "body", "liner", "disc", "shaft", "drilling", "operator")
MANY = 40  # valves from which a certificate is set without tags for screen readers


def certificate(frame: Frame, content: Mapping[str, Any]) -> dict[str, Any]:
    """What the certificate prints: valves by build, then what was measured on each.

    Parameters
    ----------
    frame : Frame
        Maker, order and page.
    content : mapping
        From ``works.certificate.certificate_content``.

    Raises
    ------
    PaperError
        Where there is no valve in it.
    """
    if not content.get("valves"):
        raise PaperError("certificate: no valve has passed")
    kind = str(content["kind"])
    return frame.around(
        "certificate",
        kind=kind,
        heading=text(f"certificate.kind.{kind}"),
        statement=text(f"certificate.statement.{kind}"),
        builds=_builds(content["valves"]),
        results=[_result(r) for r in content["results"]],
        gauges=[[g["id"], g["due"]] for g in content["gauges"]],
        signed=str(content["signed_by"]),
        date=str(content["date"]),
        inspected=", ".join(content["inspectors"]),
    )


def _builds(valves: Sequence[Mapping[str, str]]) -> list[dict[str, Any]]:
    """Valves of one build together, each with its numbers."""
    found: dict[str, list[Mapping[str, str]]] = {}
    for valve in valves:
        found.setdefault(valve["build"], []).append(valve)
    return [
        {
            "build": build,
            "facts": [[titled(k), word(group[0][k])] for k in BUILD if group[0].get(k)],
            "standard": group[0]["standard"],
            "rows": [
                [v["serial"], v["tag"] or "–", v["item"], f"{v['liner_batch']} ({v['cure_date']})", v["heat"], v["date"]] for v in group
            ],
            "remarks": [f"{v['serial']}: {v['remarks']}" for v in group if clean(v.get("remarks"))],
        }
        for build, group in found.items()
    ]


def _result(record: Mapping[str, Any]) -> dict[str, Any]:
    head = text("certificate.serial", serial=record["serial"]) + (f" · {record['tag']}" if record["tag"] else "")
    return {
        "head": head,
        "rows": [
            [r["what"], _said(r["required"]), _said(r["measured"]), _said(r["note"]) or text("certificate.held")] for r in record["rows"]
        ],
        "seen": text("certificate.seen", tests="; ".join(record["seen"])) if record["seen"] else "",
        "left": text("certificate.left", tests="; ".join(record["left"])) if record["left"] else "",
    }


def labels(frame: Frame, plates: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """A sheet of labels, two a row: what stands on the nameplate, with tag and storage."""
    if not plates:
        raise PaperError("labels: no valve has passed")
    return frame.around("labels", plates=[{**p, "lines": [[head, _worded(said)] for head, said in p["lines"]]} for p in plates])


def _worded(said: str) -> str:
    """Parts with commas, each as it is called on paper."""
    return ", ".join(word(part) for part in _said(said).split(", "))


def _said(said: str) -> str:
    """Units and signs as they are printed."""
    return re.sub(r"(?<![^\s(])-(?=\d)", "−", re.sub(r"\bum\b", "µm", said))


def certificate_pdf(frame: Frame, content: Mapping[str, Any]) -> bytes:
    """The certificate as PDF; the same content gives the same bytes."""
    with Press() as press:
        return press.set("certificate", certificate(frame, content), 1 if len(content["valves"]) < MANY else 60)


def labels_pdf(frame: Frame, plates: Sequence[Mapping[str, Any]]) -> bytes:
    """The label sheet as PDF."""
    with Press() as press:
        return press.set("labels", labels(frame, plates))
