woad help show && woad show --help && woad show -h x
