# The work is in .ci/scripts/; this file only names it. CI=1 makes every missing tool an error.
# Compiled Python is kept, whatever the environment says: tests start many processes, and each would
# compile all of Django anew.
unexport PYTHONDONTWRITEBYTECODE
export PYTHONPYCACHEPREFIX := $(CURDIR)/.venv/compiled
.PHONY: demo test thorough check bench grades docs format words

demo: ; @.ci/scripts/venv.sh demo && exec .venv/bin/python manage.py demo
test: ; @.ci/scripts/venv.sh test && exec .ci/scripts/test.sh
thorough: ; @.ci/scripts/venv.sh test && exec .ci/scripts/thorough.sh
check: ; @.ci/scripts/venv.sh test && exec .ci/scripts/check.sh
bench: ; @.ci/scripts/venv.sh test && exec .ci/scripts/bench.sh $(ARGS)
grades: ; @.ci/scripts/venv.sh test && exec .ci/scripts/grades.sh
docs: ; @.ci/scripts/venv.sh test && exec .venv/bin/python -m tests.docs
format: ; @.ci/scripts/venv.sh test && exec .ci/scripts/format.sh
words: ; @.ci/scripts/venv.sh test && exec .venv/bin/python manage.py words
