"""The page in the browser: a local server whose pages ask the same questions as the commands."""
