# make run    set up what is missing, then serve on this machine alone (PORT=8000 unless you say otherwise)
# make class  the same, for everyone on the local network (ADDRESS=… if the machine has several)
# make test   set up what tests need, then check everything
# make lint   only what reads the source;  make format  put the source in order;  make bench  measure

SHELL := /bin/bash
PYTHON := .venv/bin/python

# As manage.py does: small matrices gain nothing from threads.
export OPENBLAS_NUM_THREADS := 1

.PHONY: help run class test lint format bench set-up set-up-tests data check-source

help:
	@sed -n 's/^# //p' Makefile

run: data
	@$(PYTHON) manage.py serve

class: data
	@$(PYTHON) manage.py serve --network

test: check-source
	$(PYTHON) -m pytest -n auto --maxprocesses 4

lint: check-source

# The checks must not make or touch the data folder of the person who runs them: hence the tests' settings.
check-source: export DJANGO_SETTINGS_MODULE := tests.settings
check-source: set-up-tests
	$(PYTHON) -m ruff check .
	$(PYTHON) -m ruff format --check .
	$(PYTHON) -m mypy --no-fast-exit .
	.venv/bin/lint-imports
	$(PYTHON) manage.py check --fail-level WARNING
	$(PYTHON) manage.py makemigrations --check --dry-run

format: set-up-tests
	$(PYTHON) -m ruff check --fix .
	$(PYTHON) -m ruff format .

bench: set-up-tests
	$(PYTHON) -m tests.bench

set-up:
	@bash config/set-up.sh run

set-up-tests:
	@bash config/set-up.sh test

data: set-up
	@$(PYTHON) manage.py migrate --verbosity 0
	@$(PYTHON) manage.py load_demo --if-empty
