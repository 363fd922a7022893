"""What every paper carries: whose data, the caution, the order, the words of the catalogue."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from softseat.errors import InputError
from softseat.papers.lettering import printed
from softseat.papers.order import Order
from softseat.papers.texts import catalogue, clean, short, text

PAGES = {"a4": "a4", "letter": "us-letter"}


@dataclass(frozen=True, slots=True)
class Frame:
    """The enquiry's name, the maker's data and the order that a pack is made under."""

    name: str
    maker: Mapping[str, str]
    order: Order | None = None
    page: str = "a4"

    def __post_init__(self) -> None:
        if self.page not in PAGES:
            raise InputError(f"page is {self.page!r}; allowed are {', '.join(PAGES)}")

    @property
    def named(self) -> str:
        """Whose data in a few words, for the foot of each page; that they are invented is said."""
        said = clean(self.maker.get("title") or self.maker.get("name"))
        told = text("maker.invented").rstrip(".")
        return f"{said} ({told.lower()})" if self.invented and told.casefold() not in said.casefold() else said

    @property
    def rests(self) -> str:
        """The sentence that names the maker's data, and says so where they are invented."""
        name, title = clean(self.maker.get("name")), clean(self.maker.get("title"))
        if name and title and name != title:
            said = text("maker.rests", title=title, name=name)
        else:
            said = text("maker.rests.same", title=title or name)
        told = text("maker.invented")
        return f"{said} {told}" if self.invented and told.rstrip(".").casefold() not in said.casefold() else said

    @property
    def invented(self) -> bool:
        """True unless the maker's data say that they are not."""
        return self.maker.get("invented", "yes") != "no"

    @property
    def facts(self) -> list[list[str]]:
        """Label and text of what is known of the order; nothing is made up, no date least of all."""
        order = self.order or Order()
        told = {
            "buyer": order.buyer,
            "enquiry": self.name,
            "reference": order.reference,
            "revision": order.revision,
            "date": order.date,
            "validity": order.validity,
            "prepared_by": order.prepared_by,
            "maker": clean(self.maker.get("title") or self.maker.get("name")),
        }
        return [[text(f"frame.{key}"), said] for key, said in told.items() if clean(said)]

    @property
    def running(self) -> str:
        """The running head: reference and revision, or the enquiry's name."""
        order = self.order or Order()
        revision = f"{text('frame.revision')} {order.revision}" if order.revision else ""
        return " · ".join(short(part, 44) for part in (order.buyer, order.reference or self.name, revision) if clean(part))

    def around(self, paper: str, **content: Any) -> dict[str, Any]:
        """The data of one paper, fit for print."""
        held = {
            "paper": paper,
            "title": text(f"{paper}.title"),
            "page": PAGES[self.page],
            "caution": text("caution"),
            "rests": self.rests,
            "foot": text("maker.rests.same", title=short(self.named, 60)),
            "demo": text("maker.invented") if self.invented else "",
            "facts": self.facts,
            "running": self.running,
            "letterhead": {"svg": self.order.letterhead if self.order else ""},
            **content,
        }
        return {**printed(held), "t": dict(catalogue())}
