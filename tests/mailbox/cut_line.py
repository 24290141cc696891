"""A line to the server that can be cut: a small TCP proxy on loopback."""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Iterator


class Line:
    """Passes bytes to `target` and back; `cut_after` says how many from each side before a connection is cut."""

    def __init__(self, target: int) -> None:
        self._target = target
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listening.getsockname()[1])
        self.down_limits: list[int | None] = []  # bytes from the server, for each connection to come
        self.up_limits: list[int | None] = []  # bytes to the server
        self.made = 0
        self._open: set[socket.socket] = set()
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self) -> None:
        while True:
            try:
                near, _ = self._listening.accept()
            except OSError:
                return
            self.made += 1
            down = self.down_limits.pop(0) if self.down_limits else None
            up = self.up_limits.pop(0) if self.up_limits else None
            try:
                far = socket.create_connection(("127.0.0.1", self._target))
            except OSError:
                near.close()
                continue
            self._open |= {near, far}
            for source, sink, limit in ((near, far, up), (far, near, down)):
                threading.Thread(target=self._pass, args=(source, sink, limit), daemon=True).start()

    def _pass(self, source: socket.socket, sink: socket.socket, limit: int | None) -> None:
        passed = 0
        with contextlib.suppress(OSError):
            while data := source.recv(4096):
                if limit is not None and passed + len(data) > limit:
                    sink.sendall(data[: limit - passed])
                    break
                passed += len(data)
                sink.sendall(data)
        for end in (source, sink):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)
            end.close()
            self._open.discard(end)

    def cut(self) -> None:
        """Cut every open connection now."""
        for end in list(self._open):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def close(self) -> None:
        self._listening.close()
        self.cut()


@contextlib.contextmanager
def line_to(port: int) -> Iterator[Line]:
    line = Line(port)
    try:
        yield line
    finally:
        line.close()
