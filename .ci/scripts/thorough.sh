#!/bin/sh
# What `make test` asks PostgreSQL asked of SQLite too, what it asks Chromium once asked of it as
# people have it, and the slow trials each as often as the promise names it (tests/thorough.py):
# a quarter of an hour.
set -eu
cd "$(dirname "$0")/../.."
CHROMIUM=$(.ci/scripts/chromium.sh)
export CHROMIUM THOROUGH=1
.venv/bin/python manage.py bank_build
.venv/bin/python -m pytest --room postgres -n 3 --dist worksteal
.venv/bin/python -m pytest tests/engines -n 3 --dist worksteal -k chromium
chance() { grep -rlE 'tests.thorough|hypothesis' "$@" --include='test_*.py'; }
# shellcheck disable=SC2046  # names without spaces
.venv/bin/python -m pytest --room left-by-postgres -m "not slow" -n 3 --dist worksteal \
    $(chance tests | grep -v '^tests/browser\|^tests/engines')
# shellcheck disable=SC2046
.venv/bin/python -m pytest -m "not slow" $(chance tests/browser)
exec .venv/bin/python -m pytest -m "slow and not postgres and not redis and not engine"
