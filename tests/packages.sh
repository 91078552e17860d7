#!/bin/sh
# Install what is missing of the named Debian or Ubuntu packages, saying so.
set -eu

missing=
for package in "$@"; do
    if command -v dpkg-query >/dev/null &&
        dpkg-query -W -f='${Status}\n' "$package" 2>/dev/null | grep -q ' installed$'; then
        continue
    fi
    case $package in # names that other packages may provide
    pkg-config) command -v pkg-config >/dev/null && continue ;;
    libjpeg-dev) pkg-config --exists libjpeg 2>/dev/null && continue ;;
    clang) command -v clang >/dev/null && continue ;;
    esac
    missing="$missing $package"
done
[ -n "$missing" ] || exit 0

if ! command -v apt-get >/dev/null; then
    echo "woad needs these packages (by their Debian names), and this system has no apt to" >&2
    echo "install them with; install them by hand, then run make again:" >&2
    echo " $missing" >&2
    exit 2
fi
become=
[ "$(id -u)" -eq 0 ] || become=sudo
echo "installing missing packages through apt:$missing" >&2
$become apt-get update -q >/dev/null
# shellcheck disable=SC2086 # the list is meant to split
DEBIAN_FRONTEND=noninteractive $become apt-get install -q -y --no-install-recommends $missing >/dev/null
