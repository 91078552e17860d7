woad near --lab 50,20
