"""The knowledge pack: what a shop knows, as plain files.

Spreadsheets are apart, in `importing` and `exporting`: they bring in libraries that nothing else needs.
"""

from triage.pack.applies import applies
from triage.pack.check import check
from triage.pack.load import Pack, find_trade, load
from triage.pack.problem import PackError, Problem
from triage.pack.render import to_markdown
from triage.pack.scaffold import scaffold
from triage.pack.wording import Wording
from triage.pack.words import Implication, Words

__all__ = [
    "Implication",
    "Pack",
    "PackError",
    "Problem",
    "Wording",
    "Words",
    "applies",
    "check",
    "find_trade",
    "load",
    "scaffold",
    "to_markdown",
]
