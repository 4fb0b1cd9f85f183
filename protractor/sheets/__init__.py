"""One module a sheet: arms and numbers in, a page out."""
