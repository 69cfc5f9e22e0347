#!/bin/sh
# Speed, as ratios against a reference named in the same run; --quick for a run of two minutes.
set -eu
cd "$(dirname "$0")/../.."
CHROMIUM=$(.ci/scripts/chromium.sh || true)
export CHROMIUM
exec .venv/bin/python -m tests.bench "$@"
