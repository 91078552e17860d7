woad show
