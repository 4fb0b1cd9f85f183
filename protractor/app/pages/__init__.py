"""One module a page, or a few that belong together: a query in, an `Answer` out."""
