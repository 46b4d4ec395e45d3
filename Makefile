# `make demo` shows the site; `make test` proves it. README.md has the same as plain commands.
PYTHON ?= python3
BIN = .venv/bin

.PHONY: demo test test-sqlite test-postgres hunt check bench lock clean dev

demo test test-sqlite test-postgres hunt dev:
	@$(PYTHON) .make/run.py $@

check: dev
	$(BIN)/ruff check
	$(BIN)/ruff format --check --quiet
	$(BIN)/mypy
	$(BIN)/djlint --lint --quiet templates
	$(BIN)/lint-imports
	JIGUMI_HTTPS=1 $(BIN)/python manage.py check --deploy --fail-level WARNING --settings tests.settings
	$(BIN)/python manage.py makemigrations --check --dry-run --settings tests.settings

bench: dev
	$(BIN)/pytest tests/bench -o addopts="--strict-markers --import-mode=importlib" --benchmark-only

# Hashes of every file of a version, for all platforms; no address of any index.
LOCK = $(BIN)/pip-compile --quiet --generate-hashes --allow-unsafe --strip-extras --no-header --no-annotate \
	--no-emit-index-url --no-emit-find-links --no-emit-trusted-host pyproject.toml
lock: dev
	$(BIN)/pip install --quiet --disable-pip-version-check 'pip-tools~=7.6'
	$(LOCK) --output-file requirements.lock
	$(LOCK) --extra dev --constraint requirements.lock --output-file requirements-dev.lock

# Keeps var/, where a site's data lives.
clean:
	rm -rf .venv .benchmarks .hypothesis .mypy_cache .pytest_cache .ruff_cache .import_linter_cache
	find . -name __pycache__ -type d -prune -exec rm -rf {} +
