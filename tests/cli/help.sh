woad --help && woad help
