"""What the encoder was taught of the trade: small additions to its weights, put on before it is exported.

Method: Hu et al., "LoRA: Low-Rank Adaptation of Large Language Models", 2021 (arXiv 2106.09685): every matrix W of a
layer becomes W + B A, with A and B of low rank. The source model stays as its package brings it.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

ADAPTER = Path(__file__).parent / "encoder" / "adapter.npz"
# the matrices of one transformer layer that are adapted, in the order the file numbers them
MATRICES = (
    ("attention", "self", "query"),
    ("attention", "self", "key"),
    ("attention", "self", "value"),
    ("attention", "output", "dense"),
    ("intermediate", "dense"),
    ("output", "dense"),
)


def matrices(transformer: Any) -> Iterator[tuple[str, Any, str]]:
    """Of every layer: a name for the file, the module that holds the linear map, and its attribute there."""
    for number, layer in enumerate(transformer.encoder.layer):
        for path in MATRICES:
            owner = layer
            for step in path[:-1]:
                owner = getattr(owner, step)
            yield f"{number}.{'.'.join(path)}", owner, path[-1]


def adapt(transformer: Any, file: Path = ADAPTER) -> None:
    """Add what was taught to the transformer's weights, in place. Matrices the file does not name stay."""
    import torch

    with np.load(file, allow_pickle=False) as taught:
        for name, owner, attribute in matrices(transformer):
            if f"{name}.a" in taught:
                weight = getattr(owner, attribute).weight
                addition = taught[f"{name}.b"].astype(np.float32) @ taught[f"{name}.a"].astype(np.float32)
                with torch.no_grad():
                    weight += torch.from_numpy(addition)
