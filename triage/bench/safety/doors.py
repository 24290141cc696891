"""From the settings: under which names the workbench answers, and whether people must sign in."""

from __future__ import annotations

from triage.bench.settings import LOOPBACK, Settings

_EVERYWHERE = frozenset({"0.0.0.0", "::", ""})  # an address to listen on, never one to be called by


def allowed_names(settings: Settings) -> frozenset[str]:
    """Names that may stand in the address bar: loopback's, those given, and the address it was told to listen on.

    Any other name is somebody's page pointing its own name at this machine (DNS rebinding).
    """
    listening = {settings.host} - _EVERYWHERE
    return frozenset(name.lower().strip("[]") for name in (*LOOPBACK, *settings.host_names, *listening))


def must_sign_in(settings: Settings) -> bool:
    """True when it can be reached from other machines: by its address, or by a name that a proxy passes on."""
    return not settings.only_here or bool({name.lower() for name in settings.host_names} - LOOPBACK)


def warnings(settings: Settings, members: int) -> list[str]:
    """What whoever starts it should know, when people must sign in; `members` may."""
    if not must_sign_in(settings):
        return []
    nobody = [] if members else ["Nobody can sign in yet. Add people: triage staff add NAME"]
    plain = "It is served without TLS: passwords can be read on the way, unless a proxy on this machine adds it."
    return [*nobody, plain]
