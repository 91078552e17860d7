# Every command has its section in the man page, and every option of its --help stands there.
page=$SOURCE/src/commands/woad.1
for command in $(woad help | sed -n 's/^  \([a-z]*\) .*/\1/p'); do
	sed -n "/^\.SS $command\$/,/^\.S[SH] /p" "$page" | sed 's/\\f[BIR]//g; s/\\-/-/g' >section
	[ -s section ] || echo "no section: $command"
	woad help "$command" | sed -n 's/^  \(--[a-z-]*\).*/\1/p' | while read -r option; do
		[ "$option" = --help ] || grep -q -e "^$option\\b" section ||
			echo "not in the man page: woad $command $option"
	done
done
[ "$(woad help | grep -c '^  [a-z]')" -ge 7 ] || echo "woad help lists too few commands"
