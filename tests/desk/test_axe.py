"""Every page under the rules of axe-core (WCAG 2.2 A and AA, and best practice): nothing serious, nothing critical.

By night the contrast alone: what else stands on a page is the same.
"""

from importlib.resources import files
from pathlib import Path

import httpx
import pytest

BREWERY = next((Path(__file__).parents[1] / "enquiry" / "enquiries").glob("*brewery*.csv"))
BOOKS = ("/learn", "/learn/swing", "/rulebook", "/handbook", "/handbook/hub-contact", "/maker")
ANSWERS = ("/flange", "/complaint", "/customers", "/people")
PARTS = ("", "/item/1", "/item/3", "/read", "/papers", "/revisions")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
RUN = """async (tags) => (await axe.run(document, {resultTypes: ['violations'],
    runOnly: matchMedia('(prefers-color-scheme: dark)').matches ? ['color-contrast'] : {type: 'tag', values: tags}})).violations
  .map(v => [v.impact, v.id, v.nodes.length, v.nodes[0].html.slice(0, 200)])"""
GRAVE = ("serious", "critical")
STROKES = "stroke,stroke time [s]\n" + "".join(f"{n},{10 + 0.02 * n:.2f}\n" for n in range(1, 60))  # invented


@pytest.fixture(scope="module")
def axe():
    pytest.importorskip("axe_playwright_python", reason="axe-playwright-python is not installed")
    return (files("axe_playwright_python") / "axe.min.js").read_text("utf-8")


@pytest.fixture(scope="module")
def enquiry(full):
    """The brewery's enquiry with two revisions, a decision by hand and papers."""
    with httpx.Client(base_url=full, timeout=120) as client:
        told = {"customer": "Brewery of the test"}
        number = client.post("/api/enquiries", files={"file": (BREWERY.name, BREWERY.read_bytes())}, data=told).json()["id"]
        at = f"/api/enquiries/{number}"
        assert client.post(f"{at}/revisions", json={"note": "first"}).status_code == 201
        assert client.post(f"{at}/items/4/overrides", json={"decision": "as asked", "reason": "made so for years"}).status_code == 201
        assert client.post(f"{at}/papers", json={"papers": ["offer", "workbook"]}).status_code == 201
    return number


@pytest.fixture(params=["light", "dark"])
def page(request, browser, full):
    context = browser.new_context(viewport={"width": 1366, "height": 768}, base_url=full, color_scheme=request.param)
    shown = context.new_page()
    shown.set_default_timeout(20_000)
    yield shown
    context.close()


def grave(page, axe, where):
    """What axe finds on the page as it stands now, said with its place."""
    page.wait_for_timeout(450)  # until nothing fades in any more
    page.evaluate(axe)
    return [(where, *found) for found in page.evaluate(RUN, RULES) if found[0] in GRAVE]


def test_what_is_wrong_is_found(page, axe):
    """So that an empty list below means something: a button without a name, a word that hardly stands off."""
    page.goto("/flange")
    page.locator("h1").wait_for()
    page.evaluate("document.body.append(document.createElement('button'))")
    page.evaluate("document.querySelector('h1').style.color = '#888'; document.querySelector('h1').style.background = '#777'")
    night = page.evaluate("matchMedia('(prefers-color-scheme: dark)').matches")
    assert {f[2] for f in grave(page, axe, "/flange")} == ({"color-contrast"} if night else {"button-name", "color-contrast"})


def test_books_and_works(page, axe, enquiry):
    found = []
    for path in ("/", *BOOKS, *ANSWERS, "/strokes", "/works", f"/works/{enquiry}/1"):
        page.goto(path)
        page.locator("h1").first.wait_for(state="attached")
        if path == "/strokes":
            page.locator("input[type=file]").set_input_files({"name": "log.csv", "mimeType": "text/csv", "buffer": STROKES.encode()})
            page.get_by_text("59 strokes read").wait_for()
        if path.startswith("/works/"):
            page.get_by_text("It does not pass yet").wait_for()
        found += grave(page, axe, path)
    assert not found


def test_an_enquiry_and_its_dialogs(page, axe, enquiry):
    found = []
    for part in PARTS:
        page.goto(f"/enquiry/{enquiry}{part}")
        page.locator("h1").first.wait_for(state="attached")
        if not part:
            page.locator(".ag-center-cols-container .ag-row").first.wait_for()
            page.get_by_text("Least sure").wait_for()
            found += [f for name in ("Answer in bulk", "Item by phone") for f in opened(page, axe, name)]
        if part == "/item/1":
            found += opened(page, axe, "Decide by hand") + opened(page, axe, "The whole calculation sheet")
        found += grave(page, axe, part)
    assert not found


def opened(page, axe, name):
    """What stands in the dialog that this button opens."""
    page.get_by_role("button", name=name).click()
    dialog = page.get_by_role("dialog")
    dialog.wait_for()
    found = grave(page, axe, name)
    dialog.get_by_role("button", name="Close").click()
    dialog.wait_for(state="detached")
    return found
