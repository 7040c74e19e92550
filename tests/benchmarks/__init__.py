"""How long does an answer take, beside a named peer on the same data in the same run?"""

import os

# One thread for linear algebra, set before numpy is read: the bars are for one core.
for _name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")
