#!/bin/sh
# Between two edits: lint, import rules, and every test that needs neither a database nor a browser.
# Types are read meanwhile, from what mypy kept of the last time.
set -eu
cd "$(dirname "$0")/../.."
typed=$(mktemp)
.venv/bin/mypy > "$typed" 2>&1 &
types=$!
.venv/bin/ruff check .
.venv/bin/ruff format --check .
.venv/bin/lint-imports
.venv/bin/python manage.py bank_build
.venv/bin/python -m pytest -q -n 2 --room without-database \
    -m "not browser and not engine and not postgres and not redis and not slow" --ignore tests/outside \
    --ignore tests/browser --ignore tests/engines --ignore tests/races  # all of theirs is left out
wait "$types" || { cat "$typed" >&2; exit 1; }
cat "$typed"
