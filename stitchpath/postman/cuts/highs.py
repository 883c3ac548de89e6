"""The only module that calls HiGHS: linear programs that gain rows as they go, and integer programs.

HiGHS is called through its own interface. scipy's cannot add rows to a solved program, start from a known
answer, set a seed, a thread count or an absolute gap, or count simplex iterations, which are the only measure
of work here that is the same on every machine.

- The options of the integer programs were measured on the published instances: without restarts, symmetry and
  a large pool of cuts they take a quarter less time for the same plans (2026-11-25).
- If a process has already started HiGHS with more threads, a run with one thread fails at once; then HiGHS's
  scheduler is reset (2026-11-25).
- An integer program is not believed if its value differs from what its columns cost. Given a start, and with
  presolve, HiGHS 1.16 once called a value below the optimum optimal, together with the start's columns: both
  plan and bound were wrong, and a test has the case (2026-11-26).
- Other versions of HiGHS and SciPy give other plans. With the oldest ones allowed, five of the six designs in
  `examples/` get other paths, from 1.1 % cheaper to 0.03 % dearer, with the same bounds. So ``.ci/oldest``
  compares no bytes: plans must pass the check, cost no less than was proven elsewhere, and at most 2 % more
  (2026-11-30).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["Answer", "Growing", "Whole", "best_columns"]

_OPTIONS = {
    "threads": 1,
    "random_seed": 0,
    "mip_rel_gap": 0.0,
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_feasibility_jump": False,
    "mip_detect_symmetry": False,
    "mip_allow_restart": False,
    "mip_pool_soft_limit": 1000,
}
"""One thread and one seed: the same plan everywhere. No relative gap, since an absolute one is given. Without
restarts, symmetry and a large pool of cuts the published instances took a quarter less time, for the same
plans."""

_FEASIBLE = 2
"""What HiGHS calls a solution within all limits."""

_DEAREST = 1000
"""What the dearest column is scaled to: HiGHS's tolerance for reduced costs, 1e-7, is no share but a cost."""

_ASIDE = 1e-6
"""How far apart a value and what its columns come to may be by rounding, as a share."""
_ENDED = ("kOptimal", "kInfeasible", "kUnboundedOrInfeasible")

_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Answer:
    """A linear program's answer: its value, its columns and their reduced costs, its rows' duals and values.

    `work` counts simplex iterations. Where no columns are within all limits, `feasible` is False, and what is
    left means nothing.
    """

    feasible: bool
    value: float
    columns: _Floats
    reduced: _Floats
    duals: _Floats
    rows: _Floats
    work: int


class Growing:
    """A linear program over columns from 0 to `upper`, which grows rows and is solved from where it stood.

    Examples
    --------
    >>> from scipy.sparse import csr_array
    >>> program = Growing(np.array([1.0, 3.0]), np.ones(2))
    >>> program.solve().value
    0.0
    >>> program.add(csr_array(np.array([[2.0, 2.0]])), np.array([3.0]), np.array([np.inf]))
    >>> program.solve().columns
    array([1. , 0.5])
    >>> program.fix(np.array([1]))
    >>> program.solve().columns
    array([0.5, 1. ])
    """

    def __init__(self, costs: _Floats, upper: _Floats) -> None:
        import highspy

        self._solver, self._scale = _silent(highspy), max(1.0, float(np.abs(costs).max(initial=0)) / _DEAREST)
        self._solver.addVars(len(costs), np.zeros(len(costs)), upper)
        every = np.arange(len(costs), dtype=np.int32)
        self._solver.changeColsCost(len(costs), every, costs / self._scale)

    def add(self, rows: Any, least: _Floats, most: _Floats) -> None:
        """Add (k, n) sparse rows whose values lie from `least` to `most`, (k,) each."""
        begin, index = rows.indptr[:-1].astype(np.int32), rows.indices.astype(np.int32)
        self._solver.addRows(rows.shape[0], least, most, rows.nnz, begin, index, rows.data)

    def fix(self, columns: NDArray[np.intp]) -> None:
        """Hold columns at 1."""
        ones = np.ones(len(columns))
        self.hold(columns, ones, ones)

    def hold(self, columns: NDArray[np.intp], low: NDArray[Any], high: NDArray[Any]) -> None:
        """Keep columns within limits, (k,) each."""
        limits = low.astype(np.float64), high.astype(np.float64)
        self._solver.changeColsBounds(len(columns), columns.astype(np.int32), *limits)

    def ray(self) -> _Floats | None:
        """Return duals that show why no columns were within all limits; None where the solver knows none."""
        _, known, ray = self._solver.getDualRay()
        return np.array(ray) if known else None

    def solve(self) -> Answer:
        """Minimise the costs."""
        _run(self._solver)
        found, info = self._solver.getSolution(), self._solver.getInfo()
        return Answer(
            info.primal_solution_status == _FEASIBLE,
            info.objective_function_value * self._scale,
            np.array(found.col_value),
            np.array(found.col_dual) * self._scale,
            np.array(found.row_dual) * self._scale,
            np.array(found.row_value),
            int(info.simplex_iteration_count),
        )


