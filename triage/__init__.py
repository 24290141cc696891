"""Question triage for a low-speed-vehicle shop: read, match, ask, warn, draft."""

import os

# A question's matrices are small: threads of the linear algebra wait for one another longer than they work. Only
# counts where numpy is not loaded yet; a number set by the user stays.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

__version__ = "0.1.0"
