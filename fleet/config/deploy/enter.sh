#!/bin/sh
# What a container does, by its word: accounts, prepare, web, worker, loader, scheduler, healthy; anything else
# is a command of manage.py. The addresses that `accounts` wrote are read first, where no others are given.
set -eu
python="${PYTHON:-.venv/bin/python}"
kept="$GREENBAND_DATA/database.env"
if [ -z "${DATABASE_URL:-}" ] && [ -r "$kept" ]; then
    set -a
    . "$kept"
    set +a
fi
case "${1:-web}" in
    accounts) exec "$python" manage.py make_accounts "$ADMIN_URL" --database "${DATABASE_NAME:-greenband}" ;;
    prepare | web | worker | loader | scheduler | healthy) exec "$python" -m fleet.config.serving.start "$1" ;;
    *) exec "$python" manage.py "$@" ;;
esac
