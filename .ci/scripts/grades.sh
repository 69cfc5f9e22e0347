#!/bin/sh
# Lighthouse, axe and the keyboard over every page of a demo of its own; writes web/docs/grades.md.
set -eu
cd "$(dirname "$0")/../.."
CHROMIUM=$(.ci/scripts/chromium.sh)
export CHROMIUM
npm ci --prefix tests/grades --no-audit --no-fund --loglevel=error
exec .venv/bin/python -m tests.grades --write "$@"
