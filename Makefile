# Two commands are all one needs: make run, make test. Each brings its own virtual environment, in .venv.
.PHONY: run test bench pins

run: .venv/.filled-run
	@.ci/needs run
	.venv/bin/droplight serve$(if $(PORT), --port $(PORT))

test: .venv/.filled-test
	@.ci/needs test
	.venv/bin/ruff check
	.venv/bin/ruff format --check
	.venv/bin/mypy
	.venv/bin/pytest

# Prints ratios, each against something measured in the same run. Nothing in here passes or fails.
bench: .venv/.filled-test
	@.ci/needs test
	@for file in tests/bench/[a-z]*.py; do \
	  .venv/bin/python -m "tests.bench.$$(basename "$$file" .py)" || exit 1; \
	done

# Newer versions of everything: run it, run make test, read what changed, commit both together.
pins: .venv/.filled-test
	.ci/pins

.venv/.filled-%: pyproject.toml .ci/constraints.txt .ci/venv
	@.ci/venv $*
