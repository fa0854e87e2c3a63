"""Referee for studies: total indices by SALib, a front by pymoo, on problems that the check beside it solves, too.

Prints JSON: total indices of the function of Ishigami, and the hypervolumes of several seeds.
"""

import json

import numpy as np
from pymoo.algorithms.moo.nsga2 import NSGA2
from pymoo.core.problem import Problem
from pymoo.indicators.hv import HV
from pymoo.operators.crossover.sbx import SBX
from pymoo.operators.mutation.pm import PM
from pymoo.operators.repair.rounding import RoundingRepair
from pymoo.operators.sampling.rnd import IntegerRandomSampling
from pymoo.optimize import minimize
from SALib.analyze import sobol as analyze
from SALib.sample import sobol as sample
from SALib.test_functions import Ishigami

LEVELS = 20
VARIABLES = 8
BUDGET = 640
GENERATION = 32
SEEDS = range(1, 6)
WORST = np.array([1.1, 6.0])


class Front(Problem):
    """Two aims after Zitzler, Deb and Thiele 2000 (from memory), each variable in steps."""

    def __init__(self):
        super().__init__(n_var=VARIABLES, n_obj=2, xl=0, xu=LEVELS, vtype=int)

    def _evaluate(self, x, out, *args, **kwargs):
        x = x / LEVELS
        one = x[:, 0]
        rest = 1.0 + 9.0 * x[:, 1:].mean(axis=1)
        out["F"] = np.column_stack([one, rest * (1.0 - np.sqrt(one / rest))])


def hypervolume(seed):
    """What pymoo's own search reaches with its usual operators."""
    algorithm = NSGA2(
        pop_size=GENERATION,
        sampling=IntegerRandomSampling(),
        crossover=SBX(prob=0.9, eta=15, vtype=float, repair=RoundingRepair()),
        mutation=PM(eta=20, vtype=float, repair=RoundingRepair()),
        eliminate_duplicates=True,
    )
    found = minimize(Front(), algorithm, ("n_eval", BUDGET), seed=seed)
    return float(HV(ref_point=WORST)(found.F))


def totals():
    """Total indices by SALib."""
    bounds = [[-np.pi, np.pi]] * 3
    problem = {"num_vars": 3, "names": ["x1", "x2", "x3"], "bounds": bounds}
    points = sample.sample(problem, 4096, calc_second_order=False, seed=1)
    values = Ishigami.evaluate(points)
    return analyze.analyze(problem, values, calc_second_order=False, seed=1)["ST"].tolist()


print(json.dumps({"totals": totals(), "hypervolumes": [hypervolume(seed) for seed in SEEDS]}))
