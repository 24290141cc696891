# Two commands do everything on a fresh machine: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet --constraint constraints.txt
DEMO := .venv/demo.db

.PHONY: demo test check lint types docs bill format clean

demo: $(VENV)/runtime
	@rm -f $(DEMO) $(DEMO)-wal $(DEMO)-shm
	$(BIN)/triage take-in --store $(DEMO) corpus_demo/inbox.mbox corpus_demo/eml corpus_demo/form_export.csv corpus_demo/chat_export.jsonl corpus_demo/phone_notes.txt
	$(BIN)/triage queue --store $(DEMO) --limit 25
	$(BIN)/triage show --store $(DEMO) --best
	@echo
	@echo "Next:"
	@echo "  export TRIAGE_STORE=$(DEMO)"
	@echo "  $(BIN)/triage queue --danger                 only what was told to be dangerous"
	@echo "  $(BIN)/triage reply 3 --to reply.eml         the draft as a mail, to look over and send yourself"
	@echo "  echo 'my cart wont go' | $(BIN)/triage read  read any question"

test: $(VENV)/tests
	$(BIN)/python -m pytest

# Everything a reviewer would do; the tests also tell when a generated page is stale.
check: $(VENV)/tests lint types test

lint: $(VENV)/tests
	$(BIN)/ruff check triage tests eval corpus_demo
	$(BIN)/ruff format --check triage tests eval corpus_demo

types: $(VENV)/tests
	$(BIN)/mypy

docs: $(VENV)/tests
	$(BIN)/python -m tests.house.commands

bill: $(VENV)/tests
	$(PIP) --editable '.[house]'
	$(BIN)/python -m tests.house.parts

format: $(VENV)/tests
	$(BIN)/ruff check --fix triage tests eval corpus_demo
	$(BIN)/ruff format triage tests eval corpus_demo

clean:
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache .hypothesis

$(VENV)/bin/python:
	$(PYTHON) -m venv $(VENV)

$(VENV)/runtime: pyproject.toml constraints.txt | $(VENV)/bin/python
	$(PIP) --editable .
	@touch $@

$(VENV)/tests: pyproject.toml constraints.txt | $(VENV)/bin/python
	$(PIP) --editable '.[test,encoder,cluster]'
	@touch $@ $(VENV)/runtime
