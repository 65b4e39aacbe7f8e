"""The linear step of the solver: every chain condensed to its two ends, a banded system in the junctions left.

The equations are those of a resistor network. Each link carries `conductance` times the step of the head across it,
and a flow `push` besides; each place drains `slope` times its step. The inner places of all chains, in all scenarios
at once, are one symmetric positive definite tridiagonal system, solved for up to three right-hand sides: the load, and
a unit step of the head at either end of the chain.
"""

import numpy as np
from scipy.linalg.lapack import dpbsv, dptsv

from service.hydraulics.arrays import Floats, RowSums
from service.hydraulics.shape import Chains, Shape


class Singular(ArithmeticError):
    """The matrix was not positive definite: some law falls where it must not."""


class Condensation:
    """Linear steps of one network."""

    def __init__(self, chains: Chains, shape: Shape) -> None:
        """Prepare where every term of the junction system goes."""
        self._shape = shape
        through, band, width = shape.through, shape.band, shape.bandwidth + 1
        near, far = band[chains.upstream], band[chains.downstream[through]]
        self._far = far
        self._link_near, self._link_far = near[shape.link_chain], band[shape.link_downstream]
        self._width, self._terms = width, shape.junctions * width
        # A through chain of one link has no inner place: its ends feel each other directly.
        bare = chains.links[through] == 1
        self._bare = bare.astype(float)
        self._far_inner = np.where(bare, shape.doubles, shape.doubles - 1)
        self._starts = shape.first[(chains.links > 1) | (chains.downstream < 0)]
        # A chain that starts and ends at one junction puts both its cross terms on the diagonal.
        self._cross = np.where(near[through] == far, -2.0, -1.0)
        cross = np.minimum(near[through], far) * width + np.abs(near[through] - far)
        matrix = (near * width, far * width, cross, band * width, band[:1] * width)
        load = (near, far, band[:1])
        targets = (*matrix, *(self._terms + row for row in load))
        self._closing_start = shape.start_place[shape.closing]
        self._system = RowSums(np.concatenate(targets), self._terms + shape.junctions)

    def step(
        self, conductance: Floats, push: Floats, slope: Floats, inlet_conductance: Floats, inlet_push: Floats
    ) -> tuple[Floats, Floats]:
        """Step of the heads at the places, (a, p) [m], and of the flows of the closing links, (a, k) [m³/s].

        Parameters
        ----------
        conductance : (a, m) of the links, above zero. [m²/s]
        push : (a, m) flow that each link lacks. [m³/s]
        slope : (a, p) of what leaves at the places, by head, zero or more. [m²/s]
        inlet_conductance : (a,) of what supplies the inlet, above zero. [m²/s]
        inlet_push : (a,) flow that it lacks. [m³/s]
        """
        shape = self._shape
        inside = self._inside(conductance, push, slope)
        drains = slope[:, shape.links :], inlet_conductance[:, None]
        system = self._system(np.concatenate(self._terms_of(conductance, push, inside, drains, inlet_push), axis=1))
        at_junctions = self._junctions(system)
        step = np.empty_like(slope)
        places = step[:, : shape.links]
        np.multiply(inside[1], at_junctions.take(self._link_near, axis=1), out=places)
        places += inside[0]
        if len(inside) == 3:
            places += inside[2] * at_junctions.take(self._link_far, axis=1)
        step[:, shape.doubles] = at_junctions.take(self._far, axis=1)
        step[:, shape.links :] = at_junctions.take(shape.band, axis=1)
        drop = step.take(self._closing_start, axis=1) - step.take(shape.closing, axis=1)
        return step, conductance.take(shape.closing, axis=1) * drop + push.take(shape.closing, axis=1)

    def _terms_of(
        self, conductance: Floats, push: Floats, inside: Floats, drains: tuple[Floats, Floats], inlet_push: Floats
    ) -> tuple[Floats, ...]:
        """What each chain, junction and the inlet put into the matrix and the load of the junctions."""
        shape = self._shape
        first, last = conductance.take(shape.first, axis=1), conductance.take(shape.doubles, axis=1)
        at_first, at_last = inside.take(shape.first, axis=2), inside.take(self._far_inner, axis=2)
        across = at_first[-1].take(shape.through, axis=1) + self._bare
        return (
            first * (1.0 - at_first[1]),
            last * (1.0 - at_last[-1]),
            first.take(shape.through, axis=1) * across * self._cross,
            *drains,
            first * at_first[0] - push.take(shape.first, axis=1),
            last * at_last[0] + push.take(shape.doubles, axis=1),
            inlet_push[:, None],
        )

    def _inside(self, conductance: Floats, push: Floats, slope: Floats) -> Floats:
        """Step of the inner places from the load, and for a unit step of the near and far end. (2 or 3, a, m)"""
        shape, rows = self._shape, len(push)
        beyond, against = np.empty_like(conductance), np.empty_like(push)
        beyond[:, :-1] = conductance[:, 1:]
        beyond[:, shape.last] = 0.0
        diagonal = conductance + beyond
        diagonal += slope[:, : shape.links]
        right = np.empty((3 if len(shape.last_inner) else 2, rows, shape.links))
        right[1:] = 0.0
        against[:, :-1] = push[:, 1:]
        against[:, shape.last] = 0.0
        np.subtract(push, against, out=right[0])
        right[0][:, shape.doubles] = 0.0
        right[1][:, self._starts] = conductance.take(self._starts, axis=1)
        if len(shape.last_inner):
            right[2][:, shape.last_inner] = conductance.take(shape.last_inner + 1, axis=1)
        # Doubles of junctions stay out of it: nothing couples them, and their load is nought.
        beyond[:, shape.last_inner] = 0.0
        beside = np.negative(beyond, out=beyond).ravel()[: max(diagonal.size - 1, 1)]
        _, _, solved, info = dptsv(
            diagonal.ravel(), beside, right.reshape(len(right), -1).T, overwrite_d=1, overwrite_e=1, overwrite_b=1
        )
        if info:
            raise Singular
        inside: Floats = solved.T.reshape(right.shape)
        return inside

    def _junctions(self, system: Floats) -> Floats:
        """Step of the junctions, in the order of the band, of all scenarios in one. (a, j)"""
        matrix, load = system[:, : self._terms], system[:, self._terms :]
        if self._width == 1:
            return load / matrix
        _, solved, info = dpbsv(matrix.reshape(-1, self._width).T, load.reshape(-1, 1), lower=1)
        if info:
            raise Singular
        step: Floats = solved.reshape(load.shape)
        return step
