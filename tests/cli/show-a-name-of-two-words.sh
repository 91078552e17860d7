woad show Wet Slate
