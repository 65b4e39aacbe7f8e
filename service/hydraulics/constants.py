"""Numbers of nature and convention that several laws share, each with its source."""

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall. [m/s²] Exact by convention: 3rd CGPM, 1901."""

LINEAR_HEAD = 1e-4
"""Head, about 1 Pa, below which an outlet law is a straight line to zero. [m]

A root has an infinite slope at zero, which Newton's method cannot use; no outlet works at a thousandth of a psi.
"""
