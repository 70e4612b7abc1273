"""The same job in a browser, on this machine alone."""
