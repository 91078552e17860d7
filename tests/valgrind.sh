#!/bin/sh
# Unit and command line tests under valgrind: tests/valgrind.sh BUILD
#
# The command line's cases find, as `woad`, a script that runs the program under valgrind. Its
# exit status is 99 where valgrind complains, which no case expects.
set -u
build=$1
# libjpeg-turbo's vector code reads past its rows on purpose; valgrind takes that for an error.
JSIMD_FORCENONE=1
export JSIMD_FORCENONE
runner="valgrind -q --error-exitcode=99 --leak-check=full --show-leak-kinds=definite \
--errors-for-leak-kinds=definite --suppressions=$PWD/tests/suppressions/valgrind.supp"

# Without libseccomp, whose system call valgrind does not know and says so in between.
make -s -j "$(getconf _NPROCESSORS_ONLN)" BUILD="$build" \
    OPTIONAL_PACKAGES="libheif-dev libtiff-dev libraw-dev" tests || exit
mkdir -p "$build/under" || exit
cat >"$build/under/woad" <<END
#!/bin/sh
exec $runner "$PWD/$build/woad" "\$@"
END
chmod +x "$build/under/woad"

status=0
# shellcheck disable=SC2086 # the runner is meant to split
sh tests/unit/run.sh "$build" $runner || status=1
UNDER=$PWD/$build/under sh tests/cli/run.sh "$build" || status=1
exit $status
