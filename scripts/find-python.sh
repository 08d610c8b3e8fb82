#!/bin/sh
# Prints the first Python that is 3.11 or newer and can make a virtual environment.
# Given an argument, tries that one alone: sh scripts/find-python.sh /opt/python/bin/python3
set -eu

fits() {
    "$1" -c 'import ensurepip, sys, venv; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1
}

[ $# -gt 0 ] || set -- python3.13 python3.12 python3.11 python3
for python in "$@"; do
    if fits "$python"; then
        echo "$python"
        exit 0
    fi
done

cat >&2 <<TEXT
Inkstep needs Python 3.11 or newer with its venv module; tried: $*
On Debian or Ubuntu: apt-get install python3 python3-venv
Elsewhere, or to choose one: make PYTHON=/path/to/python3
TEXT
exit 1
