# `make` alone lists what there is.
PYTHON ?= python3
BIN := .venv/bin

.PHONY: help demo serve test check fix bench docs lock clean
help:  ## list the commands
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):[^#]*## +/\1\t/' | expand -t 10

demo: .venv/.ready node_modules/.ready  ## set up, build the invented surveys into signed reports, open the desk with them in it
	@$(BIN)/python demo/build.py
	@$(BIN)/python demo/open.py

serve: .venv/.ready node_modules/.ready  ## open your own desk, kept in the folder desk
	$(BIN)/garboard serve desk

test: check .venv/.tools node_modules/.ready  ## set up, check, run every test
	$(BIN)/python -m pytest -n 2 --dist loadgroup

check: .venv/.ready node_modules/.ready  ## format, types, layers, page code: nothing is changed
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	node_modules/.bin/tsc
	node_modules/.bin/tsc -p tsconfig.worker.json
	node_modules/.bin/biome check --error-on-warnings

fix: .venv/.ready node_modules/.ready  ## let the formatters mend what they can
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .
	node_modules/.bin/biome check --write

bench: .venv/.ready .venv/.tools node_modules/.ready  ## measure speed and memory beside general-purpose peers
	$(BIN)/pip install --quiet --require-hashes -r requirements-bench.lock
	./setup-tools libreoffice
	$(BIN)/python benchmarks/report.py
	$(BIN)/python benchmarks/fold.py
	$(BIN)/python benchmarks/desk.py
	$(BIN)/python benchmarks/yard.py
	$(BIN)/python benchmarks/methods.py

docs: .venv/.ready  ## write docs/methods from the methods as they are
	$(BIN)/python docs/build_methods.py

lock: .venv/.ready  ## resolve the dependencies anew
	$(BIN)/uv pip compile pyproject.toml --group test --group build --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --no-annotate --quiet --upgrade -o requirements.lock
	$(BIN)/uv pip compile pyproject.toml --group bench --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --no-annotate --quiet -c requirements.lock -o requirements-bench.lock

clean:  ## remove what was built
	rm -rf build .venv node_modules

.venv/.ready: pyproject.toml requirements.lock
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Garboard needs Python 3.11 or newer.")'
	@echo "Setting up: fetching the Python packages into .venv takes some minutes the first time, and says nothing meanwhile."
	@test -x $(BIN)/python || $(PYTHON) -m venv .venv
	@$(BIN)/python -m pip install -qq --disable-pip-version-check --require-hashes -r requirements.lock
	@$(BIN)/python -m pip install -qq --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

# What only the tests need besides Python: a browser, Java for the PDF validator.
.venv/.tools: setup-tools
	./setup-tools browser java
	touch $@

node_modules/.ready: package.json package-lock.json
	@echo "Setting up: fetching what the pages need into node_modules, about a minute."
	@npm ci --silent --no-audit --no-fund
	@touch $@
