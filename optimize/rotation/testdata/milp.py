"""Solves MPS models with SciPy's milp (HiGHS), one after the other.

Each line of standard input is {"model": path, "seconds": limit}; each line of standard output
{"status", "objective", "columns"}, columns being those that are not 0. Reads the part of free MPS that this
project writes: E, L and G rows, one coefficient a line, BV and FR bounds.
"""

import json
import sys

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix

STATUS = {0: "optimal", 1: "timeLimit", 2: "infeasible", 3: "unbounded"}


class Model:
    """A mixed-integer program: names of columns, bounds, rows as a sparse matrix."""

    def __init__(self, path):
        self.rows, self.senses, self.cols = {}, [], {}
        self.cost, self.rhs, self.entries = {}, {}, []
        self.lower, self.upper, self.integer = {}, {}, set()
        section = None
        with open(path, encoding="ascii") as lines:
            for line in lines:
                if line.startswith("*"):
                    continue
                if not line.startswith(" "):
                    section = line.split()[0]
                    continue
                self.READERS[section](self, line.split())

    def add_row(self, fields):
        sense, name = fields
        if sense == "N":
            self.objective = name
        else:
            self.rows[name] = len(self.rows)
            self.senses.append(sense)

    def add_coefficient(self, fields):
        col, row, value = fields
        j = self.cols.setdefault(col, len(self.cols))
        if row == self.objective:
            self.cost[j] = float(value)
        else:
            self.entries.append((self.rows[row], j, float(value)))

    def add_rhs(self, fields):
        self.rhs[self.rows[fields[1]]] = float(fields[2])

    def add_bound(self, fields):
        kind, _, col = fields
        j = self.cols[col]
        if kind == "BV":
            self.upper[j] = 1
            self.integer.add(j)
        elif kind == "FR":
            self.lower[j] = -np.inf
        else:
            raise ValueError(f"bound {kind}")

    READERS = {"ROWS": add_row, "COLUMNS": add_coefficient, "RHS": add_rhs, "BOUNDS": add_bound}


def vector(size, default, values):
    out = np.full(size, default, dtype=float)
    for i, v in values.items():
        out[i] = v
    return out


def solve(path, seconds):
    m = Model(path)
    n, k = len(m.cols), len(m.rows)
    rhs = vector(k, 0, m.rhs)
    sense = np.array(m.senses)
    low = np.where(sense == "L", -np.inf, rhs)
    high = np.where(sense == "G", np.inf, rhs)
    i, j, v = zip(*m.entries)
    matrix = csr_matrix((v, (i, j)), shape=(k, n))
    integrality = np.zeros(n)
    integrality[list(m.integer)] = 1
    low_col, high_col = vector(n, 0, m.lower), vector(n, np.inf, m.upper)

    def ask(presolve):
        return milp(
            vector(n, 0, m.cost),
            integrality=integrality,
            bounds=Bounds(low_col, high_col),
            constraints=LinearConstraint(matrix, low, high),
            options={"mip_rel_gap": 0, "time_limit": seconds, "presolve": presolve},
        )

    r = ask(True)
    # The presolve of the release in SciPy 1.10 now and then gives binaries of 2 and -1, or calls a model infeasible that is
    # not; such answers are asked for again without it.
    outside = r.x is not None and (np.any(r.x < low_col - 1e-3) or np.any(r.x > high_col + 1e-3))
    if outside or r.status == 2:
        r = ask(False)
    out = {"status": STATUS.get(r.status, r.message), "columns": {}}
    if r.x is not None:
        out["objective"] = r.fun
        out["columns"] = {name: r.x[c] for name, c in m.cols.items() if abs(r.x[c]) > 1e-9}
    return out


for line in sys.stdin:
    job = json.loads(line)
    print(json.dumps(solve(job["model"], job["seconds"])), flush=True)
