"""One level line blown empty: ordinary differential equations of column, nose of air and layer on the wall.

Written from the published laws: rigid column; nose after Bendiksen (1984) and Weber (1981); layer after Butterworth's (1975) fit to
Lockhart & Martinelli, no faster than a turbulent layer (Blasius 1913); friction of air times Chisholm's (1967)
multiplier; supply after ISO 6358, limited by the free air delivery of the compressor. One room of air ahead of the
line; air at one temperature. `scipy.integrate.solve_ivp` does the rest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

from network import GRAVITY, Line, friction_factor

GAS = 287.05 * 293.15
"""R T of air at 20 degC, J/kg."""
AIR_VISCOSITY = 1.82e-5
ATMOSPHERE = 101_325.0
ISO_DENSITY = 1.185
"""Density to which ISO 6358 refers sonic conductance, kg/m3."""
SURFACE_TENSION = 0.0727
"""Water at 20 degC, N/m."""
CHISHOLM = 12.0
"""Chisholm's constant for a laminar layer under turbulent air."""


def nose(flux: float, line: Line) -> tuple[float, float]:
    """Velocity of the nose of air in a level line whose liquid moves at `flux`, and the share it leaves.

    Bendiksen (1984): 1.05 j and a drift below a Froude number of 3.5, 1.2 j above, blended from 3 to 4; the drift in
    sqrt(g D) is 0.54 less what surface tension takes (Weber 1981), and those numbers fall with it. It leaves 1 - j/U,
    0.58 at most (Benjamin 1968).
    """
    if flux <= 0:
        return flux, 0.0
    wave = math.sqrt(GRAVITY * line.bore)
    eotvos = line.density * GRAVITY * line.bore**2 / SURFACE_TENSION
    drift = max(0.54 - 1.76 * eotvos**-0.56, 1e-9)
    fast = min(max(0.54 / drift * flux / wave - 3, 0.0), 1.0)
    velocity = (1.05 + 0.15 * fast) * flux + drift * (1 - fast) * wave
    left = min(1 - flux / velocity, 0.58)
    return flux / (1 - left), left


def layer_flux(holdup: np.ndarray, gradient: np.ndarray, line: Line) -> np.ndarray:
    """Superficial velocity of the layer under air whose gradient in the dry line is `gradient` (Pa/m)."""
    drive = parameter(holdup) ** 2 * gradient
    laminar = drive * line.bore**2 / (32 * line.viscosity)
    # 0.3164 Re^-0.25 rho q^2 / (2 D) = drive, Re = rho q D / mu
    per_power = 0.3164 / 2 * line.density / line.bore * (line.density * line.bore / line.viscosity) ** -0.25
    return np.minimum(laminar, (drive / per_power) ** (4 / 7))


def parameter(holdup: np.ndarray) -> np.ndarray:
    """Lockhart & Martinelli's parameter at which steady flow holds as much (Butterworth 1975)."""
    held = np.clip(holdup, 0.0, 0.95)
    return (held / (0.28 * (1 - held))) ** (1 / 0.71)


@dataclass
class Supply:
    """Compressor, regulator and valve."""

    regulated: float
    conductance: float
    critical: float
    most: float

    def flow(self, downstream: float) -> float:
        """Mass flow into an absolute pressure, kg/s: ISO 6358, at most the compressor's free air (ISO 1217)."""
        ratio = downstream / self.regulated
        over = min(max((ratio - self.critical) / (1 - self.critical), 0.0), 1.0)
        return min(self.conductance * ISO_DENSITY * self.regulated * math.sqrt(1 - over * over), self.most)


@dataclass
class Purged:
    """What became of the line; pressures gauge, volumes m3."""

    breakthrough: float
    highest: float
    times: np.ndarray
    home: np.ndarray
    pressure: np.ndarray
    air: float
    left: float


