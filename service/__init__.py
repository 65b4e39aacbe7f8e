"""endline: whether a drip-irrigation zone works with its water supply, what goes at its head, and what it takes."""

__version__ = "0.1.0"
