"""The main path by hand and eye: a browser takes an enquiry in, edits, answers in bulk, issues, compares, takes the papers away."""

import re
import zipfile
from io import BytesIO

import httpx
import pytest
from pypdf import PdfReader

from .conftest import SCHEDULE

pytestmark = pytest.mark.filterwarnings("ignore::ResourceWarning")
WAIT = 20_000


@pytest.fixture
def page(browser, full):
    """A fresh page; whatever it complained of, or asked for beyond this machine, is a failure."""
    context = browser.new_context(viewport={"width": 1366, "height": 768}, base_url=full, accept_downloads=True)
    shown = context.new_page()
    complaints, abroad = [], []
    shown.on("console", lambda m: complaints.append(m.text) if m.type in ("error", "warning") else None)
    shown.on("pageerror", lambda e: complaints.append(str(e)))
    shown.on(
        "request", lambda r: abroad.append(r.url) if not r.url.startswith((full, full.replace("http", "ws"), "data:", "blob:")) else None
    )
    shown.set_default_timeout(WAIT)
    yield shown
    context.close()
    assert not complaints
    assert not [u for u in abroad if not u.startswith("chrome-extension:")]


def taken_in(page, tmp_path):
    file = tmp_path / "schedule.csv"
    file.write_text(SCHEDULE)
    page.goto("/")
    page.locator("input[type=file]").set_input_files(file)
    page.wait_for_url("**/enquiry/*")
    page.locator(".ag-center-cols-container .ag-row").first.wait_for()


def cell(page, n, column):
    return page.locator(f".ag-row[row-id='{n}'] [col-id='{column}']")


def typed(page, n, column, text):
    cell(page, n, column).dblclick()
    page.keyboard.press("Control+a")
    page.keyboard.type(text)
    page.keyboard.press("Enter")


def test_the_phone_box_answers_while_typing(page):
    page.goto("/")
    box = page.get_by_label("An item in your caller's words")
    assert box.evaluate("e => e === document.activeElement"), "the first key goes into the box"
    box.press_sequentially("sea water dn300 760 m3/h 6 bar 40C wafer", delay=5)
    page.get_by_text("Ask now:").wait_for()
    assert re.fullmatch(r"[●◐✕?]\s*(yes|if|no|ask)", page.locator(".phone-out .verdict").inner_text())
    box.press("Enter")
    page.wait_for_url("**/enquiry/*")
    cell(page, 1, "offered").wait_for()
    assert "300" in cell(page, 1, "size").inner_text()


def test_the_main_path(page, tmp_path):
    taken_in(page, tmp_path)
    assert cell(page, 4, "asked").inner_text().split()[-1] == "no"  # EPDM in mineral oil
    page.goto(page.url + "/revisions")
    page.get_by_label("What this revision is for").fill("as asked")
    page.get_by_role("button", name="Issue the next revision").click()
    page.get_by_role("cell", name="as asked", exact=True).wait_for()
    page.go_back()
    _edited_and_answered(page)
    page.get_by_role("link", name="Revisions").click()
    page.get_by_role("button", name="Compare").click()
    told = page.locator(".comparison")
    told.wait_for()
    assert "EPDM" in told.inner_text()
    assert "NBR" in told.inner_text()
    with page.expect_download() as waiting:
        page.get_by_role("link", name="Take the papers").first.click()
    with zipfile.ZipFile(waiting.value.path()) as book:
        assert {"offer.pdf", "items.json", "offer.xlsx"} <= set(book.namelist())


def _edited_and_answered(page):
    cell(page, 4, "liner").wait_for()
    typed(page, 4, "liner", "NBR")
    page.wait_for_function("() => !document.querySelector(\".ag-row[row-id='4'] [col-id='asked']\").innerText.includes('no')")
    page.get_by_role("button", name="Answer in bulk").click()
    page.get_by_label("Field").fill("oil")
    page.get_by_role("option", name="oil carried").or_(page.get_by_role("option", name="(oil)")).first.click()
    page.get_by_label("What it says, with its unit").fill("oil-free")
    page.get_by_label("For", exact=True).click()
    page.get_by_role("option", name="all compressed air (2)").click()
    page.get_by_role("button", name="Write the answer").click()
    cell(page, 2, "remarks").get_by_text("oil-free").wait_for()
    cell(page, 3, "remarks").get_by_text("oil-free").wait_for()
    assert cell(page, 1, "remarks").inner_text() == ""
    page.get_by_text("Is the compressed air oil-free").wait_for(state="detached")


