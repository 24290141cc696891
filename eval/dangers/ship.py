"""Put the weights of the hazard reading, as learnt from the trade part as it now is, beside the code.

python -m eval.dangers.ship
"""

from __future__ import annotations

from shutil import copyfile

from eval.fit_ranker import UNFITTED
from eval.shops import KNOWLEDGE
from triage.engine import cache_folder, open_engine
from triage.safety.keep import SHIPPED, weights_name


def main() -> None:
    """Learn if need be, and leave one file in the folder."""
    stages = open_engine(KNOWLEDGE, ranker=UNFITTED)
    name = weights_name(stages.pack, stages.encoder.tag)
    SHIPPED.mkdir(exist_ok=True)
    if not (SHIPPED / name).is_file():
        copyfile(cache_folder() / name, SHIPPED / name)
    for old in SHIPPED.glob("hazards-*.npz"):
        if old.name != name:
            old.unlink()
    print(SHIPPED / name)


if __name__ == "__main__":
    main()
