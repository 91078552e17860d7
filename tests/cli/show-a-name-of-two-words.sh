woad show Juniper 1
