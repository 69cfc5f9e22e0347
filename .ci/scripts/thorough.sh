#!/bin/sh
# What `make test` asks PostgreSQL asked of SQLite too, and the slow trials each as often as the
# promise names it (tests/thorough.py): twenty minutes.
set -eu
cd "$(dirname "$0")/../.."
CHROMIUM=$(.ci/scripts/chromium.sh)
export CHROMIUM THOROUGH=1
.venv/bin/python manage.py bank_build
.venv/bin/python -m pytest --room postgres -n 3 --dist worksteal
exec .venv/bin/python -m pytest -m "slow and not postgres and not redis and not engine"
