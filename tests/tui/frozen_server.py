"""A server of PostgreSQL's kind that lets stations in, or not even that, and then says nothing for ever."""

from __future__ import annotations

import socket
import struct
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from threading import Thread

# Messages of the published protocol, version 3: its kind, the length with the four bytes of the length, the content.
_SAYS_OF_ITSELF = {"server_version": "16.0", "server_encoding": "UTF8", "client_encoding": "UTF8"}


def _message(kind: bytes, content: bytes) -> bytes:
    return kind + struct.pack("!I", len(content) + 4) + content


_WELCOME = b"".join(
    (
        _message(b"R", struct.pack("!I", 0)),  # authentication is over
        *(_message(b"S", f"{name}\0{text}\0".encode()) for name, text in _SAYS_OF_ITSELF.items()),
        _message(b"Z", b"I"),  # ready for the first query
    )
)


@contextmanager
def frozen_server(*, lets_in: bool) -> Iterator[str]:
    """The URL of a crib on it."""
    with ExitStack() as stack, socket.create_server(("127.0.0.1", 0)) as door:

        def serve() -> None:
            with suppress(OSError):  # the door is closed: the test is over
                while True:
                    station, _ = door.accept()
                    stack.enter_context(station)
                    if lets_in:
                        station.recv(10_000)
                        station.sendall(_WELCOME)

        server = Thread(target=serve)
        server.start()
        try:
            yield f"postgresql://kim@127.0.0.1:{door.getsockname()[1]}/crib?sslmode=disable&gssencmode=disable"
        finally:
            door.shutdown(socket.SHUT_RDWR)
            server.join()
