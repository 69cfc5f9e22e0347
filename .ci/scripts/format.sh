#!/bin/sh
set -eu
cd "$(dirname "$0")/../.."
.venv/bin/ruff check --fix .
.venv/bin/ruff format .
