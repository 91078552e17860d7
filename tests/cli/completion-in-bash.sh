# "I press Tab behind woad and it offers what fits."
woad completion bash >woad.bash
cat >ask.bash <<'END'
source ./woad.bash
# offer WORD...: what completes the last word, in one line
offer() {
	COMP_WORDS=("$@") COMP_CWORD=$(($# - 1))
	_woad
	echo "${COMPREPLY[*]}"
}
offer woad comb
offer woad near --wi
offer woad near --format j
offer woad near --photo sheet
offer woad near --nothing
END
bash ask.bash
