"""Every page answers, says what it should, and stays small."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from .post import MAILS


def test_the_list_shows_everybody_who_waits_danger_first(client: TestClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert all(mail.sender.name in page.text for mail in MAILS)
    assert page.text.index("Bram Oost") < page.text.index("Dot Marsh")


@pytest.mark.parametrize("number", range(1, len(MAILS) + 1))
def test_every_question_has_its_page_in_the_askers_own_words(client: TestClient, number: int) -> None:
    page = client.get(f"/question/{number}")
    assert page.status_code == 200
    assert MAILS[number - 1].sender.name in page.text
