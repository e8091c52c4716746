#!/usr/bin/env bash
# Set-up for `make`: Debian packages, virtual environment, requirements. Quick when nothing is missing.
#   config/set-up.sh run     what it takes to run
#   config/set-up.sh test    what tests and checks need as well
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
what="${1:?run or test}"

needed=(libpango-1.0-0 libpangoft2-1.0-0)                     # sheets cannot be made without these
wished=(libharfbuzz-subset0 fonts-dejavu-core gettext)        # speed, a font that is always the same, translations
if [ "$what" = test ]; then
    needed+=("${wished[@]}" chromium ngspice poppler-utils postgresql)
    wished=()
fi

say() { printf '%s\n' "$*" >&2; }

is_installed() { [ "$(dpkg-query -W -f='${db:Status-Status}' "$1" 2>/dev/null)" = installed ]; }

missing() {
    local package
    for package in "$@"; do is_installed "$package" || printf '%s ' "$package"; done
}

# Root needs no sudo; anyone else needs one that asks for no password, since nobody may be there to type it.
as_root() {
    if [ "$(id -u)" = 0 ]; then "$@"; else sudo -n "$@"; fi
}
may_install() { [ "$(id -u)" = 0 ] || sudo -n true 2>/dev/null; }

# apt_install PACKAGE…: true if all are there afterwards.
apt_install() {
    may_install || return 1
    say "Installing Debian packages: $*"
    as_root apt-get update -qq || say "(the list of packages could not be refreshed; trying with the one at hand)"
    as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@" >/dev/null
}

# The first Python that is new enough and can make a virtual environment; with "any", new enough is enough.
find_python() {
    local wants="import sys; sys.exit(sys.version_info < (3, 11))" candidate
    [ "${1:-}" = any ] || wants="import ensurepip, venv; $wants"
    for candidate in python3 /usr/bin/python3 python3.11 python3.12 python3.13 python3.14; do
        if "$candidate" -c "$wants" 2>/dev/null; then
            printf '%s' "$candidate"
            return 0
        fi
    done
    return 1
}

set_up_debian() {
    if ! command -v dpkg-query >/dev/null; then
        say "This is not Debian: if sheets cannot be made, install Pango by other means."
        return 0
    fi
    local lacks_needed lacks_wished venv_package=""
    lacks_needed="$(missing "${needed[@]}")"
    lacks_wished="$(missing ${wished[@]+"${wished[@]}"})"
    if [ ! -x .venv/bin/python ] && ! find_python >/dev/null; then venv_package=python3-venv; fi
    lacks_needed="$venv_package $lacks_needed"
    local all="$lacks_needed $lacks_wished"
    [ -n "${all// /}" ] || return 0
    # shellcheck disable=SC2086  # several words on purpose
    if apt_install $all; then return 0; fi
    if [ -n "${lacks_needed// /}" ]; then
        say "These Debian packages are needed and could not be installed from here. Run this line, then try again:"
        say "  sudo apt-get update && sudo apt-get install -y" $all
        exit 1
    fi
    say "Going on without these, which make it better:  sudo apt-get install -y" $lacks_wished
}

set_up_environment() {
    if .venv/bin/python -c "import sys; sys.exit(sys.version_info < (3, 11))" 2>/dev/null; then return 0; fi
    local python
    if ! python="$(find_python)"; then
        if find_python any >/dev/null; then
            say "Python cannot make a virtual environment here. Run this line, then try again:"
            say "  sudo apt-get install -y python3-venv"
        else
            say "Python 3.11 or newer is needed, and none was found."
        fi
        exit 1
    fi
    say "Making the virtual environment .venv"
    rm -rf .venv
    "$python" -m venv .venv
}

# A stamp holds the digest of what was installed: the same digest, nothing to do.
set_up_requirements() {
    local wanted=(requirements.txt) stamp=".venv/installed-$what" digest
    [ "$what" = run ] || wanted+=(tests/requirements.txt)
    digest="$(cat "${wanted[@]}" | sha256sum)"
    [ "$(cat "$stamp" 2>/dev/null)" != "$digest" ] || return 0
    say "Installing Python packages (a few minutes the first time)"
    .venv/bin/python -m pip install --quiet --disable-pip-version-check -r "${wanted[-1]}" || {
        say "The Python packages could not be installed: the reason stands above. Check the network, then try again."
        exit 1
    }
    printf '%s\n' "$digest" >"$stamp"
}

set_up_debian
set_up_environment
set_up_requirements
