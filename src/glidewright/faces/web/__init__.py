"""The pages: the same jobs in a browser, from this machine alone."""
