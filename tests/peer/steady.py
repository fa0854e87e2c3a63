"""Steady pressures and flows by a general-purpose solver of nonlinear equations.

All pressures and flows are unknowns at once; MINPACK's hybrid method (`scipy.optimize.root`) finds where every
part's law and every node's balance hold. Millstream eliminates flows and follows a convex function instead.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import root

from network import Check, Network, Pump

PRESSURE, FLOW = 1e5, 1e-4
"""Scales of pressure (Pa) and flow (m3/s) in the solver."""
STILL = 1e-12
"""A flow below this counts as none, m3/s."""


@dataclass
class Steady:
    """A solution: total and static pressure of nodes, flows of branches and tips, where actuators stand."""

    pressure: np.ndarray
    static: np.ndarray
    flow: np.ndarray
    tip_flow: np.ndarray
    actuator: list[float]
    residual: float


def tee_drops(towards: list[float], head: float) -> list[float]:
    """Drops of total pressure from a tee to the two arms of its run and its side arm, Pa, for flows towards
    it; `head` is the velocity head of the whole flow.

    Along the run and round the corner: Gardel (1957), equal bores, 90 degrees, sharp corners. Side arm that
    parts evenly or gathers: 1 + 0.3 q^2 and 2 + 3 (q^2 - q), Idelchik, from memory; for run arms with a fifth
    of the flow or more each, which `solve` makes sure of. The tee's pressure is the mean total pressure of what
    arrives.
    """
    whole = max(abs(q) for q in towards)
    first, second, side = (q / whole for q in towards)
    if first * second > 0:
        law = (lambda q: 1 + 0.3 * q * q) if side > 0 else (lambda q: -(2 + 3 * (q * q - q)))
        drops = [law(abs(first)), law(abs(second)), 0.0]
    else:
        q = abs(side)
        dividing = (first if abs(first) >= abs(second) else second) > 0
        if dividing:
            run = 0.03 * (1 - q) ** 2 + 0.35 * q * q - 0.2 * q * (1 - q)
            arm = 0.95 * (1 - q) ** 2 + 1.3 * q * q + 0.8 * q * (1 - q)
        else:
            run = -(0.03 * (1 - q) ** 2 + 0.62 * q * q + q * (1 - q))
            arm = -(-0.92 * (1 - q) ** 2 + 1.2 * q * q + q * (1 - q))
        drops = [0.0, run, arm] if abs(first) >= abs(second) else [run, 0.0, arm]
    arrives = [max(q, 0.0) for q in (first, second, side)]
    mean = sum(a * d for a, d in zip(arrives, drops, strict=True)) / sum(arrives)
    return [head * (d - mean) for d in drops]


class Equations:
    """The equations of one step: laws, balances, controls. `inertia` adds (rho L/A)(q - q_before)/dt."""

    def __init__(self, network: Network, step: dict) -> None:
        self.network, self.step = network, step
        self.free = [i for i in range(len(network.node_names)) if i not in network.fixed]
        self.cut_off = self.find_cut_off(step)
        self.parts = [network.part(i, step["openings"].get(b["name"], 1.0)) for i, b in enumerate(network.branches)]
        open_tips = set(step["open_tips"])
        self.open = np.array([tip.name in open_tips for tip in network.tips])
        self.controls = step["controls"]
        self.speeds = dict(step["speeds"])
        self.before: tuple[np.ndarray, float] | None = None

    def find_cut_off(self, step: dict) -> set[int]:
        """Nodes that shut valves part from every tank: their pressure hangs on what was before."""
        network = self.network
        passes = [step["openings"].get(branch["name"], 1.0) > 0 for branch in network.branches]
        reached, ahead = set(network.fixed), list(network.fixed)
        while ahead:
            for branch, _ in network.at[ahead.pop()]:
                new = [end for end in network.ends[branch] if passes[branch] and end not in reached]
                reached.update(new)
                ahead.extend(new)
        return set(range(len(network.node_names))) - reached

    def split(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Pressures of all nodes, flows of branches and tips, actuators from the solver's unknowns."""
        network = self.network
        a, b, c = np.cumsum([len(self.free), len(network.branches), len(network.tips)])
        pressure = np.zeros(len(network.node_names))
        pressure[self.free] = x[:a] * PRESSURE
        for node, fixed in network.fixed.items():
            pressure[node] = fixed
        return pressure, x[a:b] * FLOW, x[b:c] * FLOW, np.abs(x[c:])  # a solver may pass through 0

    def static(self, pressure: np.ndarray, flow: np.ndarray) -> np.ndarray:
        """What gauges and tips see."""
        heads = [self.network.arriving_head(node, flow) for node in range(len(pressure))]
        return pressure - np.array(heads)

    def tee_losses(self, flow: np.ndarray) -> np.ndarray:
        """What tees add to the loss of each branch, along its positive flow."""
        extra = np.zeros(len(flow))
        if not self.network.velocity_head:
            return extra
        for node, arms in self.network.tees:
            signs = [1 if self.network.ends[arm][1] == node else -1 for arm in arms]
            towards = [sign * flow[arm] for sign, arm in zip(signs, arms, strict=True)]
            if max(towards) <= STILL:
                continue
            head = self.network.lines[arms[0]].velocity_head(max(abs(q) for q in towards))
            for sign, arm, drop in zip(signs, arms, tee_drops(towards, head), strict=True):
                extra[arm] -= sign * drop
        return extra

    def speed(self, name: str, actuators: np.ndarray) -> float:
        """Speed of a pump, a control's where one moves it."""
        for control, value in zip(self.controls, actuators, strict=True):
            if control["by"] == name:
                return value
        return self.speeds[name]

    def residuals(self, x: np.ndarray) -> np.ndarray:
        """How far every law and balance is from being met, scaled."""
        network = self.network
        pressure, flow, tip_flow, actuators = self.split(x)
        static, extra = self.static(pressure, flow), self.tee_losses(flow)
        laws, balance = np.zeros(len(flow)), np.zeros(len(pressure))
        moved = {c["by"]: a for c, a in zip(self.controls, actuators, strict=True)}
        for i, (start, end) in enumerate(network.ends):
            q, part, name = flow[i], self.parts[i], network.branches[i]["name"]
            balance[start] -= q
            balance[end] += q
            drop = pressure[start] + network.lift[start] - pressure[end] - network.lift[end]
            if isinstance(part, Pump):
                laws[i] = (drop + part.rise(q, self.speed(name, actuators))) / PRESSURE
            elif isinstance(part, Check):
                laws[i] = (q - part.flow(drop)) / FLOW
            elif name in moved:
                laws[i] = (drop - network.part(i, moved[name]).drop(q)) / PRESSURE
            elif part is None or start in self.cut_off or end in self.cut_off:
                laws[i] = q / FLOW
            else:
                laws[i] = (drop - part.drop(q) - extra[i]) / PRESSURE
                if self.before is not None and i in network.lines:
                    line, (past, dt) = network.lines[i], self.before
                    laws[i] -= network.density * line.length / line.area * (q - past[i]) / dt / PRESSURE
        tips = tip_flow.copy()
        for k, tip in enumerate(network.tips):
            balance[tip.node] -= tip_flow[k]
            if self.open[k]:
                tips[k] -= tip.flow(static[tip.node])
        for node in self.cut_off:
            balance[node] = pressure[node] * FLOW / PRESSURE
        held = [self.held(control, static, flow) for control in self.controls]
        return np.concatenate([laws, balance[self.free] / FLOW, tips / FLOW, held])

    def held(self, control: dict, static: np.ndarray, flow: np.ndarray) -> float:
        """How far a control is from what it holds, scaled."""
        if "pressure_pa" in control:
            return (static[self.network.node[control["node"]]] - control["pressure_pa"]) / PRESSURE
        return (flow[self.network.branch[control["branch"]]] - control["flow_m3_s"]) / FLOW

    def guess(self, bar: float = 2.0) -> np.ndarray:
        """A start for the solver: `bar` at every node, a tip's flow in every part."""
        sizes = len(self.free), len(self.network.branches) + len(self.network.tips), len(self.controls)
        return np.concatenate([np.full(sizes[0], bar), np.ones(sizes[1]), np.full(sizes[2], 0.7)])

    def solve(self, guess: np.ndarray | None = None, at_rest: bool = False) -> tuple[np.ndarray, Steady]:
        """The solution near `guess`, as the solver's unknowns and as a state. Laws that are only written down for
        a part of their range are used within it, except while a machine comes from rest (`at_rest`)."""
        guess = self.guess() if guess is None else guess
        found = root(self.residuals, guess, method="hybr", options={"xtol": 1e-13})
        if np.abs(found.fun).max() > 1e-8:  # a far start: least squares go farther
            found = root(self.residuals, guess, method="lm", options={"xtol": 1e-13, "ftol": 1e-15, "maxiter": 100_000})
        x, residual = found.x, float(np.abs(found.fun).max())
        if residual > 1e-8:
            raise ArithmeticError(f"step {self.step['name']}: residual {residual:.2e}: {found.message}")
        pressure, flow, tip_flow, actuators = self.split(x)
        static = self.static(pressure, flow)
        if not at_rest:
            self.insist_on_ranges(static, flow, actuators)
        return x, Steady(pressure, static, flow, tip_flow, list(actuators), residual)

    def insist_on_ranges(self, static: np.ndarray, flow: np.ndarray, actuators: np.ndarray) -> None:
        """Raises where a law stands outside the part of its range that is written down here."""
        network = self.network
        for tip, running in zip(network.tips, self.open, strict=True):
            if running and tip.check and static[tip.node] < tip.check["opens_at_pa"]:
                raise NotImplementedError(f"tip {tip.name}: its check valve is not fully open")
        for node, arms in network.tees:
            first, second, side = (abs(flow[arm]) for arm in arms)
            if side > STILL and first + second < 1.001 * side and min(first, second) < 0.2 * side:
                raise NotImplementedError(f"tee {network.node_names[node]}: it parts very unevenly")
        for i, part in enumerate(self.parts):
            if isinstance(part, Pump):
                speed = self.speed(network.branches[i]["name"], actuators)
                if not 0 <= flow[i] <= part.end * speed:
                    raise NotImplementedError("a pump beyond its points")
