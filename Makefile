# Two commands matter: `make demo` and `make test`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed

.PHONY: demo test check format clean

$(STAMP): pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet -c constraints.txt -e ".[test]"
	touch $(STAMP)

demo: $(STAMP)
	$(BIN)/softseat demo --out demo-pack

test: $(STAMP)
	$(BIN)/python -m ruff format --check src tests benchmarks
	$(BIN)/python -m ruff check src tests benchmarks
	$(BIN)/python -m mypy
	$(BIN)/python -m pytest -n 2

check: test

format: $(STAMP)
	$(BIN)/python -m ruff format src tests benchmarks
	$(BIN)/python -m ruff check --fix src tests benchmarks

clean:
	rm -rf $(VENV) demo-pack build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis
