#!/bin/sh
# What can be known without running the program.
set -eu
cd "$(dirname "$0")/../.."
step() { echo; echo "== $*"; }

step "ruff"
.venv/bin/ruff check .
.venv/bin/ruff format --check .
step "mypy"
.venv/bin/mypy
step "import rules"
.venv/bin/lint-imports
step "migrations and system checks"
.venv/bin/python manage.py makemigrations --check --dry-run
.venv/bin/python manage.py check --fail-level WARNING
