# Two commands on a fresh machine: `make demo` and `make test`. Needs Python 3.11 or newer, git and make.
#
#   make demo       an environment in .venv, and a lesson from the demo sheet
#   make test       style, types and the tests; test-all runs the long ones too
#   make bench      the table of speeds; CHECKS=folder adds lists of puzzles that are only measured
#   make lint       style and types alone
#   make clean      removes everything that these made
#
# PYTHON=... chooses the interpreter of a new environment, WORKERS=... how many tests run at once.

PYTHON ?=
WORKERS ?= 2
SHEET ?= examples/harbour-spring.sheet
LESSON ?= demo-lesson
CHECKS ?=

VENV := .venv
RUN := $(VENV)/bin/python -m
INSTALL := $(RUN) pip install -qq --disable-pip-version-check -c constraints.txt

# checks the types of the JavaScript; nothing that users get is made by it
TYPESCRIPT := 7.0.2
TSC := $(VENV)/js/$(TYPESCRIPT)/node_modules/typescript/bin/tsc

.PHONY: help demo test test-all bench lint js-types packages clean
.DELETE_ON_ERROR:

help:
	@sed -n 's/^#   \(make .*\)/\1/p' Makefile

demo: $(VENV)/installed
	@$(VENV)/bin/inkstep press "$(SHEET)" --to "$(LESSON)"

# the last line of these two is pytest's own
test: packages lint
	@$(RUN) pytest -n $(WORKERS) -m "not slow"

test-all: packages lint
	@$(RUN) pytest -n $(WORKERS)

bench: $(VENV)/developing
	@$(VENV)/bin/python scripts/bench.py $(CHECKS)

lint: $(VENV)/developing
	@$(RUN) ruff check --quiet .
	@$(RUN) mypy --no-error-summary
	@$(MAKE) --no-print-directory js-types

# Where the checker cannot be had, one line says what was not done, and the rest goes on.
js-types:
	@unchecked() { echo "The types of the JavaScript were not checked: $$1."; exit 0; }; \
	command -v node >/dev/null 2>&1 && command -v npm >/dev/null 2>&1 || unchecked "that needs Node.js and npm"; \
	[ -e $(TSC) ] || npm install --prefix $(VENV)/js/$(TYPESCRIPT) --no-save --no-package-lock --ignore-scripts --no-audit \
	    --no-fund --fetch-retries=1 --silent typescript@$(TYPESCRIPT) </dev/null >/dev/null 2>&1 \
	    || unchecked "npm could not install TypeScript $(TYPESCRIPT)"; \
	node $(TSC) --project jsconfig.json

packages:
	@scripts/debian-packages.sh

clean:
	rm -rf $(VENV) build dist demo-lesson bench-out src/*.egg-info
	rm -rf .pytest_cache .hypothesis .mypy_cache .ruff_cache
	find src tests scripts -name __pycache__ -type d -prune -exec rm -rf {} +

# An environment is made once; what is in it is renewed when the project's needs change.
$(VENV)/made:
	@python=$$(scripts/find-python.sh $(PYTHON)) && \
	    echo "Making $(VENV) with $$python" && "$$python" -m venv --clear $(VENV)
	@touch $@

$(VENV)/installed: pyproject.toml constraints.txt | $(VENV)/made
	@echo "Installing Inkstep"
	@$(INSTALL) -e .
	@touch $@

$(VENV)/developing: pyproject.toml constraints.txt | $(VENV)/made
	@echo "Installing Inkstep and what its tests need"
	@$(INSTALL) -e ".[dev]"
	@touch $@ $(VENV)/installed
