"""The HTTP interface: contract, section 4; problem details, RFC 9457; conditional requests, RFC 9110 13.1.1 and RFC 6585 3 (428)."""

import json
import threading
import zipfile
from io import BytesIO

import httpx
import pytest


def test_an_enquiry_goes_in_and_its_items_come_out(desk):
    number = desk.take()
    items = desk.client.get(f"/api/enquiries/{number}/items").json()
    assert [i["tag"] for i in items] == ["T-1", "T-2", "T-3", "T-4"]
    assert {"as_asked", "offered", "choice", "numbers", "points", "findings", "questions", "assumptions", "origins"} <= set(items[0])
    assert items[0]["origins"]["size"]["text"] == "DN200"
    # EPDM in mineral oil: refused in any handbook of rubbers, whatever the maker has
    assert items[3]["as_asked"] == "no"


def test_a_change_needs_the_version_that_was_read(desk):
    number = desk.take()
    at = f"/api/enquiries/{number}/items/1"
    assert desk.client.patch(at, json={"flow": "500 m3/h"}).status_code == 428
    tag = desk.client.get(at).headers["etag"]
    changed = desk.client.patch(at, json={"flow": "500 m3/h"}, headers={"If-Match": tag})
    assert changed.status_code == 200
    assert changed.json()["asked"]["flow"] == "500 m3/h"
    assert changed.headers["etag"] != tag
    late = desk.client.patch(at, json={"flow": "600 m3/h"}, headers={"If-Match": tag})
    assert late.status_code == 412
    assert late.headers["content-type"] == "application/problem+json"
    assert desk.client.get(at).json()["asked"]["flow"] == "500 m3/h"


def test_two_engineers_lose_nothing(desk):
    """Both read, both write the same item at once: one is served, the other is told, and what stands is the one's."""
    number = desk.take()
    at = f"{desk.url}/api/enquiries/{number}/items/1"
    tag = httpx.get(at, timeout=60).headers["etag"]
    start, answers = threading.Barrier(6), []

    def engineer(k):
        start.wait()
        answers.append((k, httpx.patch(at, json={"flow": f"{400 + k} m3/h"}, headers={"If-Match": tag}, timeout=60).status_code))

    threads = [threading.Thread(target=engineer, args=(k,)) for k in range(6)]
    [t.start() for t in threads]
    [t.join() for t in threads]
    served = [k for k, status in answers if status == 200]
    assert len(served) == 1
    assert sorted(s for _, s in answers) == [200] + [412] * 5
    assert httpx.get(at, timeout=60).json()["asked"]["flow"] == f"{400 + served[0]} m3/h"


def test_two_engineers_on_two_items_are_both_served(desk):
    number = desk.take()
    tags = [desk.client.get(f"/api/enquiries/{number}/items/{n}").headers["etag"] for n in (1, 2)]
    for n, tag in zip((1, 2), tags, strict=True):
        answer = desk.client.patch(f"/api/enquiries/{number}/items/{n}", json={"liner": "NBR"}, headers={"If-Match": tag})
        assert answer.status_code == 200, answer.text


def test_a_field_without_a_column_gets_one(desk):
    number = desk.take()
    at = f"/api/enquiries/{number}/items/2"
    tag = desk.client.get(at).headers["etag"]
    before = desk.client.get(f"/api/enquiries/{number}/items").json()
    assert [any(q["field"] == "oil" for q in i["questions"]) for i in before] == [False, True, True, False]
    item = desk.client.patch(at, json={"oil": "oil-free"}, headers={"If-Match": tag}).json()
    assert item["asked"]["remarks"] == "oil-free"
    others = desk.client.get(f"/api/enquiries/{number}/items").json()
    assert [any(q["field"] == "oil" for q in i["questions"]) for i in others] == [False, False, True, False]
    assert "remarks" not in others[0]["asked"]
    assert [i["tag"] for i in others] == ["T-1", "T-2", "T-3", "T-4"]


@pytest.mark.parametrize(
    ("method", "path", "body", "status", "says"),
    [
        ("GET", "/api/enquiries/999/items", None, 404, "no enquiry 999"),
        ("GET", "/api/nothing", None, 404, ""),
        ("GET", "/api/enquiries/x/items", None, 422, "id"),
        ("POST", "/api/calc/no-such", {}, 422, "no calculation"),
        ("POST", "/api/calc/joukowsky", {"density": 998}, 422, "missing argument"),
        ("POST", "/api/calc/joukowsky", {"density": "998 apples", "wave_speed": 1, "velocity_change": 1}, 422, "apples"),
        ("POST", "/api/item", {"words": ""}, 422, "words"),
        ("POST", "/api/item", {"word": "x"}, 422, "words"),
        ("GET", "/api/enquiries/999/papers/offer.pdf", None, 404, "999"),
    ],
)
def test_mistakes_are_problems(desk, method, path, body, status, says):
    answer = desk.client.request(method, path, json=body)
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    told = answer.json()
    assert told["status"] == status
    assert told["instance"] == path
    assert says in told["detail"]
    assert {"type", "title"} <= set(told)


def test_an_unknown_field_names_those_that_are_known(desk):
    number = desk.take()
    answer = desk.client.patch(f"/api/enquiries/{number}/items/1", json={"colour": "red"}, headers={"If-Match": "*"})
    assert answer.status_code == 422
    assert "'colour'" in answer.json()["detail"]
    assert "medium" in answer.json()["detail"]


