"""The order file: what is read, and the one sentence where it cannot be."""

import pytest

from softseat.errors import InputError
from softseat.papers.order import Order, read_order


def test_read(tmp_path):
    (tmp_path / "head.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    place = tmp_path / "order.toml"
    place.write_text('buyer = "Works"\nreference = 17\ndate = 2026-01-07\n"prepared by" = "P."\nletterhead = "head.svg"\n', "utf-8")
    assert read_order(place) == Order("Works", "17", "", "2026-01-07", "", "P.", "<svg xmlns='http://www.w3.org/2000/svg'/>")


@pytest.mark.parametrize(
    ("said", "error"),
    [
        ("buyer = ", "no TOML"),
        ('price = "1"', "'price' is not known; allowed are buyer, reference"),
        ("buyer = [1]", "buyer is list; a text"),
        ('letterhead = "gone.svg"', "letterhead gone.svg: No such file"),
        ('letterhead = "order.toml"', "is no SVG"),
    ],
)
def test_mistakes_are_named(tmp_path, said, error):
    place = tmp_path / "order.toml"
    place.write_text(said, "utf-8")
    with pytest.raises(InputError, match=error):
        read_order(place)


def test_no_file(tmp_path):
    with pytest.raises(InputError, match="No such file"):
        read_order(tmp_path / "gone.toml")
