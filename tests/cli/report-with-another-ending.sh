woad report range.pdf
