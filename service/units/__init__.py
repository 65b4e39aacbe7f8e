"""Dimensions, the two unit systems, and the one conversion between callers and SI."""