class OneLine:
    """A room of air ahead of one level line full of liquid that runs out freely."""

    def __init__(self, line: Line, room: float, supply: Supply, cells: int = 240) -> None:
        self.line, self.room, self.supply, self.cells = line, room, supply, cells
        self.width = line.length / cells
        self.ends = np.arange(1, cells + 1) * self.width

    def gas(self, mass: float, holdup: np.ndarray, reach: float, into: float) -> tuple[np.ndarray, np.ndarray]:
        """Gradient of air alone in each cell behind the nose, and the gradient with its layer, Pa/m, where `mass`
        (kg/s) passes at about the absolute pressure `into` of each cell."""
        area = self.line.area
        velocity = mass * GAS / into / area
        reynolds = max(mass / area * self.line.bore / AIR_VISCOSITY, 1e-3)
        factor = friction_factor(reynolds, self.line.roughness / self.line.bore)
        dry = factor / self.line.bore * into / GAS * velocity**2 / 2
        x = parameter(holdup)
        return dry, dry * (1 + CHISHOLM * x + x * x) * (self.ends - self.width < reach)

    def push(self, t: float, y: np.ndarray) -> np.ndarray:
        """Rates while a column is left: mass of air, velocity, column, what came home, air supplied, layer."""
        line = self.line
        mass, velocity, column, home = y[:4]
        holdup, rates = y[5:], np.zeros_like(y)
        absolute = mass * GAS / (self.room + home)
        reach = line.length - column
        speed, left = nose(velocity, line)
        passing = absolute / GAS * max(velocity, 0.0) * line.area
        dry, wet = self.gas(passing, holdup, reach, np.full(self.cells, absolute))
        entry = line.losses * absolute / GAS * max(velocity, 0.0) ** 2 / 2
        ahead = absolute - ATMOSPHERE - float(wet.sum()) * self.width - entry
        lost = 0.0
        if velocity != 0:
            flow = velocity * line.area
            lost = line.factor(flow) * column / line.bore * line.velocity_head(flow)
            lost = math.copysign(lost + line.losses * line.velocity_head(flow), velocity)
        supplied = self.supply.flow(absolute)
        rates[0], rates[4] = supplied, supplied
        rates[1] = (ahead - lost) / (line.density * max(column, line.bore))
        rates[2] = -speed
        rates[3] = velocity * line.area
        flux = layer_flux(holdup, dry, line) * (self.ends < reach)  # nothing overtakes the nose
        rates[5:] = (np.concatenate([[0.0], flux[:-1]]) - flux) / self.width
        rates[5 + min(int(reach / self.width), self.cells - 1)] += left * speed / self.width
        return rates

    def through(self, mass: float, holdup: np.ndarray, supplied: float) -> tuple[float, float, np.ndarray]:
        """Mass flow out of the mouth, absolute pressure in the room, and the dry gradients, while room and line hold
        `mass` of air. Flow grows along the way by what the air there gives as its pressure falls.

        Isothermal: p dp = -p G Phi^2 dx, summed from the mouth, where the pressure is the surroundings'.
        """
        line = self.line
        x = parameter(holdup)
        multiplier = 1 + CHISHOLM * x + x * x
        volumes = line.area * self.width * (1 - holdup)
        share = (self.room + line.area * (self.ends - self.width / 2)) / (self.room + line.area * line.length)

        def profile(out: float) -> tuple[np.ndarray, np.ndarray, float]:
            flux = np.maximum(supplied + (out - supplied) * share, 1e-6) / line.area
            reynolds = flux * line.bore / AIR_VISCOSITY
            factor = np.interp(reynolds, *self.factors())
            squared = GAS * flux**2 * factor / line.bore / 2  # G times p
            pressure = np.sqrt(ATMOSPHERE**2 + np.cumsum((2 * squared * multiplier * self.width)[::-1])[::-1])
            room = pressure[0] + line.losses * GAS * flux[0] ** 2 / pressure[0] / 2
            return pressure, squared / pressure, room

        low, high = 0.0, 0.3
        for _ in range(40):
            middle = 0.5 * (low + high)
            pressure, _, room = profile(middle)
            held = (room * self.room + float((pressure * volumes).sum())) / GAS
            low, high = (middle, high) if held < mass else (low, middle)
        pressure, dry, room = profile(low)
        return low, room, dry

    def factors(self) -> tuple[np.ndarray, np.ndarray]:
        """A table of friction factors of the line over Reynolds numbers."""
        if not hasattr(self, "_factors"):
            reynolds = np.geomspace(10, 1e6, 2000)
            rough = self.line.roughness / self.line.bore
            self._factors = reynolds, np.array([friction_factor(float(re), rough) for re in reynolds])
        return self._factors

    def blow(self, t: float, y: np.ndarray) -> np.ndarray:
        """Rates once air has come through: mass of air, what came home, air supplied, layer."""
        holdup, rates = y[3:], np.zeros_like(y)
        supplied = self.supply.flow(ATMOSPHERE)  # the compressor's: pressure is below what would hold it back
        leaves, _, dry = self.through(y[0], holdup, supplied)
        flux = layer_flux(holdup, dry, self.line)
        rates[0], rates[2] = supplied - leaves, supplied
        rates[1] = flux[-1] * self.line.area
        rates[3:] = (np.concatenate([[0.0], flux[:-1]]) - flux) / self.width
        return rates

    def run(self, lasts: float) -> Purged:
        """Blows for `lasts` seconds."""
        line = self.line
        start = np.zeros(5 + self.cells)
        start[0] = ATMOSPHERE * self.room / GAS
        start[2] = line.length

        def done(t: float, y: np.ndarray) -> float:
            return y[2] - 1e-6

        done.terminal = True
        first = solve_ivp(self.push, (0, lasts), start, events=done, method="RK23", rtol=1e-5, atol=1e-8, max_step=2e-3)
        end = first.y[:, -1]
        absolute = first.y[0] * GAS / (self.room + first.y[3])
        after = np.concatenate([[end[0], end[3], end[4]], end[5:]])
        second = solve_ivp(self.blow, (first.t[-1], lasts), after, method="LSODA", rtol=1e-5, atol=1e-8)
        held = second.y[3:].sum(axis=0) * self.width * line.area
        most = self.supply.flow(ATMOSPHERE)
        later = np.array([self.through(y[0], y[3:], most)[1] for y in second.y.T])
        return Purged(
            breakthrough=float(first.t[-1]),
            highest=float(absolute.max()) - ATMOSPHERE,
            times=np.concatenate([first.t, second.t[1:]]),
            home=np.concatenate([first.y[3], second.y[1][1:]]),
            pressure=np.concatenate([absolute, later[1:]]) - ATMOSPHERE,
            air=float(second.y[2][-1]),
            left=float(held[-1]),
        )