@pytest.mark.parametrize(
    ("name", "data"),
    [("a.exe", b"MZ" + b"\0" * 99), ("a.csv", b""), ("a.csv", b"\x89PNG\r\n\x1a\n" + bytes(300)), ("a.xlsx", b"PK\x03\x04x")],
)
def test_what_is_no_enquiry_is_refused_and_not_kept(desk, name, data):
    before = len(desk.client.get("/api/enquiries").json())
    answer = desk.client.post("/api/enquiries", files={"file": (name, data)})
    assert answer.status_code == 422, answer.text
    assert len(desk.client.get("/api/enquiries").json()) == before


def test_too_large_is_refused(desk):
    answer = desk.client.post("/api/enquiries", files={"file": ("a.csv", b"x" * 31_000_000)})
    assert answer.status_code == 413
    # in pieces, without saying how much it will be
    head = b'--x\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\n\r\n'
    parts = (head if n == 0 else b"x" * 1_000_000 for n in range(32))
    answer = desk.client.post("/api/enquiries", content=parts, headers={"content-type": "multipart/form-data; boundary=x"})
    assert answer.status_code == 413
    assert answer.headers["content-type"] == "application/problem+json"


def test_a_calculation(desk):
    # rho a dv: 998 kg/m3, 1200 m/s, 2 m/s give 2.3952 MPa, closed form
    answer = desk.client.post("/api/calc/joukowsky", json={"density": 998, "wave_speed": "1200 m/s", "velocity_change": 2}).json()
    assert answer["pressure_rise"] == pytest.approx(998 * 1200 * 2)
    assert answer["units"] == {"pressure_rise": "Pa"}


def test_one_item_from_words(desk):
    item = desk.client.post("/api/item", json={"words": "sea water dn300 760 m3/h 6 bar 40C wafer lever"}).json()
    assert item["choice"]["size"] == "DN300"


def test_papers_and_revisions(desk):
    number = desk.take()
    assert desk.client.get(f"/api/enquiries/{number}/papers/offer.pdf").status_code == 404
    made = desk.client.post(f"/api/enquiries/{number}/papers", json={"papers": ["offer", "workbook"]}).json()
    assert {"offer.pdf", "offer.xlsx", "items.json", "pack.zip"} <= set(made["papers"])
    assert desk.client.get(f"/api/enquiries/{number}/papers/offer.pdf").content.startswith(b"%PDF")
    assert desk.client.get(f"/api/enquiries/{number}/papers/..%2f..%2fdesk.db").status_code == 404
    items = desk.client.get(f"/api/enquiries/{number}/papers/items.json").json()
    assert [i["tag"] for i in items] == ["T-1", "T-2", "T-3", "T-4"]
    issued = desk.client.post(f"/api/enquiries/{number}/revisions", json={"note": "first"}).json()
    assert issued["number"] == 1
    pack = desk.client.get(f"/api/enquiries/{number}/revisions/1/pack.zip").content
    desk.client.patch(f"/api/enquiries/{number}/items/1", json={"size": "DN250"}, headers={"If-Match": "*"})
    compared = desk.client.get(f"/api/enquiries/{number}/compare", params={"a": 1}).json()
    assert [(c["tag"], c["what"], c["before"], c["after"]) for c in compared["changed"]] == [("T-1", "size", "DN200", "DN250")]
    assert desk.client.get(f"/api/enquiries/{number}/revisions/1/pack.zip").content == pack
    with zipfile.ZipFile(BytesIO(pack)) as book:
        assert json.loads(book.read("items.json"))[0]["choice"]["size"] == "DN200"


def test_a_decision_by_hand_stands_on_every_paper(desk):
    number = desk.take()
    at = f"/api/enquiries/{number}/items/4"
    verdict = desk.client.get(at).json()["offered"]
    short = desk.client.post(f"{at}/overrides", json={"decision": "as asked", "reason": "he wants"})
    assert short.status_code == 422
    made = desk.client.post(f"{at}/overrides", json={"decision": "EPDM as asked", "reason": "tested in this oil for two years"})
    assert made.status_code == 201
    item = desk.client.get(at).json()
    assert item["offered"] == verdict, "a person adds to the verdict, and does not rewrite it"
    assert "EPDM as asked" in item["sentence"]
    assert item["findings"][0]["rule"] == "by hand"
    desk.client.post(f"/api/enquiries/{number}/papers", json={"papers": ["offer"]})
    assert "tested in this oil" in json.dumps(desk.client.get(f"/api/enquiries/{number}/papers/items.json").json())


def test_a_page_of_another_site_may_not_write(desk):
    for headers in ({"origin": "https://example.org"}, {"sec-fetch-site": "cross-site"}):
        assert desk.client.post("/api/item", json={"words": "water dn100"}, headers=headers).status_code == 403
    assert desk.client.get("/api/enquiries", headers={"host": "example.org"}).status_code == 400


def test_headers_keep_the_browser_at_home(desk):
    headers = desk.client.get("/api/enquiries").headers
    assert "default-src 'self'" in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"


def test_openapi_tells_all_of_the_contract(desk):
    told = desk.client.get("/openapi.json").json()
    at = "/api/enquiries/{id}"
    wanted = {("/api/enquiries", "post"), (f"{at}/items", "get"), (f"{at}/items/{{n}}", "patch"), ("/api/calc/{name}", "post")}
    wanted |= {(f"{at}/papers", "post"), (f"{at}/papers/{{name}}", "get"), ("/api/item", "post")}
    assert wanted <= {(path, method) for path, methods in told["paths"].items() for method in methods}
    assert told["openapi"].startswith("3.1")
