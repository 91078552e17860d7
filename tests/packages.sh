#!/bin/sh
# Install what is missing of the named Debian or Ubuntu packages, saying so.
set -eu

# is_there PACKAGE: whether it is installed, or another package that does as well.
is_there() {
    case $(dpkg-query -W -f='${Status}' "$1" 2>/dev/null) in
    *" installed") return 0 ;;
    esac
    case $1 in
    pkg-config | clang | clang-format | sqlite3 | strace | valgrind) command -v "$1" >/dev/null ;;
    libjpeg-turbo-progs) command -v djpeg >/dev/null ;;
    libjpeg-dev) pkg-config --exists libjpeg 2>/dev/null ;;
    *) return 1 ;;
    esac
}

missing=
for package in "$@"; do
    is_there "$package" || missing="$missing $package"
done
[ -n "$missing" ] || exit 0

become=
[ "$(id -u)" -eq 0 ] || become=sudo
if ! command -v apt-get >/dev/null || { [ -n "$become" ] && ! command -v sudo >/dev/null; }; then
    echo "woad needs these packages, here by their Debian names:" >&2
    echo " $missing" >&2
    echo "They can't be installed for you: this system has no apt-get, or no sudo to run it with." >&2
    echo "Install them by hand, then run make again." >&2
    exit 2
fi
echo "installing missing packages through apt:$missing" >&2
$become apt-get update -q >/dev/null
# shellcheck disable=SC2086 # the list is meant to split
$become env DEBIAN_FRONTEND=noninteractive \
    apt-get install -q -y --no-install-recommends $missing >/dev/null
