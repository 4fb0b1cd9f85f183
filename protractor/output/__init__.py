"""One module a format: pages in, bytes out; and writing those bytes whole or not at all."""
