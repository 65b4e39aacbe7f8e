"""Zones for the benchmark: a header with laterals, or a closed grid between two headers, of pipe sized as one would."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from tests.networks import LITRE_PER_HOUR, Drawing, Kind, Sketch

EMITTER = Kind(2.0 * LITRE_PER_HOUR, at=10.0, exponent=0.5)

HEADER_VELOCITY = 1.5
"""Of the water where it enters the header. [m/s] 5 ft/s is common practice."""


def zone(laterals: int, outlets: int, *, closed: bool, law: str) -> Drawing:
    """Laterals of so many outlets 0.3 m apart, 0.5 m from lateral to lateral; closed at the far ends to make a grid."""
    flow = laterals * outlets * EMITTER.flow * 1.5
    header = float(np.sqrt(4 * flow / (np.pi * HEADER_VELOCITY)))
    sketch = Sketch(law=law)
    near = [sketch.junction() for _ in range(laterals)]
    far = [sketch.junction() for _ in range(laterals)] if closed else [-1] * laterals
    for before, after in zip([0, *near[:-1]], near, strict=True):
        sketch.chain(before, after, length=[0.5], bore=header)
    links = outlets + closed
    lengths = np.full(links, 0.3)
    first, *_ = [sketch.chain(up, down, length=lengths, bore=0.0157) for up, down in zip(near, far, strict=True)]
    if closed:
        for before, after in pairwise(far):
            sketch.chain(before, after, length=[0.5], bore=header)
    sketch.outlet(EMITTER, chain=first, at=0)
    drawing = sketch.drawing()
    # An outlet at every inner node: the header's chains have none.
    return replace(drawing, outlet_node=np.arange(drawing.inner), kinds=drawing.kinds * drawing.inner)
