# `make` lists what there is. Needed: Python 3.11 or later, its pip (22.3 or later), make, a package registry.

PYTHON ?= python3
UV ?= uv
BIN := .venv/bin

# A bare Debian python3 has no ensurepip: the environment is made without pip and filled by the system's.
# The stamps in .venv let a second run go without the network; a changed lock or pyproject.toml installs anew.
define fill_environment
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	    echo "season_engine needs Python 3.11 or later, and $(PYTHON) is older or missing." \
	    "Name another: make PYTHON=python3.12 $(MAKECMDGOALS)" >&2; exit 1; }
	@test -x $(BIN)/python || $(PYTHON) -m venv --without-pip .venv
	@$(PYTHON) -m pip --python $(BIN)/python --version >/dev/null 2>&1 || { \
	    echo "season_engine needs pip 22.3 or later for $(PYTHON) (on Debian: apt install python3-pip)." >&2; exit 1; }
	$(PYTHON) -m pip --python $(BIN)/python install --quiet --require-hashes -r $(1)
	$(PYTHON) -m pip --python $(BIN)/python install --quiet --no-deps --no-build-isolation -e .
endef

.DEFAULT_GOAL := help
.PHONY: help report wheel knowledge man settings picture docs fits translations test fuzz mutants wheel-test lint against-xclim against-s3 evidence practice benchmark lock clean

help:  ## list the targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "make %-14s %s\n", $$1, $$2 }' Makefile

report: .venv/run.stamp  ## write this week's report on the built-in demo into reports/
	$(BIN)/season-engine report --out reports

# `build` goes first: setuptools packs what an earlier build left there.
wheel: .venv/run.stamp  ## build the wheel into dist/
	rm -rf build dist
	$(PYTHON) -m pip --python $(BIN)/python wheel --quiet --no-deps --no-build-isolation --wheel-dir dist .

knowledge: .venv/run.stamp  ## write the page of what the catalogue's numbers rest on anew
	$(BIN)/python -m season_engine.documents.knowledge_page

man: .venv/run.stamp  ## write the manual page docs/man/season-engine.1 anew, from the help
	$(BIN)/python -m season_engine.man_page

settings: .venv/run.stamp  ## write the page of all that may stand in a grower's files anew
	$(BIN)/python -m season_engine.documents.settings_page

picture: .venv/dev.stamp  ## take the README's picture of a report anew (needs chromium)
	$(BIN)/python docs/make/picture.py

# Plain Markdown, so that another builder may take over: this one's makers mend it until May 2027.
docs: export NO_MKDOCS_2_WARNING = 1
docs: .venv-docs/stamp  ## build the docs as a site to read offline, site/index.html; a warning is an error
	.venv-docs/bin/mkdocs build --strict
	@! grep -rlE '<(script|link|img|iframe)[^>]+(src|href)="?https?:' site --include=*.html || { echo "These pages fetch from outside." >&2; exit 1; }

fits: .venv/dev.stamp  ## fit the catalogue's first flowers anew on the stations in tests/data and print them (three minutes)
	$(BIN)/python -m tests.benchmarks.fit_catalogue

translations: .venv/run.stamp  ## gather the texts to translate, bring the catalogues up to date and compile them
	$(BIN)/python -m season_engine.words.translations

# Byte code is kept even where the machine says otherwise: compiling it anew in each process takes a fifth of the time.
test: export PYTHONDONTWRITEBYTECODE =
test: .venv/dev.stamp  ## run the tests
	$(BIN)/python -m pytest

SECONDS ?= 300
SEED ?= 1
fuzz: .venv/dev.stamp  ## spoil inputs for SECONDS=300 by SEED=1, and tell what isn't held
	$(BIN)/python -m tests.fuzz.run $(SECONDS) $(SEED)

MUTANTS ?= 200
ROOMS ?= windows phenology advice
mutants: .venv/dev.stamp .venv-mutants/stamp  ## change code in MUTANTS=200 places by SEED=1, and tell what tests let through
	.venv-mutants/bin/python -m tests.mutants.run --python $(BIN)/python --mutants $(MUTANTS) --seed $(SEED) --rooms $(ROOMS)

