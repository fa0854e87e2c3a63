"""When new liquid comes to each tip: residence times convolved along the way.

Millstream moves parcels through bundles of stream tubes. Here the same statements (docs/theory.md, "Fronts") are
taken as a linear system: the strength that leaves a line is the strength that enters it, convolved with the line's
distribution of residence times; nodes mix what arrives. Time is counted in volumes pumped, so that the start from
rest, found by stepping the equations of `steady` with the inertia of the columns, drops out of the convolution.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import cumulative_trapezoid
from scipy.signal import StateSpace, fftconvolve, lsim
from scipy.stats import invgauss

from network import Network, turbulent_share
from steady import Equations, Steady

LEG_SHARE, LEG_FALL = 0.02, 0.1
"""Exchange of a capped stretch with the stream at its mouth, and how it falls from cell to cell (docs/theory.md)."""


def residence(network: Network, branch: int, flow: float, times: np.ndarray) -> np.ndarray:
    """Share of a step that has left a line after each of `times`.

    Laminar: the parabolic profile, 1 - 1/(4 theta^2) from half a mean stay on (Danckwerts 1953). Turbulent: Ogata &
    Banks (1961), which is the inverse Gaussian distribution of mean 1 and shape Pe/2. Its coefficient of dispersion is the
    larger of Wen & Fan's (1975) fit and Taylor's (1954) 10.1 a u*, u* = u sqrt(f/8). Between Re 2000 and 4000 both curves
    by the share of turbulent flow that the friction factor has.
    """
    line = network.lines[branch]
    theta = times * abs(flow) / (line.area * line.length)
    late = np.maximum(theta, 0.5)
    laminar = 1 - 1 / (4 * late**2)
    reynolds = line.reynolds(flow)
    if reynolds <= 2000:
        return laminar
    measured = 3.0e7 / reynolds**2.1 + 1.35 / reynolds**0.125
    taylor = 10.1 / 2 * np.sqrt(line.factor(abs(flow)) / 8)
    shape = line.length / (line.bore * max(measured, taylor)) / 2
    turbulent = invgauss.cdf(np.maximum(theta, 0), 1 / shape, scale=shape)
    return laminar + turbulent_share(reynolds, line.roughness / line.bore) * (turbulent - laminar)


class Transport:
    """Strengths over time at every node for steady flows from time 0, on a grid of `step` seconds."""

    def __init__(self, network: Network, steady: Steady, lasts: float, step: float, tank_holds: float) -> None:
        self.network, self.flow = network, steady.flow
        self.sprayed = steady.tip_flow.sum()
        self.times = np.arange(0.0, lasts + step, step)
        self.step, self.tank_holds = step, tank_holds
        self.kernels: dict[int, np.ndarray] = {}
        self.strengths: dict[int, np.ndarray] = {}
        self.tank = np.ones_like(self.times)

    def through(self, branch: int, entering: np.ndarray) -> np.ndarray:
        """What leaves a branch."""
        if branch not in self.network.lines:
            return entering
        if branch not in self.kernels:
            edges = np.append(self.times - self.step / 2, self.times[-1] + self.step / 2)
            self.kernels[branch] = np.diff(residence(self.network, branch, self.flow[branch], edges))
        return fftconvolve(entering, self.kernels[branch])[: len(entering)]

    def at(self, node: int) -> np.ndarray:
        """Strength at a node: the tank's, or what arrives, mixed, and exchanged with a capped stretch there."""
        if node in self.network.fixed:
            return self.tank
        if node not in self.strengths:
            mixed, whole = np.zeros_like(self.times), 0.0
            for branch, towards in self.network.at[node]:
                q = towards * self.flow[branch]
                if q > 1e-12:
                    start, end = self.network.ends[branch]
                    mixed += q * self.through(branch, self.at(start if towards > 0 else end))
                    whole += q
            mixed = mixed / whole if whole > 0 else mixed
            legs = [b for b, _ in self.network.at[node] if self.is_capped(b)]
            self.strengths[node] = self.beside_leg(legs[0], mixed, whole) if legs else mixed
        return self.strengths[node]

    def is_capped(self, branch: int) -> bool:
        """Whether a line ends in nothing."""
        ends = self.network.ends[branch]
        return branch in self.network.lines and any(
            len(self.network.at[end]) == 1 and end not in self.network.fixed for end in ends
        )

    def beside_leg(self, leg: int, arriving: np.ndarray, flow: float) -> np.ndarray:
        """Strength at a mouth whose capped stretch exchanges with the stream: cells one bore long, as a
        linear system whose answer to straight pieces of input is exact."""
        line = self.network.lines[leg]
        count = min(3, int(line.length / line.bore))  # what lies deeper is not reached within these times
        exchange = flow * LEG_SHARE * LEG_FALL ** np.arange(count)
        share = exchange[0] / (flow + exchange[0])  # of the first cell in the mixture at the mouth
        system = np.zeros((count, count))
        for cell in range(count):
            system[cell, cell] -= exchange[cell]
            if cell > 0:
                system[cell, cell - 1] += exchange[cell]
                system[cell - 1, cell - 1] -= exchange[cell]
                system[cell - 1, cell] += exchange[cell]
        system[0, 0] += exchange[0] * share
        driven = np.zeros((count, 1))
        driven[0, 0] = exchange[0] * (1 - share)
        first = np.zeros((1, count))
        first[0, 0] = share
        volume = line.area * line.bore
        linear = StateSpace(system / volume, driven / volume, first, [[1 - share]])
        return lsim(linear, arriving, self.times)[1]

    def settle_tank(self) -> None:
        """Finds the strength of the well-mixed tank, which depends on what comes back to it and feeds it again."""
        for _ in range(8):
            self.strengths.clear()
            back, brought = 0.0, np.zeros_like(self.times)
            for node in self.network.fixed:
                for branch, towards in self.network.at[node]:
                    q = towards * self.flow[branch]
                    if q > 1e-12:
                        start, end = self.network.ends[branch]
                        back += q
                        brought += q * self.through(branch, self.at(start if towards > 0 else end))
            holds = self.tank_holds - self.sprayed * self.times
            # dC/dt = (brought - back C)/V, by its integrating factor.
            grows = np.exp(cumulative_trapezoid(back / holds, self.times, initial=0.0))
            tank = (1 + cumulative_trapezoid(grows * brought / holds, self.times, initial=0.0)) / grows
            change = float(np.abs(tank - self.tank).max())
            self.tank = tank
            if change < 1e-10:
                self.strengths.clear()
                return
        raise ArithmeticError("the strength of the tank does not settle")

    def reaches(self, node: int, share: float) -> float:
        """When the strength at a node passes `share` of the tank's, s of steady flow."""
        over = self.at(node) - share * self.tank
        first = int(np.argmax(over >= 0))
        if over[first] < 0 or first == 0:
            return float("nan")
        a, b = over[first - 1], over[first]
        # A share sits at the middle of its cell of time, so that a sum up to a grid point reaches half a cell beyond.
        return float(self.times[first] - self.step * b / (b - a) + self.step / 2)


