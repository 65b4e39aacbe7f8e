"""Numerics of water in pipes: plain numpy arrays in SI, no drip rules, no HTTP."""
