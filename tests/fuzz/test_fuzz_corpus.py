"""The kept inputs, and random ones, through every fuzz target: no error, and none takes longer than a second."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from triage.pipeline import Stages

from . import exports, facts, forms, mail, packs
from .targets import CORPUS, Target, fed

usual = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
lines = st.lists(
    st.sampled_from(
        "From: a@mail.example|Subject: =?utf-8?q?=C3=A4?=|Content-Type: multipart/mixed; boundary=b|--b|--b--|"
        "Content-Type: text/html|Content-Transfer-Encoding: base64|<p>It clicks<br>|> quoted|On Mon, Bo wrote:||"
        "Message-ID: <1@mail.example>|Date: never|-- |48 V 6x8|From a@b Mon Nov 9 08:00:00 2026".split("|")
    )
    | st.text(max_size=20),
    max_size=14,
).map(lambda found: "\n".join(found).encode("utf-8", "replace"))
anything = st.binary(max_size=400)
chosen = st.tuples(st.integers(0, 255), st.integers(0, 255), anything | lines)


def kept(name: str) -> list[Path]:
    return sorted((CORPUS / name).iterdir())


@pytest.fixture(scope="module")
def targets(toy_stages: Stages) -> dict[str, Target]:
    made = {module.__name__.rpartition(".")[2]: module.make() for module in (mail, exports, facts, packs)}
    return {**made, "forms": forms.make(toy_stages)}


@pytest.mark.parametrize("file", [p for n in ("mail", "exports", "facts", "packs", "forms") for p in kept(n)],
                         ids=lambda path: f"{path.parent.name}-{path.name}")  # fmt: skip
def test_a_kept_input_is_taken(targets: dict[str, Target], file: Path) -> None:
    fed(targets[file.parent.name], file.read_bytes())


@usual
@given(anything | lines)
def test_any_bytes_as_mail(targets: dict[str, Target], data: bytes) -> None:
    targets["mail"](data)


@usual
@given(chosen)
def test_any_bytes_as_an_export(targets: dict[str, Target], data: tuple[int, int, bytes]) -> None:
    targets["exports"](bytes(data[:1]) + data[2])


@usual
@given(st.text(max_size=200))
def test_any_text_as_a_question(targets: dict[str, Target], text: str) -> None:
    targets["facts"](text.encode("utf-8", "replace"))


@usual
@given(chosen)
@example((10, 0, b"- a\n- list\n"))  # phrases.yaml that holds a list: once an error nobody expected
def test_any_bytes_as_a_file_of_a_pack(targets: dict[str, Target], data: tuple[int, int, bytes]) -> None:
    targets["packs"](bytes(data[:1]) + data[2])


@usual
@given(chosen)
def test_any_bytes_as_a_form(targets: dict[str, Target], data: tuple[int, int, bytes]) -> None:
    targets["forms"](bytes(data[:2]) + data[2])