def start_from_rest(network: Network, step: dict, end: Steady, lasts: float = 3.0) -> tuple[np.ndarray, np.ndarray]:
    """Times, and seconds of steady flow pumped by then, as pump and tips come from rest over the step's ramp.

    Implicit Euler in steps of 10 ms and more over (rho L/A) dq/dt, the liquid in each line a rigid column. The flow
    of the tank's outlet stands for all flows, which rise nearly together.
    """
    ramp = step["ramp_s"]
    equations = Equations(network, {**step, "controls": []})
    final = {**step["speeds"], **{c["by"]: a for c, a in zip(step["controls"], end.actuator, strict=True)}}
    outlet = int(np.argmax(np.abs(end.flow)))
    whole = [tip.coefficient for tip in network.tips]
    times, shares, flow, now, dt = [0.0], [0.0], np.zeros(len(end.flow)), 0.0, 0.01
    x = equations.guess(0.1)
    while now < lasts:
        dt = min(0.02, ramp / 10) if now < ramp + 0.2 else dt * 1.3
        now += dt
        opened = min(now / ramp, 1.0)
        equations.speeds = {name: speed * opened for name, speed in final.items()}
        for tip, coefficient in zip(network.tips, whole, strict=True):
            tip.coefficient = coefficient / opened**2
        equations.before = flow, dt
        x, instant = equations.solve(x, at_rest=True)
        flow = instant.flow
        times.append(now)
        shares.append(flow[outlet] / end.flow[outlet])
    for tip, coefficient in zip(network.tips, whole, strict=True):
        tip.coefficient = coefficient
    # Flows lag by half a step, and so does the trapezoidal rule behind their ends: what is pumped comes out right.
    return np.array(times), cumulative_trapezoid(shares, times, initial=0.0)


def arrivals(network: Network, step: dict, steady: Steady, tank_holds: float, lasts: float, grid: float) -> dict:
    """For each tip the times, after the step's start, at which its strength reaches 1, 50 and 95 % of the tank's."""
    times, pumped = start_from_rest(network, step, steady)
    lag = times[-1] - pumped[-1]
    transport = Transport(network, steady, lasts, grid, tank_holds)
    transport.settle_tank()
    found = {}
    for tip in network.tips:
        reached = [transport.reaches(tip.node, share) for share in (0.01, 0.5, 0.95)]
        found[tip.name] = [t + lag if t > times[-1] else float(np.interp(t, pumped, times)) for t in reached]
    return found