@dataclass(frozen=True)
class Whole:
    """An integer program's answer: its columns, None where none was found; and whether the search ended.

    `bound` is what every answer costs at least, `work` counts simplex iterations.
    """

    columns: _Floats | None
    ended: bool
    bound: float
    work: int


def best_columns(
    costs: _Floats,
    matrix: Any,
    least: _Floats,
    most: _Floats,
    *,
    upper: _Floats,
    gap: float,
    nodes: int,
    start: _Floats | None = None,
) -> Whole:
    """Minimise costs over whole columns from 0 to `upper`, with `matrix` @ columns from `least` to `most`.

    Parameters
    ----------
    costs
        (n,) of each column.
    matrix
        (k, n) sparse rows.
    least, most
        (k,) limits of each row.
    upper
        (n,) limits of each column.
    gap
        An answer that is dearer than the best by less is as good.
    nodes
        Most nodes of the search tree.
    start
        (n,) columns within all limits, to begin with.

    Examples
    --------
    >>> from scipy.sparse import csr_array
    >>> two = csr_array(np.array([[2.0, 2.0]]))
    >>> limits = np.array([3.0]), np.array([np.inf])
    >>> best_columns(np.array([1.0, 3.0]), two, *limits, upper=np.ones(2), gap=0.5, nodes=9).columns
    array([1., 1.])
    >>> none = best_columns(np.array([1.0, 3.0]), two, *limits, upper=np.zeros(2), gap=0.5, nodes=9)
    >>> none.columns is None, none.ended
    (True, True)
    """
    import highspy

    if not len(costs):
        fits = (least <= 0).all() and (most >= 0).all()
        return Whole(costs if fits else None, ended=True, bound=0.0, work=0)
    model, work = _model(highspy, costs, matrix, (least, most), upper), 0
    for presolve in ("choose", "off"):
        solver = _silent(highspy)
        for name, value in {"mip_abs_gap": gap, "mip_max_nodes": nodes, "presolve": presolve}.items():
            solver.setOptionValue(name, value)
        solver.passModel(model)
        if start is not None:
            given = highspy.HighsSolution()
            given.col_value = start.tolist()
            solver.setSolution(given)
        _run(solver)
        info, status = solver.getInfo(), solver.getModelStatus()
        work += max(0, int(info.simplex_iteration_count))
        ended = status in [getattr(highspy.HighsModelStatus, name) for name in _ENDED]
        if info.primal_solution_status != _FEASIBLE:
            return Whole(None, ended, float(info.mip_dual_bound), work)
        columns = np.array(solver.getSolution().col_value)
        # Seen in HiGHS 1.16, with a start and presolve on: a value that its own columns do not come to, below
        # the optimum, and all else cut off by it.
        value = float(info.objective_function_value)
        if abs(float(costs @ columns) - value) <= _ASIDE * max(1.0, abs(value)):
            return Whole(columns, ended, float(info.mip_dual_bound), work)
    return Whole(columns, ended=False, bound=-np.inf, work=work)


def _run(solver: Any) -> None:
    """Run on one thread, also where another program in this process has begun with more."""
    import highspy

    if solver.run() == highspy.HighsStatus.kError:
        highspy.Highs.resetGlobalScheduler(True)
        solver.run()


def _silent(highspy: Any) -> Any:
    """Make a solver that prints no banner, which its callbacks do before they can be told to be silent."""

    class Silent(highspy.Highs):  # type: ignore[misc]
        def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name
            self.setOptionValue("output_flag", False)

    solver = Silent()
    for name, value in _OPTIONS.items():
        solver.setOptionValue(name, value)
    return solver


def _model(highspy: Any, costs: _Floats, matrix: Any, limits: tuple[_Floats, _Floats], upper: _Floats) -> Any:
    rows, model = matrix.tocsr(), highspy.HighsLp()
    model.num_row_, model.num_col_ = rows.shape
    model.col_cost_, model.col_lower_, model.col_upper_ = costs, np.zeros(len(costs)), upper
    model.row_lower_, model.row_upper_ = limits
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_ = rows.indptr, rows.indices
    model.a_matrix_.value_ = rows.data
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(costs)
    return model