wheel-test: wheel .venv/dev.stamp  ## install the wheel in a new environment and run the README's commands with it
	@set -eu; away=$$(mktemp -d); trap 'rm -rf "$$away"' EXIT; trap 'exit 1' INT TERM; \
	$(PYTHON) -m venv --without-pip "$$away/env"; \
	install() { $(PYTHON) -m pip --python "$$away/env/bin/python" install --quiet "$$@"; }; \
	install --require-hashes -r requirements.lock; \
	install --no-deps dist/*.whl; \
	SEASON_ENGINE_INSTALLED="$$away/env/bin" $(BIN)/python -m pytest -n 0 tests/test_readme.py

lint: .venv/dev.stamp  ## check style, types, import direction and the size of modules and functions
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m pytest -q -n 0 tests/test_structure.py -k "size or sentence"

against-xclim: .venv-xclim/stamp  ## hold the measures against another library, in an environment of its own
	.venv-xclim/bin/python -m pytest -n 0 tests/against_xclim

against-s3: .venv-s3/stamp  ## run a batch from and into an object store, which a server on this machine plays
	$(PYTHON) -m pip --python .venv-s3/bin/python install --quiet --no-deps --no-build-isolation -e .
	.venv-s3/bin/python -m pytest -n 0 tests/against_s3

evidence: .venv/dev.stamp  ## print the results in docs/evidence anew, or those whose command holds WORD=...
	$(BIN)/python -m tests.benchmarks.evidence $(WORD)

practice: .venv/dev.stamp  ## hold usual dates against those growers give, all or the rows of JOB="needle work"; with WRITE=1 write what is told of it (two seconds)
	$(BIN)/python -m tests.benchmarks.practice $(if $(JOB),--job "$(JOB)") $(if $(WRITE),--write)

benchmark: .venv-xclim/stamp  ## time the measures beside another library's
	NUMBA_NUM_THREADS=1 OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 .venv-xclim/bin/python -m tests.benchmarks.bench_measures xclim

# `make lock` keeps the versions it can; `make lock UPGRADE=--upgrade` takes the newest.
# The second file is held to the first, so that running and developing use the same versions.
COMPILE = $(UV) pip compile --quiet --universal --generate-hashes --no-header --python-version 3.11 $(UPGRADE)
lock:  ## work out the requirements*.lock files from pyproject.toml (needs uv)
	$(COMPILE) --group build pyproject.toml -o requirements.lock
	$(COMPILE) --group dev pyproject.toml -c requirements.lock -o requirements-dev.lock
	$(COMPILE) --group pyproject.toml:xclim -o requirements-xclim.lock
	$(COMPILE) --extra batch --group s3 pyproject.toml -o requirements-s3.lock
	$(COMPILE) --group pyproject.toml:mutants -o requirements-mutants.lock
	$(COMPILE) --group pyproject.toml:docs -o requirements-docs.lock
	@! grep -nE '://|^-|@ ' requirements.lock requirements-dev.lock requirements-xclim.lock requirements-s3.lock requirements-mutants.lock requirements-docs.lock || { echo "A lock holds an address." >&2; exit 1; }

clean:  ## remove the environment and what tools leave behind (reports and weather stay)
	rm -rf .venv .venv-xclim .venv-s3 .venv-mutants .venv-docs build dist site *.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis .import_linter_cache
	find season_engine tests -name __pycache__ -type d -prune -exec rm -rf {} +

.venv/run.stamp: requirements.lock pyproject.toml
	$(call fill_environment,requirements.lock)
	@touch $@

.venv/dev.stamp: requirements-dev.lock requirements.lock pyproject.toml
	$(call fill_environment,requirements-dev.lock)
	@touch .venv/run.stamp $@

# Environments of one lock each, apart from the project's.
.venv-%/stamp: requirements-%.lock
	$(PYTHON) -m venv --without-pip .venv-$*
	$(PYTHON) -m pip --python .venv-$*/bin/python install --quiet --require-hashes -r $<
	@touch $@
