#!/bin/sh
# Make .venv with the pinned, hashed requirements of "demo" or "test". Quick the second time: a
# stamp keeps the checksum of what was installed.
set -eu
cd "$(dirname "$0")/../.."

if [ ! -x .venv/bin/python ]; then
    python=${PYTHON:-$(command -v python3.11 || command -v python3 || true)}
    if [ -z "$python" ] || ! "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
        echo "Drawbag needs Python 3.11 or later: install it, or say where it is with PYTHON=..." >&2
        exit 1
    fi
    echo "Making .venv with $("$python" --version) ..."
    if ! "$python" -m venv .venv; then
        echo "Python could not make .venv: install its venv module (on Debian: python3-venv)." >&2
        rm -rf .venv
        exit 1
    fi
fi

sum() { .venv/bin/python -c 'import hashlib, sys; print(hashlib.sha256(open(sys.argv[1], "rb").read()).hexdigest())' "$1"; }
installed() { [ "$(cat ".venv/installed-$1" 2>/dev/null || true)" = "$(sum "$2")" ]; }

# The test set holds the demo's, pinned alike.
if installed test requirements-test.txt; then exit 0; fi
case $1 in
    demo) file=requirements.txt ;;
    test) file=requirements-test.txt ;;
    *) echo "usage: .ci/scripts/venv.sh demo|test" >&2; exit 2 ;;
esac
if installed "$1" "$file"; then exit 0; fi
echo "Installing $file ..."
.venv/bin/python -m pip install --quiet --disable-pip-version-check --no-compile --require-hashes -r "$file"
sum "$file" > ".venv/installed-$1"
