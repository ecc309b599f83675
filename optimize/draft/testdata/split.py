"""Splits pools with SciPy's milp (HiGHS), one after the other.

Each line of standard input is {"scores": kids by measures, standardised, "teams": number, "seconds": limit}, without any
rule but equal sizes; each line of standard output {"status", "objective", "bound", "teams": team of each kid}. The
objective is the sum over measures of the range of the team means.
"""

import json
import sys

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

STATUS = {0: "optimal", 1: "limit", 2: "infeasible"}


def solve(scores, teams, seconds):
    kids, measures = scores.shape
    size = kids // teams
    binaries = kids * teams
    n = binaries + 2 * measures  # then the lowest and the highest mean of every measure
    rows = lil_matrix((kids + teams + 2 * teams * measures, n))
    low, high = np.zeros(rows.shape[0]), np.zeros(rows.shape[0])
    r = 0
    for k in range(kids):
        rows[r, k * teams : (k + 1) * teams] = 1
        low[r] = high[r] = 1
        r += 1
    for t in range(teams):
        rows[r, t:binaries:teams] = 1
        low[r] = high[r] = size
        r += 1
    for j in range(measures):
        for t in range(teams):
            for bound, sign in ((binaries + 2 * j, 1), (binaries + 2 * j + 1, -1)):
                # sign * (mean of the team - bound) >= 0
                rows[r, t:binaries:teams] = sign * scores[:, j] / size
                rows[r, bound] = -sign
                low[r], high[r] = 0, np.inf
                r += 1
    cost = np.zeros(n)
    cost[binaries::2], cost[binaries + 1 :: 2] = -1, 1
    lower, upper = np.full(n, -np.inf), np.full(n, np.inf)
    lower[:binaries], upper[:binaries] = 0, 1
    for k in range(min(kids, teams)):  # teams are alike: kid k is on one of the teams 0..k
        upper[k * teams + k + 1 : (k + 1) * teams] = 0
    integrality = np.zeros(n)
    integrality[:binaries] = 1
    answer = milp(
        cost,
        integrality=integrality,
        bounds=Bounds(lower, upper),
        constraints=LinearConstraint(rows.tocsr(), low, high),
        options={"mip_rel_gap": 0, "time_limit": seconds},
    )
    out = {"status": STATUS.get(answer.status, answer.message)}
    if answer.x is not None:
        out["objective"], out["bound"] = answer.fun, answer.mip_dual_bound
        out["teams"] = [int(np.argmax(answer.x[k * teams : (k + 1) * teams])) for k in range(kids)]
    return out


for line in sys.stdin:
    job = json.loads(line)
    print(json.dumps(solve(np.array(job["scores"]), job["teams"], job["seconds"])), flush=True)
