"""The interface against its own description: whatever the description allows, the answer is a problem or a result, never a fault."""

import pytest
from hypothesis import HealthCheck, given, settings

schemathesis = pytest.importorskip("schemathesis", reason="schemathesis is not installed")
# makes papers: covered by test_api, and too slow to be repeated
SLOW = ("/papers", "/revisions")


def test_no_request_is_a_fault(desk):
    desk.take()
    desk.client.post("/api/enquiries/1/papers", json={"papers": []})
    described = schemathesis.openapi.from_dict(desk.client.get("/openapi.json").json())
    described.config.update(base_url=desk.url)
    looked_at = []
    for found in described.get_all_operations():
        operation = found.ok()
        if operation.method.upper() == "POST" and operation.path.endswith(SLOW):
            continue
        _asked(operation)
        looked_at.append(operation.path)
    assert len(looked_at) >= 12


def _asked(operation):
    @given(case=operation.as_strategy())
    @settings(max_examples=12, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    def ask(case):
        answer = case.call()
        assert answer.status_code < 500, f"{case.method} {case.path} {case.path_parameters} {case.body}: {answer.text}"
        if answer.status_code >= 400:
            assert answer.headers["content-type"][0].startswith("application/problem+json")

    ask()
