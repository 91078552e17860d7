# What the cases share; read in before each.

# refused COMMAND...: run a command that must store nothing; its standard output must be empty too.
refused() {
	"$@" >refused.stdout
	refused_status=$?
	cat refused.stdout
	if [ -e inventory.db ] && [ "$(woad export --format csv | wc -l)" -ne 1 ]; then
		echo "readings were stored"
	fi
	return $refused_status
}

# rendered NAME OPTION VALUE...: make NAME.jpg, the same each time, with NAME.names.csv beside it.
rendered() {
	scene plain "$@" --number 31 >/dev/null || exit 98
}
