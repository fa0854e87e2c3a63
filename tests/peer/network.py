"""A network as `millstream expand --json` prints it, and the laws of its parts.

Nothing here comes from Millstream but the description of the machine. Each law is written down from its
published source; friction factors are those of the package `fluids`. SI units throughout.
"""

from __future__ import annotations

import json
import math
import os
import subprocess
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

import numpy as np
from fluids.friction import Colebrook
from scipy.interpolate import PchipInterpolator

GRAVITY = 9.80665
KV_DENSITY = 1000.0
"""Density of the water flow coefficients are stated for (IEC 60534-2-1), kg/m3."""
TIP_DENSITY = 998.207
"""Density of water at 20 degC, with which tips are rated (ISO 10625; density after Kell 1975), kg/m3."""
LEAK = 1e17
"""Slope by which a shut one-way part resists: 0.01 mL an hour at 3 bar (docs/theory.md), Pa s/m3."""

ROOT = Path(__file__).resolve().parents[2]


def millstream(*arguments: str) -> dict:
    """What the program prints as JSON when called with `arguments`; `MILLSTREAM` names the program."""
    program = os.environ.get("MILLSTREAM", str(ROOT / "target" / "release" / "millstream"))
    return json.loads(subprocess.run([program, *arguments], check=True, capture_output=True).stdout)


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Darcy factor: 64/Re up to 2000, Colebrook (1939) from 4000, between them the cubic that has value and
    slope of both neighbours (docs/theory.md)."""
    if reynolds <= 2000.0:
        return 64.0 / reynolds
    if reynolds >= 4000.0:
        return Colebrook(reynolds, relative_roughness)
    t, width = (reynolds - 2000.0) / 2000.0, 2000.0
    factor, slope = turbulent_end(relative_roughness)
    values = 64.0 / 2000.0, -64.0 / 2000.0**2 * width, factor, slope * width
    hermite = (1 + 2 * t) * (1 - t) ** 2, t * (1 - t) ** 2, t * t * (3 - 2 * t), t * t * (t - 1)
    return sum(v * h for v, h in zip(values, hermite, strict=True))


def turbulent_share(reynolds: float, relative_roughness: float) -> float:
    """How far the factor has gone from 64/Re to Colebrook's: the share of turbulent flow between Re 2000 and 4000."""
    if reynolds <= 2000.0 or reynolds >= 4000.0:
        return float(reynolds >= 4000.0)
    laminar = 64.0 / reynolds
    turbulent = Colebrook(reynolds, relative_roughness)
    return (friction_factor(reynolds, relative_roughness) - laminar) / (turbulent - laminar)


@cache
def turbulent_end(relative_roughness: float) -> tuple[float, float]:
    """Colebrook's factor at Re 4000 and its slope by Re, from five values around it."""
    step = 0.5
    around = [Colebrook(4000.0 + k * step, relative_roughness) for k in (-2, -1, 0, 1, 2)]
    return around[2], (around[0] - 8 * around[1] + 8 * around[3] - around[4]) / (12 * step)


@dataclass
class Line:
    """A line full of one liquid: Darcy-Weisbach."""

    bore: float
    length: float
    roughness: float
    losses: float
    friction: float | None
    density: float
    viscosity: float

    def __post_init__(self) -> None:
        self.area = math.pi * self.bore**2 / 4
        # A solver that varies one unknown at a time asks for the same flow again and again.
        self.drop = lru_cache(maxsize=4)(self._drop)

    def reynolds(self, flow: float) -> float:
        """Reynolds number at `flow`."""
        return self.density * abs(flow) / self.area * self.bore / self.viscosity

    def factor(self, flow: float) -> float:
        """Darcy factor at `flow`, not 0."""
        if self.friction is not None:
            return self.friction
        return friction_factor(self.reynolds(flow), self.roughness / self.bore)

    def velocity_head(self, flow: float) -> float:
        """Velocity head, Pa."""
        return self.density / 2 * (flow / self.area) ** 2

    def _drop(self, flow: float) -> float:
        """Loss of total pressure along positive flow, Pa."""
        if flow == 0.0:
            return 0.0
        lost = self.factor(flow) * self.length / self.bore + self.losses
        return math.copysign(lost * self.velocity_head(flow), flow)


@dataclass
class Resistance:
    """Valve, strainer, meter, orifice: drop = coefficient q|q|, straight enough below 1 Pa to keep a slope."""

    coefficient: float

    def drop(self, flow: float) -> float:
        """Loss along positive flow, Pa."""
        edge = 1.0 / math.sqrt(self.coefficient)
        if abs(flow) >= edge:
            return self.coefficient * flow * abs(flow)
        return flow / edge * (1 + (flow / edge) ** 2) / 2


@dataclass
class Check:
    """Check or relief valve: its spring takes `opens_at`, its seat a loss with the square of flow."""

    coefficient: float
    opens_at: float

    def flow(self, drop: float) -> float:
        """Flow at a pressure difference `drop`."""
        over = drop - self.opens_at
        return math.sqrt(over / self.coefficient) if over > 0 else over / LEAK


class Pump:
    """Pump: monotone cubic through its points, affinity laws for its speed. Used within its points only."""

    def __init__(self, part: dict, density: float) -> None:
        self.weight = density * GRAVITY
        self.curve = PchipInterpolator(part["flow_m3_s"], part["head_m"], extrapolate=True)
        self.end = part["flow_m3_s"][-1]

    def rise(self, flow: float, speed: float) -> float:
        """Rise of total pressure, Pa. Below no flow a straight line holds a solver's first guesses in reach."""
        if flow < 0:
            return self.rise(0.0, speed) - 1e10 * flow
        return self.weight * speed**2 * float(self.curve(flow / speed))


