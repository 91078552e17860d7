woad near
