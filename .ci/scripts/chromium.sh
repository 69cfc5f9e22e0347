#!/bin/sh
# Print where Chromium is; install Debian's when we may; otherwise say how to get it, and fail.
set -eu
find_one() {
    if [ -n "${CHROMIUM:-}" ] && [ -x "$CHROMIUM" ]; then echo "$CHROMIUM"; return 0; fi
    for name in chromium chromium-browser google-chrome google-chrome-stable; do
        if command -v "$name"; then return 0; fi
    done
    return 1
}
if find_one; then exit 0; fi
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    echo "Installing Chromium for the browser tests ..." >&2
    { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium; } >&2 || true
    if find_one; then exit 0; fi
fi
echo "The browser tests need Chromium: install it (on Debian: apt-get install chromium), or say where it is with CHROMIUM=/path/to/it. 'make check' does without." >&2
exit 1
