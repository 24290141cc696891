"""What every request must pass: headers, the name called by, the size, the token; and what an error tells."""

from __future__ import annotations

import logging
import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.testclient import TestClient

from triage.bench.app import create_app
from triage.bench.office import Office
from triage.bench.safety import LARGEST_BODY
from triage.bench.safety.doors import allowed_names, must_sign_in, warnings
from triage.bench.safety.roles import MAY_CHANGE, room_of
from triage.bench.settings import Settings

NOTE = "/question/1/note"


def token(client: TestClient) -> str:
    return re.search(r'name="csrf" value="([^"]+)"', client.get("/question/1").text)[1]


@pytest.mark.parametrize(
    "path", ["/", "/question/1", "/sheets", "/nothing", "/static/style.css", "/sign-in", "/question/99"]
)
def test_every_answer_says_what_a_page_may_do(client: TestClient, path: str) -> None:
    headers = client.get(path).headers
    policy = dict(part.strip().split(" ", 1) for part in headers["content-security-policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == policy["form-action"] == "'self'"
    assert policy["base-uri"] == policy["frame-ancestors"] == "'none'"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"


def test_pages_stay_in_no_cache_but_files_of_the_program_may(client: TestClient) -> None:
    assert client.get("/").headers["cache-control"] == "no-store"
    assert client.get("/static/style.css").headers["cache-control"] == "no-cache"


@pytest.mark.parametrize("path", ["/", "/question/1", "/sheets", "/sheets/speed?rpm=3000&gear=12&tyre=18", "/sign-in"])
def test_no_page_has_script_or_style_of_its_own(client: TestClient, path: str) -> None:
    """So that the policy above blocks nothing of ours (and anything of others)."""
    page = client.get(path).text
    assert not re.findall(
        r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son\w+=|javascript:|hx-on|\sjs:", page, re.IGNORECASE
    )
    assert not re.findall(r"""(?:src|href|action)=["']?(?:https?:)?//""", page)


@pytest.mark.parametrize(
    "host", ["127.0.0.1", "127.0.0.1:8123", "localhost", "LOCALHOST:9", "[::1]:8123", "localhost."]
)
def test_loopback_answers_under_its_own_names(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:8123",
        "127.0.0.1.evil.example",
        "localhost.evil.example",
        "localhost@evil.example",
        "evil.example#localhost",
        "localhost, evil.example",
        "testserver",
        "",
        "[::2]",
        "127.0.0.1:8123:9",
        "local host",
    ],
)
def test_a_foreign_name_is_refused(client: TestClient, host: str) -> None:
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 400
    assert "Ida Fen" not in answer.text
    assert "--host-name" in answer.text


def test_a_name_may_be_allowed(office: Office) -> None:
    settings = replace(office.settings, host_names=("Bench.Harrowlane.example",))
    with TestClient(
        create_app(settings, replace(office, settings=settings)), base_url="http://bench.harrowlane.example"
    ) as known:
        assert known.get("/sign-in").status_code == 200


@pytest.mark.parametrize(
    ("host", "names", "locked"),
    [
        ("127.0.0.1", (), False),
        ("::1", (), False),
        ("127.0.0.1", ("localhost",), False),
        ("0.0.0.0", (), True),
        ("192.0.2.7", (), True),
        ("127.0.0.1", ("bench.example",), True),  # something passes requests on from outside
    ],
)
def test_a_password_is_asked_for_beyond_loopback(
    office: Office, host: str, names: tuple[str, ...], locked: bool
) -> None:
    settings = Settings(office.settings.store, office.settings.pack, host=host, host_names=names)
    assert must_sign_in(settings) is locked
    assert bool(warnings(settings, 1)) is locked
    assert ("triage staff add" in " ".join(warnings(settings, 0))) is locked
    assert ("0.0.0.0" in allowed_names(settings)) is False
    assert ("192.0.2.7" in allowed_names(settings)) is (host == "192.0.2.7")


def test_a_change_carries_the_token_of_its_session(client: TestClient, office: Office) -> None:
    given = token(client)
    assert client.post(NOTE, data={"csrf": given, "note": "by field"}).status_code == 200
    assert client.post(NOTE, data={"note": "by header"}, headers={"x-csrf": given}).status_code == 200
    assert client.post(NOTE, data={"csrf": given, "note": "as parts"}, files={"x": b""}).status_code == 200
    assert notes(office) == ["by field", "by header", "as parts"]


def notes(office: Office) -> list[object]:
    with office.store() as store:
        return [entry.after["text"] for entry in store.history(1) if entry.what.value == "note"]


@pytest.mark.parametrize(
    "given",
    [
        {"data": {"note": "x"}},
        {"data": {"note": "x", "csrf": ""}},
        {"data": {"note": "x", "csrf": "made-up"}},
        {"data": {"note": "x"}, "headers": {"x-csrf": "made-up"}},
        {"content": b"{", "headers": {"content-type": "application/json"}},
        {"content": b"--x", "headers": {"content-type": "multipart/form-data"}},
    ],
)
def test_without_it_nothing_is_changed(client: TestClient, office: Office, given: dict[str, object]) -> None:
    token(client)
    answer = client.post(NOTE, **given)
    assert answer.status_code == 403
    assert "Nothing was changed" in answer.text
    assert notes(office) == []


def test_the_token_of_another_session_does_not_do(client: TestClient, office: Office) -> None:
    with TestClient(create_app(office.settings, office), base_url="http://127.0.0.1") as other:
        foreign = token(other)
    own = token(client)
    assert own != foreign
    assert client.post(NOTE, data={"csrf": foreign, "note": "x"}).status_code == 403


@pytest.mark.parametrize(
    "told",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:1"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_page_of_another_site_cannot_post_even_with_a_token(
    client: TestClient, office: Office, told: dict[str, str]
) -> None:
    assert client.post(NOTE, data={"csrf": token(client), "note": "x"}, headers=told).status_code == 403
    assert notes(office) == []


def test_for_htmx_the_refusal_is_a_box_over_the_page(client: TestClient) -> None:
    answer = client.post(NOTE, data={"note": "x"}, headers={"hx-request": "true"})
    assert (answer.status_code, answer.headers["hx-retarget"]) == (403, "#trouble")
    assert "<html" not in answer.text


def test_a_body_is_bounded_whether_or_not_it_says_its_length(client: TestClient, office: Office) -> None:
    headers = {"x-csrf": token(client), "content-type": "application/x-www-form-urlencoded"}
    big = b"note=" + b"x" * LARGEST_BODY

    def in_pieces() -> Iterator[bytes]:
        for at in range(0, len(big), 65_536):
            yield big[at : at + 65_536]

    assert client.post(NOTE, content=big, headers=headers).status_code == 413
    assert client.post(NOTE, content=in_pieces(), headers=headers).status_code == 413
    assert notes(office) == []


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(office: Office) -> None:
    with TestClient(create_app(office.settings, office), base_url="http://localhost") as plain:
        given = plain.get("/").headers["set-cookie"].lower()
    assert "httponly" in given
    assert "samesite=strict" in given
    assert "secure" not in given
    with TestClient(create_app(office.settings, office), base_url="https://localhost") as by_tls:
        given = by_tls.get("/").headers["set-cookie"].lower()
    assert given.startswith("__host-")
    assert "secure" in given


def test_a_cookie_of_another_store_counts_for_nothing(client: TestClient) -> None:
    token(client)
    (name,) = client.cookies.keys()
    client.cookies.set(name, "eyJuYW1lIjogIkV2ZSJ9.made.up", domain="127.0.0.1.local", path="/")
    assert "Eve" not in client.get("/").text


def test_an_error_tells_a_number_and_the_log_the_rest(office: Office, caplog: pytest.LogCaptureFixture) -> None:
    def broken(request: Request) -> Response:
        raise RuntimeError("secret inside /var/shop")

    app = create_app(office.settings, office)
    app.router.routes.insert(0, Route("/broken", broken))
    with TestClient(app, base_url="http://127.0.0.1") as client, caplog.at_level(logging.ERROR, "triage.bench"):
        answer = client.get("/broken")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    number = re.search(r"this number: ([0-9a-f]{8})", answer.text)[1]
    assert number in caplog.text
    assert "secret inside /var/shop" in caplog.text
    assert answer.headers["content-security-policy"]


def test_an_address_cannot_write_a_line_into_the_log(office: Office, caplog: pytest.LogCaptureFixture) -> None:
    def broken(request: Request) -> Response:
        raise RuntimeError

    app = create_app(office.settings, office)
    app.router.routes.insert(0, Route("/broken/{rest:path}", broken))
    with TestClient(app, base_url="http://127.0.0.1") as client, caplog.at_level(logging.ERROR, "triage.bench"):
        client.get("/broken/x%0Aerror 00000000 at GET")
    assert not [line for line in caplog.text.splitlines() if line.startswith("error 00000000")]


def test_every_room_that_takes_changes_says_who_may(office: Office) -> None:
    routes = [route for route in create_app(office.settings, office).routes if isinstance(route, Route)]
    changing = {room_of(route.path) for route in routes if "POST" in (route.methods or ())}
    assert changing <= set(MAY_CHANGE)
