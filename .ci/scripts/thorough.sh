#!/bin/sh
# The slow trials, each as often as the promise names it (tests/thorough.py): a quarter of an hour.
set -eu
cd "$(dirname "$0")/../.."
CHROMIUM=$(.ci/scripts/chromium.sh)
export CHROMIUM THOROUGH=1
.venv/bin/python manage.py bank_build
exec .venv/bin/python -m pytest -m "slow and not postgres and not redis and not engine"
