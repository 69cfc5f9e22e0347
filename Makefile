# The work is in .ci/scripts/; this file only names it. CI=1 makes every missing tool an error.
.PHONY: demo test check bench format

demo: ; @.ci/scripts/venv.sh demo && exec .venv/bin/python manage.py demo
test: ; @.ci/scripts/venv.sh test && exec .ci/scripts/test.sh
check: ; @.ci/scripts/venv.sh test && exec .ci/scripts/check.sh
bench: ; @.ci/scripts/venv.sh test && exec .ci/scripts/bench.sh
format: ; @.ci/scripts/venv.sh test && exec .ci/scripts/format.sh
