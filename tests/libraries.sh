#!/bin/sh
# Print the flags of the libraries for the Makefile: tests/libraries.sh LIBRARIES PACKAGES
#
# LIBRARIES are those that must be there, by their pkg-config names; PACKAGES those that may be, by
# the names of their Debian packages.
set -eu
flags=
found=$1

# look_for PACKAGE FLAG LIBRARY VERSION: take the library in if it is asked for and there.
look_for() {
    case " $packages " in
    *" $1 "*) pkg-config --exists "$3 >= $4" 2>/dev/null && flags="$flags $2" && found="$found $3" ;;
    esac || echo "woad is built without $3: $1, from version $4 on, is not there" >&2
}

packages=$2
look_for libheif-dev -DWOAD_HEIF libheif 1.13
look_for libtiff-dev -DWOAD_TIFF libtiff-4 4.5
look_for libraw-dev -DWOAD_RAW libraw_r 0.20
look_for libseccomp-dev -DWOAD_SECCOMP libseccomp 2.5

# shellcheck disable=SC2086 # the list is meant to split
cat <<END
LIBRARY_FLAGS := $(pkg-config --cflags $found)$flags
LIBRARY_LINKS := $(pkg-config --libs $found)
END
