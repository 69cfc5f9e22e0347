# The work is in scripts/; this file only names it. CI=1 makes every missing tool an error.
.PHONY: demo test check bench format

demo: ; @scripts/venv.sh demo && exec .venv/bin/python manage.py demo
test: ; @scripts/venv.sh test && exec scripts/test.sh
check: ; @scripts/venv.sh test && exec scripts/check.sh
bench: ; @scripts/venv.sh test && exec scripts/bench.sh
format: ; @scripts/venv.sh test && exec scripts/format.sh
