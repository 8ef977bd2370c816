"""Which part of a design sets each cell."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from genhouse.model.design import Design


def parts_of_cells(design: Design) -> npt.NDArray[np.int32]:
    """The number of the part that sets each cell, from 1: int32 [X, Y, Z]; 0 where none does."""
    laid = design.laid
    numbers = np.zeros(laid.size, dtype=np.int32)
    numbers.reshape(-1)[laid.cell] = laid.part + 1
    return np.ascontiguousarray(design.turn.array(numbers))
