"""A deck asked, an alignment answered: closed forms, the exact optimum, comparison."""
