"""Put the knowledge folder and the list of shipped models inside the wheel; an editable install needs neither."""

import json
from pathlib import Path
from runpy import run_path
from tempfile import mkdtemp
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class KnowledgeHook(BuildHookInterface):  # type: ignore[type-arg]
    """Adds knowledge/ to a standard wheel as triage/knowledge, and triage/shipped.json."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Called by hatchling before a build; `version` is "standard" or "editable"."""
        if version == "standard":
            build_data["force_include"]["knowledge"] = "triage/knowledge"
            build_data["force_include"][str(_shipped(Path(self.root)))] = "triage/shipped.json"


def _shipped(root: Path) -> Path:
    """The list that `triage.shipped` holds the models against."""
    digests = run_path(str(root / "triage" / "shipped.py"))["digests"]
    listed = Path(mkdtemp()) / "shipped.json"
    listed.write_text(json.dumps(digests(root / "triage"), indent=1), encoding="utf-8")
    return listed
