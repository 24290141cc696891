"""Teach the encoder and write its adapter: contrastive learning of small additions to its weights.

Needs the `encoder` extra; half an hour of one processor. `triage encoder build` then exports what was taught.

    python -m eval.encoder.teach [--steps 450]

Method: supervised contrastive loss (Khosla et al. 2020, arXiv 2004.11362) on low-rank additions (Hu et al. 2021), with
a pull back to the source's own vectors, so that what it knew of plain English stays.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import torch
from rich.progress import track
from torch import Tensor, nn

from eval.encoder.lessons import ALIKE, groups
from triage.matching.adapter import ADAPTER, matrices
from triage.matching.build_encoder import source

RANK = 8
FROZEN = 2  # lower layers that stay as they are; what they make of a text is worked out once
LENGTH = 40  # tokens of a text that are looked at
RATE = 1e-3
WARM_UP = 40  # steps
TEMPERATURE = 0.07
DROP = 0.1
EACH = 3  # sentences of a group in a batch
SYMPTOMS_SHARE = 0.65  # of the batches; the others tell dangers
SYMPTOMS, DANGERS = 20, 18  # groups of a batch


@dataclass(frozen=True, slots=True)
class Batch:
    """Texts with the group each belongs to."""

    texts: tuple[str, ...]
    groups: tuple[str, ...]


def batches(told: Mapping[str, Sequence[str]], steps: int, seed: int = 0) -> Iterator[Batch]:
    """Random batches of symptoms or of dangers, with some calm sentences; the same for the same seed."""
    draw = random.Random(seed)
    symptoms, dangers, calm = (_names(told, kinds) for kinds in ("s", "h", "cn"))
    for _ in range(steps):
        if draw.random() < SYMPTOMS_SHARE:
            yield _told(draw, told, draw.sample(symptoms, SYMPTOMS) + draw.sample(calm, 1))
        else:
            yield _told(draw, told, draw.sample(dangers, min(DANGERS, len(dangers))) + draw.sample(calm, 3))


def _names(told: Mapping[str, Sequence[str]], kinds: str) -> list[str]:
    return [name for name, texts in told.items() if name[0] in kinds and len(texts) > 1]


def _told(draw: random.Random, told: Mapping[str, Sequence[str]], names: Sequence[str]) -> Batch:
    drawn = [(text, name) for name in names for text in draw.sample(told[name], min(EACH, len(told[name])))]
    return Batch(tuple(text for text, _ in drawn), tuple(name for _, name in drawn))


class Added(nn.Module):
    """A linear map with a low-rank addition that learns; the map itself stays."""

    def __init__(self, linear: Any) -> None:
        super().__init__()
        self.linear = linear
        self.a = nn.Parameter(torch.randn(RANK, linear.in_features) / linear.in_features**0.5)
        self.b = nn.Parameter(torch.zeros(linear.out_features, RANK))
        self.drop = nn.Dropout(DROP)

    def forward(self, values: Tensor) -> Tensor:
        """Rows in, rows out."""
        result: Tensor = self.linear(values) + (self.drop(values) @ self.a.T) @ self.b.T
        return result


class Pupil:
    """The source model: its lower layers worked out once a text, its upper layers with additions that learn."""

    def __init__(self) -> None:
        model = source()
        self._tokenizer, self._net = model.tokenizer, model[0].auto_model
        self._net.eval()
        for parameter in self._net.parameters():
            parameter.requires_grad_(False)
        self.layers = self._net.encoder.layer[FROZEN:]
        self._known: dict[str, Tensor] = {}

    def add(self) -> dict[str, Added]:
        """Put an addition on each matrix of the upper layers; by the names of the adapter's file."""
        found = [item for item in matrices(self._net) if int(item[0].split(".")[0]) >= FROZEN]
        added = {name: Added(getattr(owner, attribute)) for name, owner, attribute in found}
        for name, owner, attribute in found:
            setattr(owner, attribute, added[name])
        return added

    def prepare(self, texts: Sequence[str], size: int = 64) -> None:
        """Work out the lower layers of these texts."""
        waiting = sorted(set(texts) - set(self._known), key=len)
        for start in track(range(0, len(waiting), size), "Reading"):
            self._prepare(waiting[start : start + size])

    def _prepare(self, texts: Sequence[str]) -> None:
        read = self._tokenizer(list(texts), padding=True, truncation=True, max_length=LENGTH, return_tensors="pt")
        mask = read["attention_mask"]
        with torch.no_grad():
            hidden = self._net.embeddings(read["input_ids"])
            hidden = _through(self._net.encoder.layer[:FROZEN], hidden, mask.float())
        for text, row, kept in zip(texts, hidden, mask.sum(1).tolist(), strict=True):
            self._known[text] = row[:kept].half().clone()

    def vectors(self, texts: Sequence[str]) -> Tensor:
        """Unit vectors, (texts, dimension)."""
        hidden = nn.utils.rnn.pad_sequence([self._known[text].float() for text in texts], batch_first=True)
        mask = nn.utils.rnn.pad_sequence([torch.ones(len(self._known[text])) for text in texts], batch_first=True)
        hidden = _through(self.layers, hidden, mask)
        mean = (hidden * mask[..., None]).sum(1) / mask.sum(1, keepdim=True)
        return nn.functional.normalize(mean, dim=1)


