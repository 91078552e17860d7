# Every command and option stands in each shell's completion, and what is quoted is closed again.
for shell in bash zsh fish; do
	woad completion $shell >script || exit 1
	for command in $(woad help | sed -n 's/^  \([a-z]*\) .*/\1/p'); do
		grep -q -e "[ '(]$command[: )]" script || echo "$shell: no $command"
		woad help "$command" | sed -n 's/^  --\([a-z-]*\).*/\1/p' | while read -r option; do
			[ "$option" = help ] || grep -q -e "-$option\\b" -e "-l $option\\b" script ||
				echo "$shell: no $command --$option"
		done
	done
	# none of the three is needed to see that quotes are closed: a shell reads the words as they do
	[ $shell = fish ] && sed 's/^complete/:/' script >script.sh && sh -n script.sh
	[ $shell = bash ] && bash -n script
	[ "$(tr -cd "'" <script | wc -c)" -gt 40 ] || echo "$shell: too little"
done
woad completion tcsh
