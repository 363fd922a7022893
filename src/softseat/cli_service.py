"""Commands for the time after the order."""

from pathlib import Path
from typing import Annotated

import typer

Enquiry = Annotated[Path | None, typer.Option("--enquiry", help="the enquiry that the valve was offered under")]
Tag = Annotated[str, typer.Option("--tag", help="its tag there")]
MakerDir = Annotated[Path | None, typer.Option("--maker", help="folder of the maker's data; default: the shipped, invented set")]
Format = Annotated[str, typer.Option("--format", help="table or json")]


def works(
    enquiry: Path,
    records: Annotated[Path | None, typer.Argument(help="works records, JSON or TOML; none: blank ones are written")] = None,
    out: Annotated[Path | None, typer.Option("--out", help="folder; default <enquiry name>-works/")] = None,
    maker: MakerDir = None,
    order: Annotated[Path | None, typer.Option("--order", help="order.toml, as for the offer")] = None,
    kind: Annotated[str, typer.Option("--kind", help="2.1, 2.2 or 3.1 of EN 10204")] = "3.1",
    signed: Annotated[str, typer.Option("--signed", help="who signs; default the inspector of the records")] = "",
    feed: Annotated[Path | None, typer.Option("--feed", help="new folder: the maker's data with the measured torques as tested")] = None,
) -> None:
    """Works records against each valve's plan: what holds, what is open, certificate and labels of those that passed."""
    from softseat.service import works_blank, works_papers

    folder = out or Path(f"{enquiry.stem}-works")
    if records is None:
        print(works_blank(enquiry, folder / "records.json", maker))
    else:
        print(works_papers(enquiry, records, folder, maker=maker, order=order, kind=kind, signed=signed, feed=feed))


def why(
    answers: Annotated[list[str] | None, typer.Argument(help="place=face when=years ...; none: the questions")] = None,
    enquiry: Enquiry = None,
    tag: Tag = "",
    maker: MakerDir = None,
    out: Annotated[Path | None, typer.Option("--out", help="site report, PDF; blank where nothing is answered")] = None,
    format: Format = "table",
) -> None:
    """Why a valve leaks, jams or wears: causes ranked by the answers, the check that tells them apart, the cure."""
    from softseat import service

    found = service.trouble(service.answers_of(answers or []), enquiry=enquiry, tag=tag, maker=maker, out=out)
    if format == "json":
        print(service.as_json(found))
    else:
        print(service.trouble_words(found) if found else service.question_list())


def watch(history: Path, enquiry: Enquiry = None, tag: Tag = "", maker: MakerDir = None, format: Format = "table") -> None:
    """What drifts in a log of strokes (CSV): seat, bearing, operator, air; how many strokes are left."""
    from softseat import service

    found = service.watched(history, enquiry=enquiry, tag=tag, maker=maker)
    print(service.as_json(found) if format == "json" else service.watched_words(found))


def life(file: Path) -> None:
    """Life of a liner from your own ageing tests, spares and when to order, time in store (TOML)."""
    from softseat.service import life_words

    print(life_words(file))


def replace(
    told: Annotated[list[str], typer.Argument(help="bolt_circle=295mm holes=8 hole_diameter=22mm, or size=DN200 rating=PN16")],
    maker: MakerDir = None,
    format: Format = "table",
) -> None:
    """What fits in place of an old valve, from its measures or its nameplate; what to ask."""
    from softseat import service

    found = service.replaced(told, maker)
    print(service.as_json(found) if format == "json" else service.replaced_words(found))
