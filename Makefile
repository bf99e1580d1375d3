# Two commands do it all on a fresh machine: `make demo` and `make test`.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
RUST := $(shell find rust -name '*.rs' -o -name Cargo.toml) Cargo.toml Cargo.lock
DEMO := build/demo
# What learns the models of talk/ needs more than is installed here, and is no benchmark.
BENCHES := $(filter-out benches/fit_%.py,$(wildcard benches/*.py))
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt

.PHONY: help demo test slow bench snapshots docs clean tools browser lint rust-test python-test

help:
	@echo "make demo       install everything here and build the example lesson"
	@echo "make test       every check and test (about ten minutes the first time)"
	@echo "make slow       the tests that take longer: fuzzing, whole tactic suites, long audio"
	@echo "make bench      the benchmarks, each against a baseline in the same run"
	@echo "make snapshots  write the stored reports and generated documents anew"
	@echo "make clean      remove what was built here"

demo: $(VENV)/.built
	@$(BIN)/python examples/demo.py $(DEMO)

test: $(VENV)/.tested browser lint rust-test python-test

lint: $(VENV)/.tested
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	cargo fmt --all --check
	cargo clippy --workspace --all-targets --locked -- -D warnings
	$(BIN)/python docs/generate.py --check

rust-test:
	cargo test --workspace --exclude linewright-py --release --locked

python-test: $(VENV)/.tested
	$(BIN)/python -m pytest -n 2 -m "not slow"

slow: $(VENV)/.tested browser
	$(BIN)/python -m pytest -m slow

bench: $(VENV)/.tested
	@for bench in $(BENCHES); do echo "== $$bench"; $(BIN)/python $$bench || exit 1; done

snapshots: $(VENV)/.tested
	$(BIN)/python docs/generate.py
	LINEWRIGHT_SNAPSHOTS=write $(BIN)/python -m pytest -q -m "not slow" tests/test_examples.py tests/test_drawing.py

docs: $(VENV)/.tested
	$(BIN)/python docs/generate.py

browser: $(VENV)/.tested
	@$(BIN)/python tests/need_browser.py

clean:
	rm -rf $(VENV) build target .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
	rm -f src/linewright/_core*.so

# One line says what is missing, before anything is installed.
tools:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null \
	  || { echo "linewright needs Python 3.11 or newer: install it, or say 'make PYTHON=python3.12 ...'"; exit 1; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null \
	  || { echo "linewright needs Python's venv module: install it (Debian: python3-venv)"; exit 1; }
	@command -v cc >/dev/null \
	  || { echo "linewright needs a C toolchain: install one (Debian: build-essential)"; exit 1; }
	@command -v cargo >/dev/null \
	  || { echo "linewright needs Rust 1.95 or newer: install it from your system or with rustup"; exit 1; }
	@rustc --version | awk '{ split($$2, v, "."); exit !(v[1] > 1 || v[2] >= 95) }' \
	  || { echo "linewright needs Rust 1.95 or newer, this is $$(rustc --version): update it"; exit 1; }

$(VENV)/.built: pyproject.toml constraints.txt $(RUST) | tools
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@echo "installing linewright and building its Rust core (a few minutes the first time)"
	@$(PIP) -e .
	@$(BIN)/python -m compileall -q src/linewright
	@touch $@

$(VENV)/.tested: $(VENV)/.built
	@echo "installing what the tests need"
	@$(PIP) -e ".[dev]"
	@touch $@
