"""The routes, and everything that belongs to HTTP."""