def _through(layers: Any, hidden: Tensor, mask: Tensor) -> Tensor:
    bias = (1 - mask)[:, None, None, :] * -1e9
    for layer in layers:
        made = layer(hidden, bias)
        hidden = made[0] if isinstance(made, tuple) else made
    return hidden


def loss(vectors: Tensor, before: Tensor, names: Sequence[str]) -> Tensor:
    """How far apart the sentences of a group are, beside all others, and how far all went from their old place."""
    itself = torch.eye(len(names), dtype=torch.bool)
    alike = torch.tensor([[a == b and a[0] in ALIKE for b in names] for a in names]) & ~itself
    likeness = (vectors @ vectors.T / TEMPERATURE).masked_fill(itself, -1e9)
    chance = likeness - torch.logsumexp(likeness, 1, keepdim=True)
    told = alike.any(1)
    apart = -((chance * alike).sum(1)[told] / alike.sum(1)[told]).mean()
    return apart + (1 - (vectors * before).sum(1)).mean()


def rate(step: int, steps: int) -> float:
    """Rises over the first steps, then falls in a straight line."""
    return RATE * min(1.0, (step + 1) / WARM_UP) * max(0.05, 1 - step / steps)


def teach(steps: int) -> Mapping[str, Added]:
    """The additions after so many batches."""
    torch.manual_seed(0)
    told, pupil = groups(), Pupil()
    pupil.prepare([text for texts in told.values() for text in texts])
    planned = tuple(batches(told, steps))
    with torch.no_grad():
        before = {batch: pupil.vectors(batch.texts) for batch in planned}
    torch.manual_seed(1)
    added = pupil.add()
    learning = torch.optim.AdamW([p for item in added.values() for p in (item.a, item.b)], lr=RATE, weight_decay=0.01)
    pupil.layers.train()
    for step, batch in track(list(enumerate(planned)), "Teaching"):
        for group in learning.param_groups:
            group["lr"] = rate(step, steps)
        learning.zero_grad()
        loss(pupil.vectors(batch.texts), before[batch], batch.groups).backward()
        learning.step()
    return added


def save(added: Mapping[str, Added], file: Path = ADAPTER) -> None:
    """Half precision, one pair of matrices a map."""
    half = {
        f"{name}.{part}": getattr(item, part).detach().numpy().astype(np.float16)
        for name, item in added.items()
        for part in "ab"
    }
    np.savez_compressed(file, **half)


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--steps", type=int, default=450, help="batches")
    save(teach(parser.parse_args().steps))
    print(ADAPTER)


if __name__ == "__main__":
    main()
