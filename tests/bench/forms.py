"""The forms of the pages, as a browser sends them."""

from __future__ import annotations

import re

from httpx2 import Response
from starlette.testclient import TestClient

from triage.bench.views.letter import blocks_of
from triage.store import Store


def letter(store: Store, thread: int, **changed: str) -> dict[str, object]:
    """The form as a browser sends it; `b3="..."` types into the third block, `more="..."` adds one."""
    found = store.thread(thread)
    draft = found.drafts[-1].draft
    blocks = blocks_of(draft)
    texts = [changed.get(f"b{n}", block.text) for n, block in enumerate(blocks)]
    return {
        "base": str(len(found.drafts)),
        "replies": str(len(found.replies)),
        "subject": draft.subject,
        "text": [*texts, changed.get("more", "")],
        "source": [*(block.source for block in blocks), "written:Wyn"],
        "opens": [*(str(int(block.opens)) for block in blocks), "1"],
    }


def post(client: TestClient, path: str, data: dict[str, object], *, part: bool = True, **more: object) -> Response:
    """As htmx posts it, with the token of the page."""
    token = {"HX-Request": "true"} if part else {}
    return client.post(path, data=data | more, headers=token | csrf(client))


def csrf(client: TestClient) -> dict[str, str]:
    page = client.get("/question/1").text
    found = re.search(r'name="csrf" value="([^"]*)"', page)
    return {"X-CSRF": found[1] if found else "", "Origin": "http://127.0.0.1"}