@dataclass
class Tip:
    """Tip: orifice behind its body (both after the square of flow); a check valve takes its open loss."""

    name: str
    node: int
    coefficient: float
    check: dict | None
    x: float

    def flow(self, static: float) -> float:
        """Flow at a static pressure at its body; its check valve is taken as open, which `steady` makes sure of."""
        over = static - (self.check["open_loss_pa"] if self.check else 0.0)
        return math.sqrt(max(over, 0.0) / self.coefficient)


class Network:
    """A machine: nodes, branches with their laws, tips."""

    def __init__(self, expanded: dict) -> None:
        liquid = expanded["liquid"]
        self.density, self.viscosity = liquid["density_kg_m3"], liquid["viscosity_pa_s"]
        self.steps, self.velocity_head = expanded["steps"], expanded["velocity_head"]
        self.node_names = [node["name"] for node in expanded["nodes"]]
        self.node = {name: i for i, name in enumerate(self.node_names)}
        self.lift = np.array([self.density * GRAVITY * node["elevation_m"] for node in expanded["nodes"]])
        surface = {tank["name"]: tank["surface_m"] for tank in expanded["tanks"]}
        self.fixed = {
            i: self.density * GRAVITY * max(0.0, surface[node["tank"]] - node["elevation_m"])
            for i, node in enumerate(expanded["nodes"])
            if node["tank"] is not None
        }
        self.branches = expanded["branches"]
        self.branch = {branch["name"]: i for i, branch in enumerate(self.branches)}
        self.ends = [(self.node[b["from"]], self.node[b["to"]]) for b in self.branches]
        self.lines = {i: self._line(b["part"]) for i, b in enumerate(self.branches) if b["kind"] == "line"}
        self.tips = [self._tip(tip) for tip in expanded["tips"]]
        self.tees = [
            (self.node[tee["node"]], [self.branch[arm] for arm in [*tee["run"], tee["side_branch"]]])
            for tee in expanded["tees"]
        ]

    def _line(self, part: dict) -> Line:
        return Line(
            part["bore_m"], part["length_m"], part["roughness_m"], part["losses"], part["friction"],
            self.density, self.viscosity,
        )  # fmt: skip

    def _tip(self, tip: dict) -> Tip:
        if tip["duty"] != 1.0:
            raise NotImplementedError("tips under pulse-width control")
        rated = tip["rated_flow_m3_s"] * (1 + tip["wear"])
        coefficient = self.density / TIP_DENSITY * tip["rated_at_pa"] / rated**2
        if tip["body_kv_m3_s_sqrt_pa"] is not None:
            coefficient += self.of_kv(tip["body_kv_m3_s_sqrt_pa"])
        return Tip(tip["name"], self.node[tip["node"]], coefficient, tip["check_valve"], tip["x_m"])

    def of_kv(self, kv: float) -> float:
        """Coefficient of a flow coefficient in m3/s per sqrt(Pa): dp = SG (q/Kv)^2 (IEC 60534-2-1)."""
        return self.density / KV_DENSITY / kv**2

    def part(self, branch: int, opening: float) -> Line | Resistance | Check | Pump | None:
        """The law of a branch at `opening`; None where it is shut."""
        kind, part = self.branches[branch]["kind"], self.branches[branch]["part"]
        if kind == "line":
            return self.lines[branch]
        if kind == "pump":
            return Pump(part, self.density)
        if kind == "orifice":  # q = Cd A sqrt(2 dp/rho)
            hole = part["discharge_coefficient"] * math.pi * part["bore_m"] ** 2 / 4
            return Resistance(self.density / 2 / hole**2)
        kv = part["kv_m3_s_sqrt_pa"]
        if kind == "check_valve":
            return Check(self.of_kv(kv), part["opens_at_pa"])
        if opening == 0.0:
            return None
        rangeability = part.get("rangeability")
        share = opening if rangeability is None else rangeability ** (opening - 1)
        return Resistance(self.of_kv(kv * share))

    def arriving_head(self, node: int, flow: np.ndarray) -> float:
        """Velocity head of what arrives at a node; what runs into a tank loses it (docs/theory/parts.md)."""
        if not self.velocity_head or node in self.fixed:
            return 0.0
        return self.arriving(node, flow, 4)[1]

    def arriving(self, node: int, flow: np.ndarray, parts: int) -> tuple[float, float]:
        """Flow that arrives at a node and its mean velocity head: a line's own; through a valve, strainer, meter or check
        valve that with which it came there, less the square of its share; past so many parts in a row at most."""
        came, power = 0.0, 0.0
        for branch, towards in self.at[node] if node not in self.fixed else []:
            q = towards * flow[branch]
            if q <= 0:
                continue
            came += q
            if branch in self.lines:
                power += q * self.lines[branch].velocity_head(q)
            elif parts > 0 and self.branches[branch]["kind"] in ("valve", "strainer", "meter", "check_valve"):
                start, end = self.ends[branch]
                whole, head = self.arriving(start if towards > 0 else end, flow, parts - 1)
                power += q * head * (q / max(whole, q)) ** 2
        return (came, power / came) if came > 0 else (0.0, 0.0)

    @property
    def at(self) -> list[list[tuple[int, int]]]:
        """Branches at each node, with +1 where positive flow runs to it."""
        if not hasattr(self, "_at"):
            self._at: list[list[tuple[int, int]]] = [[] for _ in self.node_names]
            for branch, (start, end) in enumerate(self.ends):
                self._at[start].append((branch, -1))
                self._at[end].append((branch, 1))
        return self._at
