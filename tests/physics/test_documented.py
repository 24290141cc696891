"""Every public function of the room tells its formula, units, range and source, and has a check in these tests."""

import doctest
import importlib
import inspect
import pkgutil
import re
from pathlib import Path

import pytest

from triage import physics
from triage.physics.sheets.record import documented

HERE = Path(__file__).parent
MODULES = [importlib.import_module(f"triage.physics.{found.name}") for found in pkgutil.iter_modules(physics.__path__)]
ARITHMETIC = [
    module for module in MODULES if module.__name__.rpartition(".")[2] not in ("limits", "sheets", "worksheet")
]
FUNCTIONS = [
    function
    for module in ARITHMETIC
    for name, function in inspect.getmembers(module, inspect.isfunction)
    if function.__module__ == module.__name__ and not name.startswith("_")
]
LEANING = re.compile(
    r"\"[A-Z].+\"|NEC|CFR|ANSI|FR \d|law|definition|arithmetic|geometry|mechanics|theory|worked out|exact"
    r"|common practice, no source|from memory|manual|FAQ|guide|page|post"
)


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_each_function_tells_formula_units_range_and_source(function):
    for part in ("Formula", "Units", "Valid", "Source"):
        assert documented(function, part)
    assert LEANING.search(documented(function, "Source"))


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda function: function.__name__)
def test_each_function_is_called_by_a_test(function):
    text = "".join(path.read_text("utf-8") for path in HERE.glob("test_*.py") if path.name != "test_documented.py")
    assert re.search(rf"\b[a-z]+\.{function.__name__}\b", text)


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_examples_in_docstrings_hold(module):
    assert doctest.testmod(module).failed == 0


@pytest.mark.parametrize("module", ARITHMETIC, ids=lambda module: module.__name__)
def test_only_the_edge_knows_the_unit_library(module):
    assert "pint" not in vars(module)


def test_a_function_without_a_source_cannot_be_shown():
    with pytest.raises(LookupError, match="has no 'Source:'"):
        documented(test_a_function_without_a_source_cannot_be_shown, "Source")
