woad --version && woad version
