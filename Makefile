# make run    sets up and serves the jobs to a browser on this machine, the three demo jobs among them
# make demo   sets up and assesses the three demo jobs in the terminal
# make test   sets up (Debian's chromium and postgresql too), checks the code and passes the tests
# make check  style, types, layers
# make drill  kills workers of a batch of 1,000; plants mistakes and demands that the tests catch them (long)
# make bench  timings, as ratios
# make goldens writes the golden texts of the papers anew; read what changed
# make docs   writes the generated pages
# make screens photographs the pages of the web app for docs/screens.md
# make lock   renews the hashed lists of packages

PYTHON ?= python3
BIN := .venv/bin
SUDO := $(shell [ "$$(id -u)" = 0 ] || echo sudo)
JOBS := house_with_garage farmhouse terrace

.PHONY: run demo test chromium postgresql check drill bench docs screens goldens lock clean

run: .venv/run-ready
	@$(BIN)/ampwright serve --with-demo

demo: .venv/run-ready
	@$(BIN)/ampwright demo demo
	@for job in $(JOBS); do \
	  echo; echo "------ ampwright assess demo/$$job.yaml"; echo; \
	  $(BIN)/ampwright assess demo/$$job.yaml; status=$$?; \
	  echo; echo "(exit status $$status)"; \
	  if [ $$status -gt 2 ]; then exit $$status; fi; \
	done

test: check chromium postgresql
	$(BIN)/pytest -n 2 --dist loadfile

check: .venv/test-ready
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache

chromium:
	@command -v chromium >/dev/null || { $(SUDO) apt-get update -q && \
	  $(SUDO) apt-get install -y -q --no-install-recommends chromium fonts-dejavu-core; }

postgresql:
	@command -v initdb >/dev/null || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || { \
	  $(SUDO) apt-get update -q && $(SUDO) apt-get install -y -q --no-install-recommends postgresql; }

drill: .venv/test-ready postgresql
	$(BIN)/pytest -m drill
	$(BIN)/python tools/drill.py

bench: .venv/test-ready
	$(BIN)/python benchmarks/assess.py
	$(BIN)/python benchmarks/design.py
	$(BIN)/python benchmarks/load_cap.py
	$(BIN)/python benchmarks/sensors.py
	$(BIN)/python benchmarks/route.py
	$(BIN)/python benchmarks/drums.py
	$(BIN)/python benchmarks/forecast.py
	$(BIN)/python benchmarks/forecast_sun.py
	$(BIN)/python benchmarks/store.py
	$(BIN)/python benchmarks/batch.py
	$(BIN)/python benchmarks/papers.py
	$(BIN)/python benchmarks/api.py

docs: .venv/test-ready
	$(BIN)/python tools/make_docs.py

screens: .venv/test-ready chromium
	$(BIN)/python tools/make_screens.py

goldens: .venv/test-ready
	PYTHONPATH=tests/helpers $(BIN)/python tools/renew_goldens.py

lock:
	$(BIN)/uv pip compile -q --universal --generate-hashes --no-emit-index-url --no-header --no-annotate \
	  --python-version 3.11 --extra build pyproject.toml -o requirements.lock
	$(BIN)/uv pip compile -q --universal --generate-hashes --no-emit-index-url --no-header --no-annotate \
	  --python-version 3.11 --extra build --extra dev --extra fast --extra postgres pyproject.toml -o requirements-dev.lock

.venv/bin/python:
	$(PYTHON) -m venv .venv

.venv/run-ready: .venv/bin/python requirements.lock pyproject.toml
	$(BIN)/python -m pip install -q --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install -q --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@

.venv/test-ready: .venv/bin/python requirements-dev.lock pyproject.toml
	$(BIN)/python -m pip install -q --disable-pip-version-check --require-hashes -r requirements-dev.lock
	$(BIN)/python -m pip install -q --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@ .venv/run-ready

clean:
	rm -rf .venv demo
