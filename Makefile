# One command to a running demonstration: make run. One that passes the tests: make test.
.DEFAULT_GOAL := help
.PHONY: help run test check faults bench lock clean
SHELL := /bin/sh
BIN := .venv/bin
VENV := .venv/ready
# The house is six processes, each started again whenever it dies: none should compile a thousand modules anew.
export PYTHONDONTWRITEBYTECODE :=

help: ## this list
	@sed -n 's/^\([a-z]*\):.*## /\1	/p' Makefile | expand -t 10

run: $(VENV) ## start everything: http://127.0.0.1:8000 (another port: make run PORT=8001; an empty house: make run DEMO=0)
	@exec $(BIN)/python -m fleet.config.run

test: $(VENV) browser ## every test, in a real browser too
	@exec $(BIN)/python -m pytest -n 2 --dist loadfile --no-loadscope-reorder $(ARGS)

check: format lint types layers screens scripts migrations deployment ## format, lint, types, layers, templates, scripts, migrations, deployment (make -k check: all of them)

.PHONY: format lint types layers screens scripts migrations deployment
format: $(VENV)
	$(BIN)/ruff format --quiet --check .
lint: $(VENV)
	$(BIN)/ruff check --quiet .
types: $(VENV)
	$(BIN)/mypy
layers: $(VENV)
	$(BIN)/lint-imports --no-cache
screens: $(VENV)
	git ls-files -z -- 'templates/*.html' | xargs -0 -r $(BIN)/djade --target-version 5.2 --check
scripts: $(VENV)
	$(BIN)/oxlint --deny-warnings fleet/static/face
migrations: $(VENV)
	$(BIN)/python manage.py makemigrations --check --dry-run
deployment: $(VENV)
	HTTPS=1 $(BIN)/python manage.py check --deploy --fail-level WARNING

faults: $(VENV) ## kills, races, tampering and junk on a house at work, their counts printed (make faults KILLS=300 SEED=1)
	@KILLS=$${KILLS:-300} RACES=$${RACES:-100} TAMPERS=$${TAMPERS:-3000} JUNK=$${JUNK:-3000} \
	  $(BIN)/python -m pytest -q -s tests/faults/test_loops.py $(ARGS)
	@GREENBAND_SWEEP=1 $(BIN)/python -m pytest -q -n 2 --dist loadfile -m sweep

bench: $(VENV) ## the figures of README.md (SCALE=1000000 due items unless set)
	@exec $(BIN)/python manage.py bench

lock: $(VENV) ## write .lock/requirements.txt anew from pyproject.toml (needs uv)
	uv pip compile pyproject.toml --extra dev --universal --generate-hashes --python-version 3.11 \
	  --no-header --no-emit-index-url --no-emit-find-links --quiet -o .lock/requirements.txt

clean: ## remove the environment (.venv); the data in .data stay
	rm -rf .venv

.PHONY: browser
browser:
	@command -v chromium >/dev/null || { \
	  [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null && echo "Installing chromium" \
	  && apt-get -qq update && DEBIAN_FRONTEND=noninteractive apt-get -qq install -y --no-install-recommends chromium >/dev/null; } \
	|| { echo "greenband: the tests drive a browser, and 'chromium' is not installed: install Debian's package chromium."; exit 1; }

$(VENV): .lock/requirements.txt
	@for python in "$(PYTHON)" python3 python3.14 python3.13 python3.12 python3.11; do \
	  [ -n "$$python" ] && "$$python" -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 15))' 2>/dev/null && break; \
	  python=; \
	done; \
	[ -n "$$python" ] || { echo "greenband: no Python 3.11 to 3.14 found; install one, or name it: make run PYTHON=/path/to/python3"; exit 1; }; \
	[ -x $(BIN)/python ] && $(BIN)/python -c '' 2>/dev/null || { \
	  echo "Environment: .venv with $$($$python --version)"; rm -rf .venv; \
	  "$$python" -m venv .venv || { rm -rf .venv; echo "greenband: this Python cannot make environments; on Debian install the package python3-venv"; exit 1; }; }; \
	echo "Environment: installing pinned packages (a minute or two, once)"; \
	$(BIN)/python -m pip install -qq --disable-pip-version-check --require-hashes -r .lock/requirements.txt || exit 1; \
	touch $(VENV)