def test_undo_and_a_block_from_a_spreadsheet(page, tmp_path):
    taken_in(page, tmp_path)
    cell(page, 2, "body").click()
    page.evaluate(
        """() => { const data = new DataTransfer(); data.setData('text/plain', 'DI\\tCF8M\\r\\nWCB\\tCF3M\\r\\n');
        document.activeElement.dispatchEvent(new ClipboardEvent('paste', {clipboardData: data, bubbles: true, cancelable: true})); }"""
    )
    cell(page, 3, "disc").get_by_text("CF3M").wait_for()
    assert [cell(page, n, c).inner_text() for n in (2, 3) for c in ("body", "disc")] == ["DI", "CF8M", "WCB", "CF3M"]
    page.get_by_role("button", name="Undo").click()
    page.get_by_text("taken back in 2 rows").wait_for()
    page.wait_for_function("() => document.querySelector(\".ag-row[row-id='3'] [col-id='disc']\").innerText === ''")


def test_the_other_engineer_is_told(page, full, tmp_path):
    taken_in(page, tmp_path)
    number = page.url.rpartition("/")[2]
    answer = httpx.patch(f"{full}/api/enquiries/{number}/items/1", json={"flow": "111 m3/h"}, headers={"If-Match": "*"}, timeout=60)
    assert answer.status_code == 200
    typed(page, 1, "flow", "222 m3/h")
    page.get_by_text("was changed by engineer at this machine since you read it").wait_for()
    cell(page, 1, "flow").get_by_text("111 m3/h").wait_for()


def test_the_item_page_turns_and_explains(page, tmp_path):
    taken_in(page, tmp_path)
    page.goto(page.url + "/item/1")
    assert page.locator(".drawing svg").count() == 1
    page.locator("[data-number=torque_required]").click()
    page.get_by_role("dialog").get_by_text("seat-contact").wait_for()
    page.get_by_role("button", name="Close").click()
    slider = page.get_by_role("slider").first
    before = page.get_by_text("30° open").inner_text()
    slider.locator("[tabindex='0']").press("ArrowRight")
    page.get_by_text("31° open").wait_for()
    assert before != page.get_by_text("31° open").inner_text()
    page.keyboard.press("Escape")
    page.locator("h1").first.click()
    page.keyboard.press("j")
    page.wait_for_url("**/item/2")


BOOKS = ("/rulebook", "/handbook", "/handbook/liquid-kv", "/maker", "/flange", "/people")
LESSONS = ("/learn", "/learn/interference", "/learn/swing", "/learn/throttling", "/learn/surge", "/learn/least")
NAMELESS = """() => [...document.querySelectorAll(
    'button, a[href], input:not([type=file]):not([type=hidden]), select, textarea, [role=slider]')]
  .filter(e => e.offsetParent && !(e.innerText || '').trim() && !e.getAttribute('aria-label') && !e.labels?.length && !e.title
    && !e.closest('label')).map(e => e.outerHTML.slice(0, 160))"""
RATIOS = """() => {
  const part = c => { c = c / 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; };
  const light = s => { const [r, g, b] = s.match(/[\\d.]+/g).map(Number);
    return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b); };
  const ground = light(getComputedStyle(document.body).backgroundColor);
  const ratio = e => { const ink = light(getComputedStyle(e).color);
    return (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05); };
  return [ground, Math.min(...[...document.querySelectorAll('h1, p, .soft, a, .q-btn')].map(ratio))]; }"""


