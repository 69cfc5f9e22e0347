#!/bin/sh
# Everything. Under CI a missing server or tool is an error; elsewhere it is said in words.
# The run over all rooms comes last, so that its closing line is the last line.
set -eu
cd "$(dirname "$0")/../.."
step() { echo; echo "== $* ($(date +%T))"; }
missing() {
    if [ -n "${CI:-}" ]; then echo "$1" >&2; exit 1; fi
    echo "LEFT OUT: $1"
}
has() { .venv/bin/python .ci/scripts/with_servers.py --has "$1"; }

CHROMIUM=$(.ci/scripts/chromium.sh)
export CHROMIUM
step "known faults"
.ci/scripts/audit.sh

step "bank app"
.venv/bin/python manage.py bank_build
if command -v npm >/dev/null && command -v node >/dev/null; then
    npm ci --prefix web/bank --no-audit --no-fund --loglevel=error
    scripts=.ci/scripts/js.sh
else
    scripts=true
    missing "Node.js is not installed, so the bank app's own tests cannot run (on Debian: apt-get install nodejs npm)."
fi

# Types take a minute of one core, while engines mostly wait for each other.
read=$(mktemp)
{ $scripts && .ci/scripts/lint.sh; } > "$read" 2>&1 &
reading=$!

step "engines"
left_out=$(.venv/bin/python -m tests.engines.engines --missing)
if [ -n "$left_out" ]; then missing "$left_out"; fi
found=$(.venv/bin/python -m tests.engines.engines --found)
if [ -n "$found" ]; then
    .venv/bin/python -m pytest tests/engines -n 4 --dist worksteal -k "$found"
fi

step "the bank app's own tests, lint and types"
wait "$reading" || { cat "$read" >&2; exit 1; }
cat "$read"

part=
if has postgres; then
    part="--room left-by-postgres"
    # What waits for a broker most of its time runs beside what computes.
    queued=$(mktemp)
    if has redis; then
        .venv/bin/python .ci/scripts/with_servers.py postgres redis -- \
            .venv/bin/python -m pytest tests/races -m redis > "$queued" 2>&1 &
        redis=$!
    else
        missing "Redis is not installed, so what depends on the broker runs on files only (on Debian: apt-get install redis-server)."
    fi
    step "PostgreSQL"
    .venv/bin/python .ci/scripts/with_servers.py postgres -- .venv/bin/python -m pytest \
        tests/matches tests/bait tests/web tests/races --room postgres -n 2 --dist worksteal
    if [ -n "${redis:-}" ]; then
        step "Redis"
        wait "$redis" || { cat "$queued" >&2; exit 1; }
        cat "$queued"
    fi
else
    missing "PostgreSQL is not installed, so what depends on the database runs on SQLite only (on Debian: apt-get install postgresql)."
fi

step "all rooms"
# shellcheck disable=SC2086  # two words or none
exec .venv/bin/python -m pytest $part -n 3 --dist worksteal -m "not postgres and not redis and not engine"
