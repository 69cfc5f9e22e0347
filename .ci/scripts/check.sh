#!/bin/sh
# Lint, types, import rules, fast tests: a minute or two.
set -eu
cd "$(dirname "$0")/../.."
.ci/scripts/lint.sh
.venv/bin/python manage.py bank_build
exec .venv/bin/python -m pytest -m "not browser and not engine and not postgres and not redis and not slow"
