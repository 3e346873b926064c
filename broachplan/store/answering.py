"""A connection to a server that is given up when the server says nothing for too long.

A server's own statement timeout ends what takes too long. It ends nothing where the server is frozen or its machine is
gone: then only this side can.
"""

from __future__ import annotations

from collections.abc import Generator
from time import monotonic
from typing import Any, TypeVar

from psycopg import Connection, OperationalError

T = TypeVar("T")
NO_ANSWER = "no answer in time"


class AnsweringConnection(Connection[Any]):
    """Each wait ends ``seconds`` after the last sign of life; the connection is closed then."""

    seconds: float

    def wait(self, gen: Generator[Any, Any, T], *args: Any, **kwargs: Any) -> T:
        """As in any connection of psycopg, which does all its waiting here."""
        return super().wait(self._answered(gen), *args, **kwargs)

    def _answered(self, gen: Generator[Any, Any, T]) -> Generator[Any, Any, T]:
        # The driver sends the generator what is ready on the connection, and from time to time that nothing is.
        try:
            waits_for = next(gen)
            heard = monotonic()
            while True:
                ready = yield waits_for
                now = monotonic()
                if ready:
                    heard = now
                elif now - heard > self.seconds:
                    gen.close()
                    self.pgconn.finish()
                    raise OperationalError(NO_ANSWER)
                waits_for = gen.send(ready)
        except StopIteration as done:
            answer: T = done.value
            return answer
