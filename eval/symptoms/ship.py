"""Put the weights of the symptom reading, as learnt from the trade part as it now is, beside the code.

python -m eval.symptoms.ship
"""

from __future__ import annotations

from shutil import copyfile

from eval.shops import KNOWLEDGE
from triage.engine import cache_folder, open_engine, symptom_lessons
from triage.facts.symptom_weights import SHIPPED, weights_name


def main() -> None:
    """Learn if need be, and leave one file in the folder."""
    stages = open_engine(KNOWLEDGE)
    name = weights_name(list(stages.pack.symptoms), symptom_lessons(stages.pack), stages.encoder.tag)
    SHIPPED.mkdir(exist_ok=True)
    if not (SHIPPED / name).is_file():
        copyfile(cache_folder() / name, SHIPPED / name)
    for old in SHIPPED.glob("symptoms-*.npz"):
        if old.name != name:
            old.unlink()
    print(SHIPPED / name)


if __name__ == "__main__":
    main()
