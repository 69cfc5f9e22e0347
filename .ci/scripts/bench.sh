#!/bin/sh
# Speed, as ratios against a reference named in the same run. Each file prints its own table.
set -eu
cd "$(dirname "$0")/../.."
for file in tests/bench/bench_*.py; do
    echo; echo "== $file"
    PYTHONPATH=. .venv/bin/python "$file"
done
