#!/bin/sh
# The bank app's own checks: types, then node --test. Needs web/bank/node_modules (npm ci).
set -eu
cd "$(dirname "$0")/../.."
if [ -f web/bank/jsconfig.json ]; then npm run --silent --prefix web/bank types; fi
if ls tests/js/*.test.* >/dev/null 2>&1; then exec npm run --silent --prefix web/bank test; fi
echo "No tests in tests/js."