@pytest.mark.parametrize("path", ["/", *LESSONS, *BOOKS])
def test_every_page_stands_and_has_names(page, path):
    """A heading, a language; every control has a name that a screen reader can say; nothing runs off the screen."""
    page.goto(path)
    page.locator("h1").first.wait_for()
    page.wait_for_timeout(300)
    assert page.evaluate("document.documentElement.lang") == "en"
    assert page.locator("h1").count() == 1
    assert not page.evaluate(NAMELESS)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def test_the_pages_of_an_enquiry_have_names_too(page, tmp_path):
    taken_in(page, tmp_path)
    at = page.url
    for part in ("", "/read", "/item/1", "/item/4", "/papers", "/revisions"):
        page.goto(at + part)
        page.locator("h1").first.wait_for(state="attached")
        page.wait_for_timeout(500)
        assert page.locator("h1").count() == 1, part
        assert not [e for e in page.evaluate(NAMELESS) if "ag-" not in e], part
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, part


def test_an_enquiry_and_an_item_on_paper(page, tmp_path):
    """Black on white by night too, every row that the table shows (not those of its window alone), and no buttons."""
    taken_in(page, tmp_path)
    at = page.url
    page.get_by_role("button", name="Light or dark").click()
    page.get_by_text("Least sure").wait_for()
    word = cell(page, 1, "offered").inner_text().split()[-1]
    page.locator(f"button[data-verdict={word}]").click()
    page.wait_for_timeout(500)
    left = [cell(page, n, "service").inner_text() for n in range(1, 5) if cell(page, n, "service").count()]
    assert left
    for part, wanted, unwanted in (
        ("", ["As asked", *left], "Answer in bulk"),
        ("/item/1", ["What was found", "Numbers"], "Decide by hand"),
    ):
        if part:
            page.goto(at + part)
            page.get_by_text("What was found").wait_for()
        page.emulate_media(media="print")
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
        said = " ".join(p.extract_text() for p in PdfReader(BytesIO(page.pdf(format="A4", landscape=not part))).pages)
        assert all(w in said for w in wanted)
        assert unwanted not in said
    assert page.locator("table.printed").count() == 0, "afterwards the page is what it was"


def test_a_habit_of_a_customer_is_shown_and_forgotten(page, full):
    """What he always means stands on a page of its own; what is forgotten is not taken for granted in his next enquiry."""
    with httpx.Client(base_url=full, timeout=60) as client:
        told = {"customer": "Waterworks of the test"}
        number = client.post("/api/enquiries", files={"file": ("s.csv", SCHEDULE.encode())}, data=told).json()["id"]
        page.goto(f"/enquiry/{number}/read")
        page.get_by_label("Field", exact=True).fill("oil")
        page.get_by_role("option", name=re.compile("oil")).first.click()
        page.get_by_label("Standing answer (empty: forget)").fill("0 ppm")
        page.get_by_role("button", name="Remember", exact=True).click()
        page.get_by_role("link", name="Of all customers").click()
        row = page.get_by_role("row").filter(has_text="Standing answer")
        assert "0 ppm" in row.inner_text()

        def asked():
            made = client.post("/api/enquiries", files={"file": ("s.csv", SCHEDULE.encode())}, data=told).json()["id"]
            return client.get(f"/api/enquiries/{made}/items/2").json()["asked"]

        assert "0 ppm" in asked().values()
        row.get_by_role("button", name="Forget").click()
        page.get_by_text("is forgotten for Waterworks of the test").wait_for()
        page.get_by_text("Nothing is remembered yet").wait_for()
        assert "0 ppm" not in asked().values()


def test_by_day_and_by_night_the_ink_stands_off(page):
    """Contrast of text to ground, WCAG 2.2, 1.4.3: at least 4.5."""
    page.goto("/")
    page.locator("h1").first.wait_for()
    day, ratio = page.evaluate(RATIOS)
    assert ratio >= 4.5
    page.get_by_role("button", name="Light or dark").click()
    page.wait_for_timeout(300)
    night, ratio = page.evaluate(RATIOS)
    assert ratio >= 4.5
    assert night < 0.05 < day
