"""Who is there: a name at the shop's own machine, a password from anywhere else; roles; guessing made slow."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.office import Office, person_of
from triage.bench.safety.passwords import WeakPassword, fits, hashed
from triage.bench.safety.people import SIGNED_IN
from triage.bench.safety.roles import MAY_CHANGE, may_change
from triage.bench.safety.throttle import FORGOTTEN, LONGEST, Throttle
from triage.store import Role

from .post import NOW

PASSWORD = "seven wet spanners"
HASH = hashed(PASSWORD)
SECOND = timedelta(seconds=1)


class Clock:
    def __init__(self) -> None:
        self.now = NOW

    def __call__(self):
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def outside(office: Office, clock: Clock) -> Iterator[TestClient]:
    """The workbench reachable from other machines, with two people who may sign in."""
    settings = replace(office.settings, host="0.0.0.0", host_names=("bench.example",))
    office = replace(office, settings=settings, now=clock)
    with office.store() as store:
        store.staff.add("Wyn Harrow", Role.STAFF, HASH, by="test")
        store.staff.add("Bea", Role.EDITOR, HASH, by="test")
    app = create_app(settings, office)
    app.router.routes.insert(0, Route("/answers/new", lambda request: PlainTextResponse("made"), methods=["POST"]))
    with TestClient(app, base_url="http://bench.example", follow_redirects=False) as made:
        yield made


def token(page: str) -> str:
    return re.search(r'name="csrf" value="([^"]+)"', page)[1]


def sign_in(client: TestClient, name: str, password: str, to: str = "/"):
    given = token(client.get("/sign-in").text)
    return client.post("/sign-in", data={"csrf": given, "name": name, "password": password, "to": to})


def test_nothing_shows_before_signing_in(outside: TestClient) -> None:
    for path in (
        "/",
        "/question/1",
        "/sheets",
        "/waiting/rows",
        "/question/1/reply.eml",
        "/attachment/1/1/1",
        "/nothing",
    ):
        answer = outside.get(path)
        assert (answer.status_code, answer.headers["location"].startswith("/sign-in?to=")) == (303, True), path
        assert answer.text == ""
    page = outside.get("/sign-in").text
    assert "Ida Fen" not in page
    assert "Wyn" not in page  # nor who may sign in


def test_signing_in_leads_to_where_one_was_going(outside: TestClient) -> None:
    asked = outside.get("/question/1?x=1").headers["location"]
    assert asked == "/sign-in?to=%2Fquestion%2F1%3Fx%3D1"
    answer = sign_in(outside, "wyn  harrow", PASSWORD, "/question/1?x=1")
    assert (answer.status_code, answer.headers["location"]) == (303, "/question/1?x=1")
    assert "Wyn Harrow" in outside.get("/question/1").text


@pytest.mark.parametrize(
    "to", ["//evil.example", "https://evil.example", "/\\evil.example", "javascript:alert(1)", "/a\nb"]
)
def test_it_never_leads_elsewhere(outside: TestClient, to: str) -> None:
    assert sign_in(outside, "Bea", PASSWORD, to).headers["location"] == "/"


@pytest.mark.parametrize(("name", "password"), [("Bea", "wrong"), ("Nobody", PASSWORD), ("", PASSWORD), ("Bea", "")])
def test_what_is_wrong_is_not_told_apart(outside: TestClient, name: str, password: str) -> None:
    answer = sign_in(outside, name, password)
    assert answer.status_code == 422
    assert "This name and this password do not belong together." in answer.text
    assert outside.get("/").status_code == 303


def test_a_session_from_before_does_not_become_the_signed_in_one(outside: TestClient) -> None:
    before = token(outside.get("/sign-in").text)
    sign_in(outside, "Bea", PASSWORD)
    assert token(outside.get("/question/1").text) != before


def test_signing_out_closes_the_door(outside: TestClient) -> None:
    sign_in(outside, "Bea", PASSWORD)
    outside.post("/sign-out", data={"csrf": token(outside.get("/sign-in").text)})
    assert outside.get("/").status_code == 303


def test_a_sign_in_ends_after_a_working_day(outside: TestClient, clock: Clock) -> None:
    sign_in(outside, "Bea", PASSWORD)
    clock.now += SIGNED_IN - SECOND
    assert outside.get("/").status_code == 200
    clock.now += SECOND
    assert outside.get("/").status_code == 303


@pytest.mark.parametrize("change", ["removed", "new password", "removed and added again"])
def test_who_is_taken_off_is_out_at_once(outside: TestClient, clock: Clock, change: str) -> None:
    sign_in(outside, "Bea", PASSWORD)
    clock.now += SECOND
    with outside.app.state.office.store() as store:
        if change == "new password":
            store.staff.set_password("bea", hashed("another long one"), by="test")
        else:
            store.staff.remove("bea", by="test")
        if change == "removed and added again":
            store.staff.add("Bea", Role.EDITOR, HASH, by="test")
    assert outside.get("/").status_code == 303


def test_a_part_of_a_page_says_so_and_leaves_the_page_alone(outside: TestClient) -> None:
    answer = outside.get("/waiting/rows", headers={"hx-request": "true"})
    assert (answer.status_code, answer.headers["hx-retarget"]) == (401, "#trouble")
    assert "what you typed is still there" in answer.text


@pytest.mark.parametrize(("name", "status"), [("Wyn Harrow", 403), ("Bea", 200)])
def test_a_role_decides_what_may_be_changed(outside: TestClient, name: str, status: int) -> None:
    sign_in(outside, name, PASSWORD)
    given = token(outside.get("/question/1").text)
    answer = outside.post("/answers/new", data={"csrf": given})
    assert answer.status_code == status
    with outside.app.state.office.store() as store:
        store.staff.set_role("Wyn Harrow", Role.EDITOR, by="test")
    assert outside.post("/answers/new", data={"csrf": given}).status_code == 200  # from the next page on


def test_the_table_of_roles() -> None:
    assert all(may_change(role, "/question/1/reply/keep") for role in Role)
    assert [role.value for role in Role if may_change(role, "/air")] == ["host", "editor"]
    assert [role.value for role in Role if may_change(role, "/answers/x")] == ["editor"]
    assert not any(may_change(role, "/not-in-the-table") for role in Role)
    assert not may_change("", "/question/1")
    assert all(MAY_CHANGE.values())


def test_guessing_is_made_slow(outside: TestClient, clock: Clock) -> None:
    for _ in range(5):
        assert sign_in(outside, "Bea", "a guess").status_code == 422
    answer = sign_in(outside, "Bea", PASSWORD)
    assert answer.status_code == 429
    assert "Wait 3 seconds" in answer.text or "Wait 2 seconds" in answer.text
    clock.now += 3 * SECOND
    assert sign_in(outside, "Bea", PASSWORD).status_code == 303


def test_many_names_from_one_address_are_slowed_too(outside: TestClient) -> None:
    statuses = [sign_in(outside, f"name {number}", "a guess").status_code for number in range(16)]
    assert statuses == [422] * 15 + [429]


def test_each_further_try_waits_twice_as_long_and_time_forgives() -> None:
    slow, now = Throttle(free=2), NOW
    waits = []
    for _ in range(5):
        while wait := slow.attempt("a", now):
            waits.append(wait / SECOND)
            now += wait
    assert waits == [2, 4, 8]
    assert slow.attempt("b", now) == timedelta()
    for _ in range(40):
        now += slow.attempt("a", now)
    assert slow.attempt("a", now) <= LONGEST
    assert slow.attempt("a", now + FORGOTTEN) == timedelta()


def test_a_password_is_kept_as_an_argon2id_hash_only() -> None:
    assert HASH.startswith("$argon2id$")
    assert PASSWORD not in HASH
    assert fits(PASSWORD, HASH)
    assert not fits("nobody has this password", None)
    assert not fits(PASSWORD, "not a hash")


@pytest.mark.parametrize("password", ["", "short", "x" * 201])
def test_a_password_has_a_length(password: str) -> None:
    with pytest.raises(WeakPassword, match="10 to 200"):
        hashed(password)


# At the shop's own machine


@pytest.fixture
def inside(office: Office) -> Iterator[TestClient]:
    """Started without a name."""
    settings = replace(office.settings, person="")
    app = create_app(settings, replace(office, settings=settings))
    app.router.routes.insert(0, Route("/who", _who))
    with TestClient(app, base_url="http://localhost", follow_redirects=False) as made:
        yield made


def _who(request: Request) -> PlainTextResponse:
    return PlainTextResponse(person_of(request).name)


def test_a_name_is_asked_for_once_and_kept(inside: TestClient) -> None:
    assert inside.get("/question/1").headers["location"] == "/sign-in?to=%2Fquestion%2F1"
    page = inside.get("/sign-in?to=/question/1")
    assert "password" not in page.text.lower()
    data = {"csrf": token(page.text), "name": " Wyn\u00a0 Harrow ", "to": "/question/1"}
    assert inside.post("/sign-in", data=data).headers["location"] == "/question/1"
    assert inside.get("/who").text == "Wyn Harrow"


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "a\x00b", "a\u202eb"])
def test_a_name_can_be_read(inside: TestClient, name: str) -> None:
    answer = inside.post("/sign-in", data={"csrf": token(inside.get("/sign-in").text), "name": name})
    assert answer.status_code == 422
    assert "Write your name" in answer.text


def test_started_with_a_name_nobody_is_asked(client: TestClient) -> None:
    assert "Wyn" in client.get("/").text


def test_what_one_does_is_signed_by_the_name(inside: TestClient) -> None:
    inside.post("/sign-in", data={"csrf": token(inside.get("/sign-in").text), "name": "Bea"})
    inside.post("/question/1/note", data={"csrf": token(inside.get("/question/1").text), "note": "rang her"})
    with inside.app.state.office.store() as store:
        assert store.history(1)[-1].by == "Bea"
