"""What numbers of many places are kept in; its shape stands in the words of whoever makes it."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Whole = NDArray[np.int64]
