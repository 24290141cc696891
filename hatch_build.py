"""Put the knowledge folder inside the wheel; an editable install reads it from the source tree."""

from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class KnowledgeHook(BuildHookInterface):  # type: ignore[type-arg]
    """Adds knowledge/ to a standard wheel as triage/knowledge."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Called by hatchling before a build; `version` is "standard" or "editable"."""
        if version == "standard":
            build_data["force_include"]["knowledge"] = "triage/knowledge"
