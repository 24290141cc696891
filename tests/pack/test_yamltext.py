"""YAML as plain text values. Outside sources: YAML 1.2.2; the yaml and json modules write independently."""

from __future__ import annotations

import json

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from triage.pack.yamltext import BadYaml, compose, locate, parse


@pytest.mark.parametrize(
    ("text", "data"),
    [
        pytest.param("a: no", {"a": "no"}, id="no-is-a-word"),
        pytest.param("a: 2009-01-01", {"a": "2009-01-01"}, id="a-date-is-text"),
        pytest.param("a: 007", {"a": "007"}, id="zeros-are-kept"),
        pytest.param("no: x", {"no": "x"}, id="keys-too"),
        pytest.param("a:\nb: ~\nc: null", {"a": None, "b": None, "c": None}, id="nothing-is-none"),
        pytest.param("a: ''\nb: 'null'", {"a": "", "b": "null"}, id="quoted-is-text"),
        pytest.param("a: !!python/object/apply:os.system [id]", {"a": ["id"]}, id="tags-construct-nothing"),
        pytest.param("", None, id="empty"),
        pytest.param("a: >-\n  one\n  two\n", {"a": "one two"}, id="folded"),
    ],
)
def test_every_scalar_is_text(text: str, data: object) -> None:
    assert parse(text) == data


@pytest.mark.parametrize(
    ("text", "line", "column", "says"),
    [
        pytest.param("a: 1\nb: c: d\n", 2, 5, "not allowed", id="colon-in-text"),
        pytest.param("a: 1\nb: 2\na: 3\n", 3, 1, "twice", id="key-twice"),
        pytest.param("a: &x [1]\nb: *x\n", 1, 4, "alias", id="alias"),
        pytest.param("a:\n\t- x\n", 2, 1, "token", id="tab"),
        pytest.param("a: 1\nb: \x07\n", 2, 1, "not allowed", id="control-character"),
        pytest.param("a: 1\n? [x]\n: y\n", 2, 3, "word", id="list-as-key"),
        pytest.param("[" * 3000, 1, 1001, "deep|depth", id="too-deep"),
    ],
)
def test_bad_yaml_says_where(text: str, line: int, column: int, says: str) -> None:
    with pytest.raises(BadYaml, match=says) as caught:
        parse(text)
    assert (caught.value.line, caught.value.column) == (line, column)


@pytest.mark.parametrize(
    ("path", "of_key", "place"),
    [
        (["b", 1], False, (4, 5)),
        (["b"], True, (2, 1)),
        (["b", 9], False, (3, 3)),
        (["c"], False, (1, 1)),
        ([], False, (1, 1)),
    ],
)
def test_locate_goes_as_deep_as_it_can(path: list[str | int], of_key: bool, place: tuple[int, int]) -> None:
    assert locate(compose("a: x\nb:\n  - one\n  - two\n"), path, of_key=of_key) == place


PLAIN = st.recursive(
    st.none() | st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"])),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("abc", min_size=1), inner, max_size=3),
)


@given(PLAIN)
def test_what_the_yaml_library_writes_is_read_back(data: object) -> None:
    assert parse(yaml.safe_dump(data, allow_unicode=True)) == data


@given(st.dictionaries(st.text("abc", min_size=1), st.text("xyz \"'\\:#-", max_size=9), max_size=4))
def test_json_is_yaml(data: dict[str, str]) -> None:
    assert parse(json.dumps(data)) == data
