"""Turn sentences into unit vectors with the shipped encoder, or with one the shop names."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

Vectors = NDArray[np.float32]

ENCODER_DIR = Path(__file__).parent / "encoder"
BATCH = 32


class Encodes(Protocol):
    """Anything that turns texts into unit vectors; `tag` names model and precision, so that vectors never mix."""

    @property
    def tag(self) -> str: ...

    @property
    def dimension(self) -> int: ...

    def encode(self, texts: Sequence[str]) -> Vectors: ...


class Encoder:
    """The shipped sentence encoder on onnxruntime; loads on first use.

    >>> encoder = Encoder()
    >>> encoder.encode(["will not charge", "does not charge"]).shape
    (2, 384)
    """

    def __init__(self, folder: Path = ENCODER_DIR, *, model: Path | None = None, threads: int = 1) -> None:
        about_file = folder / "encoder.json"
        if not about_file.is_file():
            raise FileNotFoundError(
                f"The encoder is missing: {about_file}. Reinstall the program, or run 'triage encoder build'."
            )
        about = json.loads(about_file.read_text(encoding="utf-8"))
        self.tag = f"{about['name']}/{about['precision']}"
        self.dimension = int(about["dimension"])
        self._model = model or folder / "model.onnx"
        self._tokenizer_file = folder / "tokenizer.json"
        self._threads = threads
        self._session: Any = None
        self._tokenizer: Any = None

    def encode(self, texts: Sequence[str]) -> Vectors:
        """Unit vectors, one row a text, shape (len(texts), dimension), float32.

        Texts run one by one: int8 activations are scaled over a whole batch, and a text's vector must not depend on
        the texts beside it. On two cores a batch would gain nothing (2.2 ms a sentence either way).
        """
        self._load()
        result = np.zeros((len(texts), self.dimension), dtype=np.float32)
        for index, text in enumerate(texts):  # the tokenizer's own batches wait for threads and gain nothing
            result[index] = self._run(self._tokenizer.encode(text))
        return result

    def _load(self) -> None:
        if self._session is not None:
            return
        import onnxruntime
        from tokenizers import Tokenizer

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = self._threads
        options.log_severity_level = 3
        self._tokenizer = Tokenizer.from_file(str(self._tokenizer_file))
        self._tokenizer.no_padding()
        self._session = onnxruntime.InferenceSession(str(self._model), options, providers=["CPUExecutionProvider"])

    def _run(self, encoding: Any) -> Vectors:
        ids = np.array([encoding.ids], dtype=np.int64)
        mask = np.ones_like(ids)
        vectors: list[Vectors] = self._session.run(None, {"input_ids": ids, "attention_mask": mask})
        vector: Vectors = vectors[0][0]
        return vector


class SentenceTransformerEncoder:
    """Any sentence-transformers model a shop names; needs the `encoder` extra."""

    def __init__(self, name: str) -> None:
        try:
            from sentence_transformers import SentenceTransformer
        except ImportError as error:
            raise ImportError(
                f"The encoder '{name}' needs sentence-transformers. Install it with: pip install 'cart-triage[encoder]'"
            ) from error
        self._model = SentenceTransformer(name, device="cpu")
        self.tag = f"{name}/sentence-transformers"
        self.dimension = int(self._model.get_sentence_embedding_dimension() or 0)

    def encode(self, texts: Sequence[str]) -> Vectors:
        """Unit vectors, one row a text, float32."""
        vectors: Vectors = self._model.encode(list(texts), normalize_embeddings=True, batch_size=BATCH)
        return vectors.astype(np.float32)


def encoder_for(name: str = "") -> Encodes:
    """The shipped encoder, or the sentence-transformers model of that name."""
    return SentenceTransformerEncoder(name) if name else Encoder()
