#!/bin/sh
# Installs what some tests need beside Python: Chromium (the pages), poppler-utils (printed pages) and PostgreSQL (the
# archive of a team; the tests run a server of their own). On Debian and its kin, as root or with a sudo that asks for no
# password; elsewhere it says what to install.
# Never fails: tests that need what is missing say so and are skipped.
# Not Node.js with npm, for the types of the JavaScript: Debian's two are 362 packages and 201 MB more on a system with
# Python, git and make. Where npm is there already, `make lint` checks those types too.
set -u

has_postgres() {
    command -v postgres >/dev/null 2>&1 && return
    for program in /usr/lib/postgresql/*/bin/postgres; do
        [ -x "$program" ] && return
    done
    return 1
}

missing=""
command -v chromium >/dev/null 2>&1 || command -v chromium-browser >/dev/null 2>&1 || missing="$missing chromium"
command -v pdftotext >/dev/null 2>&1 || missing="$missing poppler-utils"
has_postgres || missing="$missing postgresql"
[ -n "$missing" ] || exit 0

by_hand() {
    echo "Not installed:$missing ($1)."
    echo "Install them with your system's package manager to run the tests that need them; the others run without."
    exit 0
}

command -v apt-get >/dev/null 2>&1 || by_hand "this is not a Debian system"
if [ "$(id -u)" -eq 0 ]; then
    as_root=""
elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
    as_root="sudo -n"
else
    by_hand "that needs root, or a sudo that asks for no password"
fi

echo "Installing$missing"
log=$(mktemp)
trap 'rm -f "$log"' EXIT
if ! { $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q update &&
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -y install --no-install-recommends $missing; } \
    </dev/null >"$log" 2>&1; then
    tail -n 5 "$log"
    by_hand "apt-get could not install them"
fi
