"""A mixed integer programme: built column by column and row by row, solved with a proof.

Branch and bound (Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119, the HiGHS solver), no gap left.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass
class Programme:
    """Columns and rows of a mixed integer programme under construction, least cost wanted."""

    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    is_whole: list[bool] = field(default_factory=list)
    rows: list[dict[int, float]] = field(default_factory=list)
    row_lower: list[float] = field(default_factory=list)
    row_upper: list[float] = field(default_factory=list)

    def column(self, cost: float, lower: float, upper: float, *, is_whole: bool = False) -> int:
        """Add a variable and return its place."""
        self.cost.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        self.is_whole.append(is_whole)
        return len(self.cost) - 1

    def row(self, terms: dict[int, float], lower: float, upper: float) -> None:
        """Add ``lower <= sum of terms <= upper``."""
        self.rows.append(terms)
        self.row_lower.append(lower)
        self.row_upper.append(upper)


def solve(programme: Programme) -> Array | None:
    """Values of all variables at the proved optimum, shape (columns,), or nothing when no choice fits.

    Raises RuntimeError when the solver ends without a proof of either.

    >>> programme = Programme()
    >>> first, second = (programme.column(cost, 0.0, 1.0, is_whole=True) for cost in (2.0, 3.0))
    >>> programme.row({first: 1.0, second: 2.0}, 2.0, np.inf)
    >>> [round(abs(value)) for value in solve(programme)]
    [0, 1]
    """
    import highspy  # noqa: PLC0415 - a third of a second that only this question needs

    class Quiet(highspy.Highs):  # type: ignore[misc] # its library has no types
        """Says nothing: switching callbacks on would print a banner before any option can be set."""

        def enableCallbacks(self) -> None:
            """Only switch the output off; nothing here is called back."""
            self.setOptionValue("output_flag", False)

    solver = Quiet()
    solver.setOptionValue("presolve", "off")  # takes longer than it saves at thirty items
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-9)
    columns = len(programme.cost)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = columns, len(programme.rows)
    model.col_cost_ = np.array(programme.cost)
    model.col_lower_, model.col_upper_ = np.array(programme.lower), np.array(programme.upper)
    model.row_lower_, model.row_upper_ = np.array(programme.row_lower), np.array(programme.row_upper)
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    model.integrality_ = [kinds[whole] for whole in programme.is_whole]
    starts: list[int] = [0]
    index: list[int] = []
    value: list[float] = []
    for terms in programme.rows:
        index.extend(terms.keys())
        value.extend(terms.values())
        starts.append(len(index))
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.array(starts)
    model.a_matrix_.index_ = np.array(index)
    model.a_matrix_.value_ = np.array(value)
    solver.passModel(model)
    solver.run()
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None
    if status != highspy.HighsModelStatus.kOptimal:
        raise RuntimeError(f"the solver must end with a proved answer; it ended with {status}")
    return np.asarray(solver.getSolution().col_value, dtype=np.float64)
